"""Lamps of a controller, step by step: by volts, by the way current flows, by its supply."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

import netcheck.bench
from netcheck.bench import lamps_json, lamps_text
from netcheck.bench.lamps import Lamp, Lamps, lamps, way_of
from netcheck.bench.lamps_document import LampsDocument
from netcheck.model.names import NameMistake
from netcheck.model.supposed import suppose
from netcheck.report.terminal import columns
from tests.bench.panels import (
    CONTROLLER,
    SAMPLES,
    TOO_FEW_VOLTS,
    TWO_CONTROLLERS,
    greenhouse,
    panel_of,
    sample,
)

SCHEMA = json.loads(
    Path(netcheck.bench.__path__[0], "lamps.schema.json").read_text(encoding="utf-8")
)
EDGE = 'edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"'

SOURCING = f"""\
panel "Inputs that source, outputs that sink"
{EDGE}
limit switch LS1 "Vent shut" normally open 13-14
controller PLC1 24 V DC 6 W; inputs I0 I1 from + 24 V DC 6 mA;
  transistor outputs Q0 to 0V 24 V DC 0.5 A
valve Y1 24 V DC 6 W
circuit "Vent"
  E1:+ --1-- PLC1:+
  PLC1:0V --2-- E1:0V
  PLC1:I0 --3-- LS1 --4-- E1:0V
  E1:+ --5-- PLC1:I1
  E1:+ --6-- Y1 --7-- PLC1:Q0
"""

COMMON = f"""\
panel "Inputs with a common of their own"
{EDGE}
button S1 normally open 13-14
button S2 normally open 13-14
controller PLC1 24 V DC 6 W; inputs I0 to 1M 24 V DC 6 mA; inputs I1 to 2M 24 V DC 6 mA
circuit "Mist"
  E1:+ --1-- PLC1:+
  PLC1:0V --2-- E1:0V
  E1:+ --3-- S1 --4-- PLC1:I0
  PLC1:1M --5-- E1:0V
  E1:+ --6-- PLC1:2M
  PLC1:I1 --7-- S2 --8-- E1:0V
"""

RELAY_OUTPUT = """\
panel "Pump by a relay output"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
fuse FU1 5 A
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
controller PLC1 24 V DC 6 W; inputs I0 to 0V 24 V DC 6 mA;
  relay outputs Q0 Q1 from C0 120 V AC 2 A
lamp H1 120 V AC 5 W
circuit "Pump"
  E1:+ --1-- PLC1:+
  PLC1:0V --2-- E1:0V
  MAINS:L1 --3-- FU1 --4-- PLC1:C0
  PLC1:Q0 --5-- H1 --6-- MAINS:N
"""

DELAYED = f"""\
panel "Mist after a while"
{EDGE}
switch SS1 normally open 13-14
on-delay timer T1 5 s; coil 24 V DC 1 W; timed normally open 17-18
controller PLC1 24 V DC 6 W; inputs I0 to 0V 24 V DC 6 mA
circuit "Mist"
  E1:+ --1-- PLC1:+
  PLC1:0V --2-- E1:0V
  E1:+ --3-- SS1 --4-- T1:A1-A2 --5-- E1:0V
  E1:+ --6-- T1:17-18 --7-- PLC1:I0
"""


BEHIND_A_DIODE = """\
panel "Sensor on two batteries"
battery BT1 24 V DC, ungrounded
battery BT2 24 V DC, ungrounded
diode D1
diode D2
sensor B1 two-wire DC normally open, leaks 1.5 mA, drops 12 V
relay K1 coil 24 V DC 1 W with diode
controller PLC1 24 V DC 6 W; inputs I0 to 0V 24 V DC 6 mA
circuit "Rain"
  BT1:+ --1-- D1:A-K --3-- PLC1:+
  BT2:+ --2-- D2:A-K --3-- D1:K
  BT2:- --9-- BT1:-
  PLC1:0V --9-- BT1:-
  D1:K --3-- B1 --4-- PLC1:I0
  B1:2 --4-- K1:A1-A2 --9-- BT1:-
