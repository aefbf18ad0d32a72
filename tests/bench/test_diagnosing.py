"""Symptoms and readings in, suspects out: each told from the fault that was put in."""

from __future__ import annotations

import pytest

from netcheck.bench import diagnose_text
from netcheck.bench.broken_panel import Bench
from netcheck.bench.candidates import distinct, joints, plain, swapped, unprotected
from netcheck.bench.contradictions import contradictions
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import Diagnosis, _Search, diagnose
from netcheck.bench.next_reading import Next
from netcheck.bench.observations import Dim, Read, Symptom, observation
from netcheck.bench.readings import Reading
from netcheck.bench.sound import Sound
from netcheck.bench.standing import stand
from netcheck.bench.trial import Trial
from netcheck.bench.walks import Walk, walks_of
from netcheck.bench.whereabouts import GroundAtHand
from netcheck.case import Case
from netcheck.model.faults import broken, fault_in_words
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.record import replace
from tests.bench.panels import (
    BRANCHES,
    CONTROLLER,
    HEATER,
    SAMPLES,
    VALVE,
    load_of,
    panel_of,
    sample,
)
from tests.operated import Operated


def told(text: str, *lines: str) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines])


def names(diagnosis: Diagnosis) -> list[str]:
    return [suspect.fault for suspect in diagnosis.suspects]


# ---- what was seen ----


def test_a_symptom_and_a_reading_are_read_with_their_state() -> None:
    panel = panel_of(VALVE)
    assert Symptom(
        "Y1 does not open with S2 pressed and S1 released", "Y1", False,
        ("S2 pressed", "S1 released"),
    ) == observation(panel, "Y1  does not open with S2 pressed and S1 released")  # fmt: skip
    assert Read(
        "K1:A1 to K1:A2 reads -24 V DC", "K1:A1", "K1:A2", -24.0, "DC", False, ()
    ) == observation(panel, "K1:A1 to K1:A2 reads -24 V DC")


@pytest.mark.parametrize(
    ("line", "plain"),
    [
        ("Y1 will not open with S2 pressed", "Y1 does not open with S2 pressed"),
        ("Y1 won't open with S2 pressed", "Y1 does not open with S2 pressed"),
        ("Y1 doesn\u2019t open with S2 pressed", "Y1 does not open with S2 pressed"),
        ("K1 will not drop out", "K1 does not drop out"),
        ("K1 will not pull in with S2 pressed", "K1 does not pull in with S2 pressed"),
        ("K1 isn't in with S2 pressed", "K1 is out with S2 pressed"),
        ("Y1 is not on with S2 pressed", "Y1 is off with S2 pressed"),
        ("K1 chatters with S2 pressed", "K1 hums with S2 pressed"),
        ("K1 buzzes with S2 pressed", "K1 hums with S2 pressed"),
        ("Y1 stays shut with S2 pressed", "Y1 is off with S2 pressed"),
        ("Y1 stays closed with S2 pressed", "Y1 is off with S2 pressed"),
        ("Y1 does not shut", "Y1 stays on"),
        ("Y1 will not close", "Y1 is on"),
        ("Y1 does nothing with S2 pressed", "Y1 is off with S2 pressed"),
        ("K1 starts by itself", "K1 is on"),
        ("Y1 does not open when S2 is pressed", "Y1 does not open with S2 pressed"),
        ("Y1 is off when S2 pressed with S1 released", "Y1 is off with S1 released and S2 pressed"),
    ],
)
def test_as_people_say_it_is_as_good_as_the_plain_words(line: str, plain: str) -> None:
    panel = panel_of(VALVE)
    meant = observation(panel, plain)
    assert isinstance(meant, Symptom | Dim)
    assert replace(meant, words=line) == observation(panel, line)