"""


def lamp(found: Lamps, terminal: str, step: int = -1) -> Lamp:
    shown = found.steps[step].shown
    return next(one for each in shown for one in each.lamps if one.terminal == terminal)


def lit(found: Lamps, step: int = -1) -> list[str]:
    return [o.mark for each in found.steps[step].shown for o in each.lamps if o.lit]


def test_an_input_is_lit_while_its_switch_is_closed() -> None:
    found = lamps(panel_of(CONTROLLER), ["FL1 operated", "FL1 at rest"])
    assert [[], ["I0"], []] == [lit(found, step) for step in range(3)]
    one = lamp(found, "PLC1:I0", 1)
    assert ("PLC1:I0", "PLC1:0V") == (one.red, one.black)
    assert pytest.approx(0.006, rel=0.01) == one.direct_a  # as the text says it


def test_an_output_is_lit_when_it_is_switched_on_and_metered_at_its_terminal() -> None:
    found = lamps(panel_of(CONTROLLER), ["PLC1:Q1 on"])
    one = lamp(found, "PLC1:Q1")
    assert one.lit
    assert ("PLC1:Q1", "PLC1:0V") == (one.red, one.black)
    assert one.expected is not None
    assert pytest.approx(24, abs=0.2) == one.expected.dc_v
    assert "out of it: it sources" == way_of(one)
    assert pytest.approx(-0.25, rel=0.01) == one.direct_a  # 6 W at 24 V


def test_inputs_that_source_are_lit_when_they_are_pulled_down_and_not_when_they_are_fed() -> None:
    """A sourcing input gives current out, and is on with its point at 0 V: terms of IEC 61131-2."""
    panel = panel_of(SOURCING)
    found = lamps(panel, ["LS1 operated"])
    assert ["I0"] == lit(found)
    assert "out of it: it sources" == way_of(lamp(found, "PLC1:I0"))
    assert lamp(found, "PLC1:I1").lit is False


def test_an_output_that_sinks_is_metered_against_the_plus() -> None:
    found = lamps(panel_of(SOURCING), ["PLC1:Q0 on"])
    one = lamp(found, "PLC1:Q0")
    assert one.lit
    assert "PLC1:+" == one.black
    assert one.expected is not None
    assert pytest.approx(-24, abs=0.2) == one.expected.dc_v
    assert "into it: it sinks" == way_of(one)


def test_a_common_of_its_own_lets_an_input_sink_or_source() -> None:
    found = lamps(panel_of(COMMON), ["S1 pressed", "S2 pressed"])
    assert ["I0", "I1"] == lit(found)
    assert "into it: it sinks" == way_of(lamp(found, "PLC1:I0"))
    assert "out of it: it sources" == way_of(lamp(found, "PLC1:I1"))


def test_a_common_that_is_not_home_leaves_its_lamps_dark() -> None:
    """The current leaves the button and gets to the input, and has no way home."""
    found = lamps(panel_of(COMMON, (), ["wire 5 open"]), ["S1 pressed"])
    assert [] == lit(found)


def test_a_lit_output_whose_common_has_lost_its_fuse_gives_nothing() -> None:
    panel = panel_of(RELAY_OUTPUT)
    on = lamp(lamps(panel, ["PLC1:Q0 on"]), "PLC1:Q0")
    assert on.lit
    assert "MAINS:N" == on.black
    assert on.expected is not None
    assert pytest.approx(120, abs=0.5) == on.expected.ac_v
    blown = lamp(lamps(panel, ["PLC1:Q0 on", "FU1 blown"]), "PLC1:Q0")
    assert blown.lit  # its lamp shows what the program wants, not what comes out
    assert "nothing comes out" in blown.why


def test_a_controller_without_supply_switches_nothing() -> None:
    found = lamps(panel_of(RELAY_OUTPUT, (), ["wire 1 open"]), ["PLC1:Q0 on"])
    assert ["PLC1 Q0 is off: PLC1 has no supply"] == list(found.steps[-1].followed)
    assert lamp(found, "PLC1:Q0").lit is False
    assert found.steps[-1].shown[0].powered is False


def test_between_the_limits_a_lamp_may_be_either() -> None:
    """12 V on an input for 24 V: neither surely on from 15 V nor surely off below 5 V."""
    divided = COMMON.replace("S1 --4--", "S1 --9-- R1 --4--")
    divided = divided.replace("button S1", "resistor R1 4000 ohm\nbutton S1")
    found = lamps(panel_of(divided), ["S1 pressed"])
    one = lamp(found, "PLC1:I0")
    assert one.lit is None
    assert found.left_open
    assert "between 5 V and 15 V" in one.why


def test_a_timer_runs_out_as_a_step_of_its_own() -> None:
    found = lamps(panel_of(DELAYED), ["SS1 on", "T1 runs out", "SS1 off"])
    assert [[], [], ["I0"], []] == [lit(found, step) for step in range(4)]
    assert ("T1",) == found.steps[1].running


def test_what_seals_itself_in_is_remembered_from_step_to_step() -> None:
    found = lamps(greenhouse(), ["S0 pressed", "S0 released", "S1 pressed"])
    assert [False, True, True] == ["I0" in lit(found, step) for step in range(3)]


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("S9 pressed", "there is no device S9"),
        ("K0 in", "follows its coil"),
        ("S0 runs out", "no timer"),
        ("S0 sideways", "is never"),
    ],
)
def test_steps_that_are_none_are_refused_before_anything_moves(step: str, words: str) -> None:
    with pytest.raises(NameMistake) as caught:
        lamps(greenhouse(), ["S0 pressed", step])
    assert words in caught.value.message


@pytest.mark.parametrize("text", [CONTROLLER, SOURCING, COMMON, RELAY_OUTPUT, TOO_FEW_VOLTS])
def test_the_document_is_as_its_schema_says_and_its_text_narrow(text: str) -> None:
    document = LampsDocument("a.panel", (), lamps(panel_of(text), []))
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(lamps_json.render(document)))
    for line in lamps_text.render(document, colour=False, width=40).splitlines():
        assert columns(line) <= 40


# ---- on a panel as it is met -------------------------------------------------------------------


def dosing(*steps: str, fault: str = "") -> tuple[Lamps, list[str]]:
    """What is told of the dosing panel, and its text from the last step on, stripped."""
    panel = sample(SAMPLES / "dosing.panel")
    told = lamps(suppose(panel, (), (fault,) if fault else ()).panel, steps, panel)
    text = lamps_text.render(LampsDocument("a.panel", (), told), colour=False, width=None)
    assert text.startswith("LIVE up to 24 V where this is metered\n")
    last = text.index(f"STEP {len(told.steps) - 1}:")
    return told, [line.strip() for line in text[last:].partition("\n\n")[0].splitlines()]


def test_an_output_that_stays_lit_and_no_longer_gives_anything_is_told() -> None:
    """The stop takes the 24 V of the outputs away, and the program still wants them."""
    _, text = dosing("S1 pressed", "S1 released", "PLC1:Q0 on", "ES1 pushed")
    at = text.index("Q0 stays lit")
    assert "if not, meter PLC1:Q0 to PS1:0V: 0 V" == text[at + 1]
    assert "nothing feeds its common QP: nothing comes out" == text[at + 2]
    assert "I4 goes out" in text
    _, text = dosing("S1 pressed", "PLC1:Q0 on", "ES1 pushed", "S1 released", "ES1 reset")
    assert "Q0 stays lit" not in text
    _, text = dosing("PLC1:Q0 on", "S1 pressed")
    at = text.index("Q0 stays lit")
    assert text[at + 1].startswith("if not, meter PLC1:Q0 to PS1:0V: 23.4 V DC, 0.33 A out of it")


BACKWARDS = f"""\
panel "Rain, from a battery the wrong way round"
{EDGE}
battery BT1 24 V DC, 100 A available
controller PLC1 24 V DC 6 W; inputs I0 to 0V 24 V DC 6 mA
circuit "Rain"
  E1:+ --1-- PLC1:+
  PLC1:0V --2-- E1:0V
  BT1:- --3-- PLC1:I0
  BT1:+ --4-- PLC1:0V
"""


def test_an_input_that_is_dark_for_a_reason_of_its_own_is_told_at_rest() -> None:
    told = lamps(panel_of(BACKWARDS), [])
    text = lamps_text.render(LampsDocument("a.panel", (), told), colour=False, width=None)
    assert "  I0 is dark\n    if not, meter PLC1:I0 to PLC1:0V: -24 V DC" in text
    assert "the wrong way round: its current would have to flow against its common" in text


def test_a_short_behind_an_output_opens_its_fuse_and_not_the_controller() -> None:
    """The supply gives 6 A into it, three times what `FU2` carries: it opens (UL 248: at 135 %
    within an hour, from memory), and the controller has its 24 V again."""
    told, text = dosing("S1 pressed", "PLC1:Q0 on", fault="wire 401 grounded")
    assert ("FU2 opens: 5.99 A through 2 A", "K2 drops out") == told.steps[-1].followed
    assert "nothing feeds its common QP: nothing comes out" in text
    assert "if not, meter PLC1:Q0 to PS1:0V: 0 V" in text


def test_a_short_that_only_drags_the_supply_down_is_told_as_what_it_does() -> None:
    text = (SAMPLES / "dosing.panel").read_text(encoding="utf-8")
    text = text.replace('"Outputs" 2 A', '"Outputs" 10 A').replace('inputs" 1 A', 'inputs" 6 A')
    panel = panel_of(text, (), ("wire 401 grounded",))
    told = lamps(panel, ["S1 pressed", "PLC1:Q0 on"]).steps[-1].followed
    assert "PLC1 Q0 is off: PLC1 has no supply" == told[0]
    assert "PLC1 has its supply back, and loses it with them on" == told[1]


def test_what_a_sensor_and_an_output_keep_for_themselves_is_taken_off() -> None:
    """24 V less the 2 V of a three-wire sensor, and less the 0.5 V of a transistor output; of a
    two-wire sensor that keeps 12 V the input is neither surely on nor surely off."""
    _, text = dosing("B1 operated")
    at = text.index("I3 comes on")
    assert text[at + 1].startswith("if not, meter PLC1:I3 to PLC1:0V: 22 V DC")
    _, text = dosing("S1 pressed", "PLC1:Q0 on")
    at = text.index("Q0 comes on")
    assert text[at + 1].startswith("if not, meter PLC1:Q0 to PS1:0V: 23.4 V DC")
    (shown,) = lamps(panel_of(TOO_FEW_VOLTS), ["B1 operated"]).steps[-1].shown
    (lamp,) = shown.lamps
    assert lamp.lit is None
    assert "between 5 V and 15 V it may be lit or not" == lamp.why


def test_what_a_sensor_keeps_is_kept_behind_the_diode_of_its_battery_too() -> None:
    """The diode across the coil beside it leads to the other pole, and is no way."""
    one = lamp(lamps(panel_of(BEHIND_A_DIODE), ["B1 operated"]), "PLC1:I0")
    assert one.expected is not None
    assert pytest.approx(12, abs=0.2) == one.expected.dc_v
    assert one.lit is None


def test_of_two_controllers_it_is_said_which_one_shows_what() -> None:
    told = lamps(panel_of(TWO_CONTROLLERS), ["PLC2:Q0 on"])
    text = lamps_text.render(LampsDocument("a.panel", (), told), colour=False, width=None)
    last = text[text.index("STEP 1") :].splitlines()
    assert ["  PLC1", "  inputs   dark    I0"] == last[1:3]
    assert "  PLC2" == last[4]
    assert "  outputs  lit     Q0" in last[4:]


def test_only_a_controller_that_had_lost_its_supply_has_it_back() -> None:
    """The second output draws all that the supply gives, through a fuse that is too large to
    open; the first controller has nothing on that it could let go."""
    heavy = TWO_CONTROLLERS.replace("FU2 1 A", "FU2 30 A").replace("FU1 3 A", "FU1 30 A")
    heavy = heavy.replace("valve Y2 24 V DC 6 W", "valve Y2 24 V DC 960 W")
    told = lamps(panel_of(heavy), ["PLC2:Q0 on"]).steps[-1].followed
    assert [
        "PLC2 Q0 is off: PLC2 has no supply",
        "PLC2 has its supply back, and loses it with them on",
    ] == list(told)


def test_a_disconnect_opens_by_no_current() -> None:
    """Its amperes are what it may carry and break, and no trip."""
    heavy = TWO_CONTROLLERS.replace("FU2 1 A", "FU2 2 A")
    heavy = heavy.replace("valve Y2 24 V DC 6 W", "valve Y2 24 V DC 960 W")
    followed = lamps(panel_of(heavy), ["PLC2:Q0 on"]).steps[-1].followed
    assert followed[0].startswith("FU2 opens")


@pytest.mark.parametrize(
    ("volts", "words"),
    [
        ("24 V DC", "on from 15 V, off below 5 V where it does not say (IEC 61131-2, from memory)"),
        ("12 V DC", "on from 10.2 V, off below 2.4 V where it does not say (from memory)"),
    ],
)
def test_levels_that_are_taken_name_a_standard_only_where_it_has_them(
    volts: str, words: str
) -> None:
    assert (
        f"inputs of PLC1 {words}" in lamps(panel_of(SOURCING.replace("24 V DC", volts)), []).assumed
    )


def test_a_lamp_that_may_be_either_is_metered_whichever_it_is() -> None:
    told = lamps(panel_of(TOO_FEW_VOLTS), ["B1 operated"])
    text = lamps_text.render(LampsDocument("a.panel", (), told), colour=False, width=None)
    assert "  I0 may be either\n    meter PLC1:I0 to PLC1:0V: 11.9 V DC" in text


def test_what_is_live_on_a_controller_is_told_with_nothing_on() -> None:
    """120 V stand on the common of an output that is off, beside inputs of 24 V."""
    told = lamps(panel_of(RELAY_OUTPUT), [])
    text = lamps_text.render(LampsDocument("a.panel", (), told), colour=False, width=None)
    assert text.startswith("LIVE up to 120 V where this is metered\n")


def test_a_band_that_begins_where_the_usual_one_does_is_said_all_the_same() -> None:
    """18 V lie below the 20.4 V that the text says, though above the 15 V of IEC 61131-2."""
    text = TOO_FEW_VOLTS.replace("drops 12 V", "drops 6 V")
    assert lamp(lamps(panel_of(text), ["B1 operated"]), "PLC1:I0").lit
    text = text.replace("24 V DC 6 mA", "24 V DC 6 mA from 20.4 V to 30 V")
    assert lamp(lamps(panel_of(text), ["B1 operated"]), "PLC1:I0").lit is None


def test_a_fuse_that_is_kept_closed_does_not_open_in_time_either() -> None:
    heavy = TWO_CONTROLLERS.replace("valve Y2 24 V DC 6 W", "valve Y2 24 V DC 960 W")
    panel = suppose(panel_of(heavy), ("FU1 closed", "FU2 closed"), ()).panel
    followed = lamps(panel, ["PLC2:Q0 on"]).steps[-1].followed
    assert followed[0].startswith("PLC2 Q0 is off")