def test_a_reading_may_say_when_it_was_taken() -> None:
    for text, line in (
        (VALVE, "K1:A1 to K1:A2 24 V DC {} S2 is pressed"),
        (CONTROLLER, "PLC1:I0 is dark {} FL1 is operated"),
    ):
        panel = panel_of(text)
        told, plain_ = (observation(panel, line.format(word)) for word in ("when", "with"))
        assert isinstance(told, Read)
        assert isinstance(plain_, Read)
        assert (told.red, told.volts, told.within_v) == (plain_.red, plain_.volts, plain_.within_v)
        assert [word.replace(" is", "") for word in plain_.withs] == [*told.withs]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("K1:A1 is off", "K1:A1 is a terminal"),
        ("Y3 does not open", "there is no device Y3"),
        ("Y1 does not opn", "`Y1 does not opn` is no symptom"),
        ("S1 does not work", "S1 is no load"),
        ("K1:A1 to K1:A3 24 V", "K1 has no terminal K1:A3"),
        ("Y1 is off with S2 pushed", "S2 is never `pushed`"),
        # One that does not open stays in, and one that does not close stays out.
        ("K1 does not open", "`K1 does not open` may mean either"),
        ("K1 does not close with S2 pressed", "`K1 does not close` may mean either"),
        ("FU1 is blown", "`FU1 is blown` does not say when it opens"),
        ("FU1 is dim", "`FU1 is dim` is no symptom"),
        ("K1 is out with S2 pressed and S2 released", "S2 cannot be pressed and released at once"),
        ("K1:A1 to K1:A2 0 V when S1 pressed and S1 released", "at once"),
        ("K1 hums when S2 is released", "`K1 hums when S2 is released` is no symptom"),
    ],
)
def test_what_says_nothing_is_refused(line: str, words: str) -> None:
    with pytest.raises(NameMistake) as caught:
        observation(panel_of(VALVE), line)
    assert words in caught.value.message


@pytest.mark.parametrize(
    ("line", "expected", "agrees"),
    [
        ("K1:A1 to K1:A2 24 V", Reading(dc_v=23.4), True),
        ("K1:A1 to K1:A2 24 V AC", Reading(dc_v=23.4), False),
        ("K1:A1 to K1:A2 -24 V", Reading(dc_v=24.0), False),
        ("K1:A1 to K1:A2 0 V", Reading(floats=True), True),
        ("K1:A1 to K1:A2 24 V", Reading(floats=True), False),
        ("K1:A1 to K1:A2 floats", Reading(dc_v=24.0), False),
    ],
)
def test_a_reading_agrees_with_what_a_meter_may_show(
    line: str, expected: Reading, agrees: bool
) -> None:
    seen = observation(panel_of(VALVE), line)
    assert isinstance(seen, Read)
    assert agrees == seen.agrees(expected)


# ---- suspects ----


@pytest.mark.parametrize(
    "fault",
    ["FU1 blown", "wire 204 open", "wire 208 open", "S1:11-12 open", "K1:A1-A2 open",
     "K1:23-24 open", "Y1:1-2 open", "K1 held out"],
)  # fmt: skip
def test_the_fault_that_was_put_in_is_among_the_suspects_and_each_reading_keeps_it(
    fault: str,
) -> None:
    panel = panel_of(VALVE)
    there = fault_in_words(panel, fault)
    bench = Bench(Sound(panel), lambda sound: broken(sound, there))
    lines = ["Y1 does not open with S2 pressed"]
    for _ in range(12):
        found = told(VALVE, *lines)
        assert fault in names(found)
        if found.next is None:
            break
        step = found.next
        shown = bench.reading(step.red, step.black, step.withs)
        fitting = [o for o in step.outcomes if o.reading.like(shown, 0.15) or shown.floats]
        assert any(fault in outcome.faults for outcome in fitting)
        value = "0 V" if shown.floats else f"{shown.size_v:.1f} V"
        lines.append(f"{step.red} to {step.black} {value} with S2 pressed")
    # What is left cannot be told apart by volts on these ways.
    assert len(found.suspects) <= 4


def test_a_reading_at_the_coil_sends_one_ahead_of_it_or_past_it() -> None:
    ahead = names(told(VALVE, "Y1 is off with S2 pressed", "K1:A1 to K1:A2 0 V with S2 pressed"))
    past = names(told(VALVE, "Y1 is off with S2 pressed", "K1:A1 to K1:A2 24 V with S2 pressed"))
    assert "FU1 blown" in ahead
    assert "K1:A1-A2 open" not in ahead
    assert "K1:A1-A2 open" in past
    assert not set(ahead) & set(past)


def test_what_stays_on_is_a_weld_or_a_relay_that_is_held_in() -> None:
    found = told(VALVE, "Y1 stays on")
    assert {"K1 held in", "K1:23-24 welded", "S2:13-14 welded", "K1:13-14 welded"} == set(
        names(found)
    )


def test_what_is_meant_to_be_off_needs_no_fault() -> None:
    found = told(VALVE, "Y1 is off")
    assert found.sound_fits
    assert [] == names(found)


def test_what_no_single_fault_explains_is_said_so() -> None:
    found = told(VALVE, "Y1 is off with S2 pressed", "K1:A1 to K1:A2 120 V AC with S2 pressed")
    assert [] == names(found)
    assert not found.sound_fits
    assert 2 == len(found.misfits)


def test_a_blown_line_fuse_of_a_240_v_heater_is_found_by_120_v_to_neutral() -> None:
    # 0 V across it and 120 V to neutral at both ends: which fuse, the two ends cannot tell.
    found = told(HEATER, "HTR1 does not heat", "HTR1:1 to HTR1:2 0 V", "HTR1:1 to MAINS:N 120 V AC")
    assert {"FU1 blown", "FU2 blown"} <= set(names(found))
    assert "HTR1:1-2 open" not in names(found)
    assert found.next is not None


def test_a_water_float_is_found_by_the_lamp_of_its_input() -> None:
    panel = panel_of(CONTROLLER)
    found = diagnose(panel, [observation(panel, "PLC1:I0 to PLC1:0V 0 V with FL1 operated")])
    assert {"FL1:13-14 open", "wire 3 open", "wire 4 open"} <= set(names(found))


def test_the_lamp_of_an_input_is_told_as_it_is_seen() -> None:
    """Dark, its own circuit is suspected, and of all that a reading of nought there suspects what
    leaves the controller its supply; lit, what feeds it is whole."""
    panel = panel_of(CONTROLLER)
    dark = diagnose(panel, [observation(panel, "PLC1:I0 is dark with FL1 operated")])
    read = diagnose(panel, [observation(panel, "PLC1:I0 to PLC1:0V 0 V with FL1 operated")])
    assert {"E1 gives nothing", "wire 2 open"} == set(names(read)) - set(names(dark))
    assert {"FL1:13-14 open", "wire 3 open", "wire 4 open"} <= set(names(dark))
    panel = panel_of(CONTROLLER.replace("E1:+ --3-- FL1", "PLC1:+ --3-- FL1"))
    off = observation(panel, "Y1 does not open with PLC1:Q1 on and FL1 operated")
    lit = observation(panel, "PLC1:I0 is lit with PLC1:Q1 on and FL1 operated")
    assert "wire 1 open" in names(diagnose(panel, [off]))
    assert "wire 1 open" not in names(diagnose(panel, [off, lit]))
    assert {"wire 5 open", "Y1:1-2 open"} <= set(names(diagnose(panel, [off, lit])))


def test_a_lamp_that_was_seen_tells_that_its_controller_works() -> None:
    """As it says itself: what feeds both is whole, and no reading is asked for that tells it."""
    panel = panel_of(CONTROLLER.replace("E1:+ --3-- FL1", "PLC1:+ --3-- FL1"))
    dark = observation(panel, "PLC1:I0 is dark with FL1 operated")
    found = names(diagnose(panel, [dark]))
    assert {"FL1:13-14 open", "wire 3 open", "wire 4 open"} == set(found)
    dead = [dark, observation(panel, "PLC1 is off with FL1 operated")]
    assert {"E1 gives nothing", "wire 1 open"} <= set(names(diagnose(panel, dead)))


def test_what_an_output_s_lamp_shows_is_said_with_it() -> None:
    with pytest.raises(NameMistake) as caught:
        observation(panel_of(CONTROLLER), "PLC1:Q1 is lit")
    assert "with PLC1:Q1 on" in caught.value.help


def test_a_lamp_says_no_more_than_on_which_side_of_its_limits_the_volts_are() -> None:
    """IEC 61131-2, type 1, from memory: on from 15 V, off below 5 V, either between."""
    panel = panel_of(CONTROLLER)
    lit, dark = (observation(panel, f"PLC1:I0 is {word}") for word in ("lit", "dark"))
    assert isinstance(lit, Read)
    assert isinstance(dark, Read)
    for volts, may_be in ((24, {lit}), (16, {lit}), (9, {lit, dark}), (0, {dark})):
        assert may_be == {one for one in (lit, dark) if one.agrees(Reading(volts))}
    assert dark.agrees(Reading(floats=True))
    assert not lit.agrees(Reading(ac_v=24))
    assert 1 == len(contradictions([lit, dark]))
    metered = observation(panel, "PLC1:I0 to PLC1:0V 16 V DC")
    assert isinstance(metered, Read)
    assert () == contradictions([lit, metered])
    assert 1 == len(contradictions([dark, metered]))


def test_the_next_reading_parts_the_suspects() -> None:
    found = told(VALVE, "Y1 does not open with S2 pressed")
    assert found.next is not None
    groups = [set(outcome.faults) for outcome in found.next.outcomes]
    assert 2 <= len(groups)
    assert set(names(found)) == set().union(*groups)
    assert sum(map(len, groups)) == len(found.suspects)
    assert max(map(len, groups)) < 0.7 * len(found.suspects)


def test_with_its_sources_kept_on_a_panel_is_powered_all_the_same() -> None:
    """Nothing moves then that relays would follow."""
    trial = Trial(panel_of(VALVE, ["E1 present", "S2 pressed"]))
    trial.powered()
    assert 1 == trial.position("K1")
    panel = sample(SAMPLES / "mist_bench.panel")
    every = []
    for kept in ("", " and EA present"):
        line = observation(panel, f"ML2.Y1 opens with B2 operated{kept}")
        every.append(diagnose(panel, [line]))
    free, kept_on = every
    assert names(free) == names(kept_on)
    assert free.not_told == kept_on.not_told


# ---- what is on only while a button is held ----


def seen_of_held(panel: Panel) -> tuple[bool, bool]:
    """Whether K1 is in, so that Y1 is on, while S2 is held and once it is let go: every order of
    relays tried."""
    operated = Operated(Case(panel)).put(S2="pressed")
    held = {"Y1" in on for on in operated.on()}
    let_go = {"Y1" in on for on in operated.put(S2="released").on()}
    (one,), (other,) = held, let_go
    return one, other


def test_what_drops_out_once_its_button_is_let_go_has_lost_its_own_contact() -> None:
    """Of every single fault those and no others that a panel operated by hand shows so."""
    panel = panel_of(VALVE)
    assert (True, True) == seen_of_held(panel)
    found = told(VALVE, "K1 drops out when S2 is released")
    ways = walks_of(stand(panel).states, load_of(panel, "K1")).ways
    every = {one.words: one.put_into(panel)[0] for one in plain(panel, ways, stays_on=False)}
    assert 10 < len(every)
    assert {"K1:13-14 open", "wire 205 open", "wire 206 open"} == set(names(found))
    shows = {words for words, one in every.items() if seen_of_held(one) == (True, False)}
    assert shows == set(names(found))
    assert found.next is not None
    assert {"K1:13", "E1:0V"} == {found.next.red, found.next.black}
    assert () == found.next.withs  # while it is held both sides of the contact are fed


def test_what_stays_in_once_its_button_is_let_go_needs_no_fault() -> None:
    assert told(VALVE, "K1 stays in once S2 is let go").sound_fits
    jog = VALVE.replace("  S1:12 --205-- K1:13-14 --206-- K1:A1\n", "")
    assert told(jog, "K1 drops out when S2 is released").sound_fits
    held = told(jog, "K1 stays in when S2 is released")
    assert not held.sound_fits
    assert "K1 held in" in names(held)


def test_what_it_does_for_a_load_behind_the_relay_is_told_too() -> None:
    own = {"K1:13-14 open", "wire 205 open", "wire 206 open"}
    assert own == set(names(told(VALVE, "Y1 does not stay on after S2 is let go")))
    both = told(VALVE, "Y1 stops when S2 is released", "K1 stays in when S2 is released")
    assert not set(names(both)) & own


def test_what_does_not_drop_out_has_its_stop_or_itself_stuck() -> None:
    """Of every single fault those and no others that a panel operated by hand shows so; at rest
    one whose stop is stuck is out."""
    panel = panel_of(VALVE)
    found = told(VALVE, "K1 does not drop out when S1 is pressed")
    ways = walks_of(stand(panel).states, load_of(panel, "K1")).ways
    every = {one.words: one.put_into(panel)[0] for one in plain(panel, ways, stays_on=True)}
    shows = set()
    for words, one in every.items():
        operated = Operated(Case(one)).tap("S2").put(S1="pressed")
        if all("Y1" in on for on in operated.on()):
            shows.add(words)
    assert {"S1:11-12 welded", "K1 held in"} == shows == set(names(found))
    assert found.next is not None
    assert "S1 pressed" in found.next.withs
    assert {"S1:11-12 welded"} < set(names(told(VALVE, "Y1 stays on with S1 pressed")))


# ---- what is not in the text ----

TEN_LINES = """\
panel "Fan over the door"
edge E1 120 V AC 60 Hz, two-wire, fused 15 A, 5 kA available, N grounded, from "somewhere"
edge E2 24 V DC, fused 2 A, 10 A available, 0V grounded, from "the cabinet in the lobby"
temperature switch TS1 normally open 1-2
relay K1 coil 24 V DC 1 W; normally open 13-14
motor M1 1/4 hp 115 V AC single-phase
circuit "Fan"
  E2:+ --1-- TS1:1-2 --2-- K1:A1-A2 --3-- E2:0V
  E1:L --4-- K1:13-14 --5-- M1:T1-T2 --6-- E1:N
"""


def test_a_text_of_ten_lines_with_edges_is_diagnosed() -> None:
    assert 10 > TEN_LINES.count("\n")
    found = told(TEN_LINES, "M1 does not run with TS1 operated")
    assert {"wire 2 open", "K1:13-14 open", "M1:T1-T2 open", "wire 6 open"} <= set(names(found))
    assert found.next is not None
    at_edge = told(TEN_LINES, "M1 does not run with TS1 operated", "E1:L to E1:N 0 V")
    assert {"E1 gives nothing"} == set(names(at_edge))


def test_where_nothing_drawn_explains_it_the_text_is_likely_wrong() -> None:
    """The fan runs with the thermostat cold though its contact is proved open: nothing drawn does
    that, another feed would."""
    from netcheck.bench.diagnose_document import DiagnoseDocument
    from netcheck.bench.diagnose_text import render

    lines = ["M1 runs", "K1:13 to K1:14 120 V AC"]
    found = told(TEN_LINES, *lines)
    assert [] == names(found)
    assert set(lines) == set(found.misfits) | {"K1:13 to K1:14 120 V AC"}
    document = DiagnoseDocument("a.panel", (), tuple(lines), found)
    text = " ".join(render(document, colour=False, width=60).split())
    assert "the text is likely wrong: follow the wires of these ways and compare" in text


def test_a_wire_found_different_from_the_text_is_told_as_the_text_s_mistake() -> None:
    from netcheck.bench.diagnose_document import DiagnoseDocument
    from netcheck.bench.diagnose_text import render

    lines = ["M1 does not run with TS1 operated", "wire 5 different"]
    found = told(TEN_LINES, *lines)
    assert "wire 5 open" == names(found)[0]
    text = render(DiagnoseDocument("a.panel", (), tuple(lines), found), colour=False, width=None)
    assert "text wrong wire 5 different: mend the text there, or the wire, and ask again" in text


def test_a_black_lead_at_the_ground_of_the_other_panel_may_stay_in_this_one() -> None:
    """The tank house is 60 m of cable from the pump house, and both 0 V are grounded."""
    panel = sample(SAMPLES / "two_houses.panel")
    line = "A.M1 does not run with A.S1 on and B.FL1 operated"
    found = diagnose(panel, [observation(panel, line)])
    assert found.next is not None
    assert ("B.K1:14", "A.PS1:0V") == (found.next.red, found.next.black)
    assert "ground (B.GB1)" == found.next.ground_instead
    assert () == found.next.apart
    text = diagnose_text.render(DiagnoseDocument("a", (), (), found), colour=False, width=None)
    assert (
        "  A.PS1:0V is out of reach there: ground (B.GB1) does for it, if that is whole\n" in text
    )
    said = [line, "B.K1:14 to A.PS1:0V 24 V DC with A.S1 on and B.FL1 operated"]
    there = diagnose(panel, [observation(panel, one) for one in said])
    assert there.next is not None
    assert "A." == there.next.red[:2] == there.next.black[:2]
    assert "" == there.next.ground_instead


FAR_VALVE = """\
panel "Bench"
location tank: outside, 30 degC
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
strip X1 terminals 1 to 2
valve Y1 24 V DC 8 W, at tank
circuit "Fill"
  E1:+ --1-- X1:1 --2-- Y1:1-2 --3-- X1:2 --4-- E1:0V
"""
GROUNDED_THERE = """\
  E1:PE --PE-- Y1:PE
"""


def next_of(text: str, *lines: str) -> Next:
    found = told(text, *lines).next
    assert found is not None
    return found


def test_leads_reach_from_the_panel_to_the_tank_only_where_nothing_within_reach_tells() -> None:
    """Within reach of the tank and of the panel each, a break of either wire to a valve looks the
    same: 24 V to the valve's wires at the panel, none across the valve."""
    text = FAR_VALVE
    shown_v = {"E1:+": 24, "X1:1": 24, "X1:2": 0, "Y1:1": 0}  # to what is metered against; wire 2
    lines = ["Y1 does not work"]
    while not (step := next_of(text, *lines)).apart:
        assert step.black in ("E1:0V", "Y1:2"), step
        lines.append(f"{step.red} to {step.black} {shown_v[step.red]} V")
    assert {"wire 2 open", "wire 3 open"} <= set(names(told(text, *lines)))
    assert ("tank", "the panel") == step.apart
    document = DiagnoseDocument("a", (), (), told(text, *lines))
    shown = diagnose_text.render(document, colour=False, width=None)
    assert "nothing within reach tells: the leads must reach from tank to the panel\n" in shown


def test_a_grounded_terminal_beside_a_device_does_for_a_pole_that_is_out_of_reach() -> None:
    text = FAR_VALVE + GROUNDED_THERE
    lines = ["Y1 does not work", "X1:1 to E1:0V 24 V", "X1:2 to E1:0V 0 V"]
    step = next_of(text, *lines)
    assert ("Y1:1", "E1:0V") == (step.red, step.black)
    assert ("ground (Y1:PE)", ()) == (step.ground_instead, step.apart)


def test_a_point_that_only_suspected_wires_hold_at_ground_is_not_taken_for_ground() -> None:
    """X1:2 is at ground for as long as wire 4 is whole."""
    panel = panel_of(FAR_VALVE + GROUNDED_THERE)
    ground = GroundAtHand(panel)
    assert "ground (Y1:PE)" == ground.instead_of("E1:0V", "Y1:1")
    assert "" == ground.instead_of("X1:2", "Y1:1")
    assert "" == ground.instead_of("E1:0V", "X1:1")


def test_where_a_source_does_not_read_its_volts_at_its_own_poles_only_it_is_put_in_otherwise() -> (
    None
):
    """Nothing behind its poles makes less of them; what shorts it ahead of all protection may."""
    panel = sample(SAMPLES / "greenhouse.panel")
    dead = diagnose(panel, [observation(panel, "MAINS:L1 to MAINS:N 0 V")])
    low = diagnose(panel, [observation(panel, "MAINS:L1 to MAINS:N 60 V AC")])
    assert ["MAINS gives nothing"] == [one.fault for one in dead.suspects]
    assert {"wire 1 grounded", "wire 3 grounded"} <= {one.fault for one in dead.also}
    assert ["MAINS gives too few volts"] == [one.fault for one in low.suspects]
    assert low.tried < 10


# ---- a supply that is fed and gives nothing ----


def at(name: str, *lines: str) -> Diagnosis:
    panel = sample(SAMPLES / f"{name}.panel")
    return diagnose(panel, [observation(panel, line) for line in lines])


def all_ways(panel: Panel) -> list[Walk]:
    loads = [part for part in panel.parts if part.load is not None and part.a != part.b]
    return [way for load in loads for way in walks_of(stand(panel).states, load).ways]


NOT_FED = "PS1:+ to PS1:0V 0 V"


@pytest.mark.parametrize("fed", ["PS1:L to PS1:N 120 V AC", "PS1:N to PS1:L 115 V AC"])
def test_a_supply_that_is_fed_and_gives_nothing_is_at_fault_itself(fed: str) -> None:
    """By hand: whatever is bad ahead of it, or open behind it, it would give its 24 V."""
    found = at("drive_pump", NOT_FED, fed)
    assert names(found) == ["PS1:L-N open"]
    assert not any("resistance" in one.fault for one in found.also)
    assert found.tried < at("drive_pump", NOT_FED).tried


def test_a_ground_ahead_of_what_opens_makes_a_supply_give_nothing() -> None:
    """By hand: 0V is grounded, and wire 201 leads from + to the first fuse; the supply limits."""
    panel = sample(SAMPLES / "drive_pump.panel")
    (ground,) = (
        one for one in unprotected(panel, all_ways(panel)) if one.words == "wire 201 grounded"
    )
    trial = Trial(ground.put_in(panel, 0))
    assert trial.powered() == ["PS1 is shorted and nothing opens: it gives nothing"]
    assert trial.stands
    for red, black, volts in (("PS1:+", "PS1:0V", 0), ("PS1:L", "PS1:N", 120)):
        reading = trial.reading(red, black)
        assert reading is not None
        assert reading.size_v == pytest.approx(volts, abs=0.5)
    assert [one.fault for one in at("drive_pump", NOT_FED, "PS1:L to PS1:N 120 V AC").also] == [
        "wire 201 grounded"
    ]


@pytest.mark.parametrize(
    "lines",
    [
        (NOT_FED, "PS1:L to PS1:N 0 V"),
        (NOT_FED, "CB1:2 to MAINS:N 120 V AC"),  # beside its own terminals something may be open
    ],
)
def test_a_supply_of_which_nobody_knows_that_it_is_fed_may_be_whole(lines: tuple[str, ...]) -> None:
    found = at("drive_pump", *lines)
    assert len(names(found)) > 1
    assert {"PS1:L-N open"} != {*names(found)}


def test_of_a_supply_the_way_of_its_own_input_is_looked_at_first() -> None:
    found = at("greenhouse", NOT_FED)
    assert "PS1:L-N open" in names(found)
    assert found.tried < 30


def test_a_supply_that_gives_too_little_may_get_too_little() -> None:
    found = at("drive_pump", "PS1:+ to PS1:0V 15 V DC", "PS1:L to PS1:N 112 V AC")
    assert "PS1 gives too few volts" in names(found)
    assert found.tried > 30


# ---- what looks alike once nothing parts the suspects ----


def test_a_joint_ahead_of_a_supply_that_gives_its_volts_is_not_told_beside_an_open_wire() -> None:
    """By hand: with a neutral so bad that SR1 is off PS1 does not give 24 V either."""
    lines = ["SR1 is off", "PS1:+ to PS1:0V 24 V DC", "SR1:A1 to PS1:0V 0 V", "XP:2 to PS1:0V 24 V"]
    found = at("drive_pump", *lines)
    assert found.next is None
    assert names(found)
    assert "high resistance at an end of wire N" not in {one.fault for one in found.also}


def test_points_that_wire_joins_and_that_read_apart_have_something_of_that_wire_open() -> None:
    """By hand: 24 V between the 0 V of K0 and that of PS1; of some 500 faults on all the ways, the
    last are those that all the ways share."""
    lines = ["K0:14 to PS1:0V 24 V DC", "K0:A2 to PS1:0V 24 V DC"]
    assert names(at("greenhouse", *lines, "XM:1 to PS1:0V 0 V")) == ["XM:1-2 open"]
    assert names(at("greenhouse", *lines, "XM:1 to PS1:0V 24 V DC")) == [
        "wire 200 PS1:0V to XM:1 open"
    ]


def test_of_swapped_wires_either_may_part_what_reads_apart() -> None:
    """By hand: with the wires at its poles swapped the 24 V of PS1 lie between its own 0V and the
    0 V of all others."""
    state = "with S0 pressed and S2 pressed and FL1 operated"
    points = ("K0:13", "OL1:96", "K1:14", "K1:A1", "K1:A2", "XM:2", "XM:1")
    lines = [f"K1 is off {state}", *(f"{at} to PS1:0V 24 V DC {state}" for at in points)]
    found = at("greenhouse", *lines)
    assert "wire 201 PS1:+ to XP:1 and wire 200 PS1:0V to XM:1 swapped at PS1:+" in {
        one.fault for one in (*found.suspects, *found.also)
    }


@pytest.mark.parametrize(
    "lines",
    [
        ("Y2 is off with S2 pressed", "H1 is off with S2 pressed"),
        ("H1 is off with S2 pressed", "Y1 is on"),
        ("K2 is off with S2 pressed", "Y1 is on with S2 pressed"),
    ],
)
def test_a_joint_or_swap_that_is_not_ahead_of_all_loads_amiss_explains_nothing(
    lines: tuple[str, ...],
) -> None:
    """Each that is left out is put in and solved."""
    panel = panel_of(BRANCHES)
    amiss = [observation(panel, line) for line in lines]
    search = _Search(panel, [one for one in amiss if isinstance(one, Symptom)])
    elsewhere = {one.words for one in search._swapped_elsewhere()}
    every = distinct([*joints(panel, search.ways), *swapped(panel, search.ways)])
    left_out = [one for one in every if not search._is_ahead_of_all(one)]
    assert left_out
    for one in left_out:
        put_in = search._tries.of(one, search._played)
        fits = search._explains(search._of_any_value(put_in) if one.is_soft else put_in)
        assert not fits or one.words in elsewhere, one.words
