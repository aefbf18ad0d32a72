"""Faults and positions by their words, and the panel with them."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.model.build import build_panel
from netcheck.model.faults import FaultKind, broken, fault_in_words
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.supposed import position_in_words, suppose
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE, TRUE
from tests.annotated import Texts

TEXT = """\
panel "Bay"
source MAINS 120 V AC 60 Hz, neutral bonded here
breaker CB1 1-pole, 15 A
supply PS1 120 V AC to 24 V DC, 2 A, isolated, 0V grounded
fuse FU1 2 A
button S1 normally closed 11-12
button S2 normally open 13-14
selector SS1 positions HAND OFF AUTO; 13-14 in HAND; 23-24 in AUTO
emergency stop ES1 normally closed 11-12 direct opening
contactor K1 coil 24 V DC 3 W; 2 main poles 25 A; auxiliary normally open 13-14
contactor K2 force-guided; coil 24 V DC 3 W; 2 main poles 25 A; auxiliary normally closed 21-22
relay K3 coil 24 V DC 1 W; normally open 13-14 23-24
float switch FL1 normally open 13-14
lamp H1 24 V DC 20 mA
lamp H2 24 V DC 20 mA
circuit "Control"
  MAINS:L --1-- CB1 --2-- PS1:L-N --N-- MAINS:N
  PS1:+ --201-- FU1 --202-- ES1 --203-- S1 --204-- S2 --205-- K1:A1-A2 --200-- PS1:0V
  S1:12 --204-- K1:13-14 --205-- K1:A1
  FU1:2 --202-- K2:21-22 --206-- H1 --200-- PS1:0V
  FU1:2 --202-- SS1:13-14 --207-- K2:A1-A2 --200-- PS1:0V
  FU1:2 --202-- K1:1-2 --208-- H2 --200-- PS1:0V
"""


@pytest.fixture(scope="module")
def panel() -> Panel:
    found, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": TEXT})))
    assert not mistakes
    return found


@pytest.mark.parametrize(
    ("words", "in_full"),
    [
        ("K1 welded", "K1 welded"),
        ("K1:13-14 welded", "K1:13-14 welded"),
        ("K1:14-13 welded", "K1:13-14 welded"),
        ("K3:23-24 welded", "K3:23-24 welded"),
        ("S2 welded", "S2 welded"),
        ("S1 open", "S1 open"),
        ("K1:A1-A2 open", "K1:A1-A2 open"),
        ("H1 open", "H1 open"),
        ("H1 shorted", "H1 shorted"),
        ("FU1 blown", "FU1 blown"),
        ("CB1 tripped", "CB1 tripped"),
        ("S1:12 loose", "S1:12 loose"),
        ("K1 held in", "K1 held in"),
        ("K1 held out", "K1 held out"),
        ("wire 201 open", "wire 201 open"),
        ("wire  204  S1:12 to S2:13   open", "wire 204 S1:12 to S2:13 open"),
        ("wire 204 S2:13 to S1:12 grounded", "wire 204 S1:12 to S2:13 grounded"),
        ("wire 201 shorted to wire 203", "wire 201 shorted to wire 203"),
    ],
)
def test_a_fault_is_read_and_told_in_full_words(panel: Panel, words: str, in_full: str) -> None:
    fault = fault_in_words(panel, words)
    assert in_full == fault.words
    assert fault == fault_in_words(panel, fault.words)


@pytest.mark.parametrize(
    ("words", "message", "help"),
    [
        ("K4 welded", "there is no device K4", "did you mean"),
        ("K1 melted", "`K1 melted` is no fault", "`K1 welded`"),
        ("K1:13-15 welded", "there is no way through K1 from 13 to 15", "13-14"),
        ("K3 welded", "K3 has 2 places that may be welded", "`K3:13-14 welded`"),
        ("H1 welded", "H1 is a lamp: it is never `welded`", "open"),
        ("ES1 welded", "ES1 is an emergency stop: it is never `welded`", "open"),
        ("S1 held in", "S1 is a button, with no coil", ""),
        ("S1:15 loose", "S1 has no terminal 15", "11, 12"),
        ("wire 204 open", "3 wires bear the number 204", "`wire 204 S1:12 to S2:13`"),
        ("wire 999 open", "there is no wire 999", ""),
        ("wire 201 welded", "a wire is never `welded`", "grounded"),
        ("", "`` is no fault", ""),
    ],
)
def test_words_that_name_no_fault_are_told_with_what_would(
    panel: Panel, words: str, message: str, help: str
) -> None:
    if words == "wire 204 open":
        message = message.replace("3", str(sum(wire.number == "204" for wire in panel.wires)))
    with pytest.raises(NameMistake) as told:
        fault_in_words(panel, words)
    assert message == told.value.message
    assert help in told.value.help


@pytest.mark.parametrize(
    ("words", "mechanism", "position"),
    [
        ("S2 pressed", "S2", "pressed"),
        ("S2 is held", "S2", "pressed"),
        ("SS1 in AUTO", "SS1", "AUTO"),
        ("SS1 AUTO", "SS1", "AUTO"),
        ("FL1 at rest", "FL1", "at rest"),
        ("FL1 is at rest", "FL1", "at rest"),
        ("FL1 operated", "FL1", "operated"),
        ("MAINS off", "MAINS", "absent"),
        ("MAINS on", "MAINS", "present"),
        ("CB1 off", "CB1", "open"),
        ("ES1 pushed", "ES1", "pushed"),
    ],
)
def test_a_position_is_read(panel: Panel, words: str, mechanism: str, position: str) -> None:
    found, index = position_in_words(panel, words)
    assert (mechanism, position) == (found.name, found.positions[index])


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("S9 pressed", "there is no device S9"),
        ("S2 presed", "S2 is never `presed`"),
        ("K1 in", "K1 follows its coil and cannot be put anywhere"),
        ("H1 on", "H1 is a lamp: nothing of it can be put anywhere"),
        ("S2", "`S2` says no position"),
    ],
)
def test_what_cannot_be_put_there_is_told(panel: Panel, words: str, message: str) -> None:
    with pytest.raises(NameMistake) as told:
        position_in_words(panel, words)
    assert message == told.value.message


def test_one_thing_is_not_put_in_two_places(panel: Panel) -> None:
    with pytest.raises(NameMistake):
        suppose(panel, ["S2 pressed", "S2 released"], [])


def test_what_is_supposed_is_said_once_in_full_words(panel: Panel) -> None:
    said = suppose(panel, ["MAINS off", "MAINS off"], ["K1 welded", "wire 201 open"]).words
    assert ("with MAINS absent", "fault: K1 welded", "fault: wire 201 open") == said


def behaviour(panel: Panel) -> Behaviour:
    return Behaviour(panel, find_nodes(panel))


def test_a_switch_that_is_kept_does_not_move(panel: Panel) -> None:
    kept = behaviour(suppose(panel, ["S2 pressed"], []).panel)
    assert "S2" not in kept.machine.switches
    assert TRUE == kept.in_positions("S2", frozenset((1,)))


def test_a_welded_contactor_keeps_its_poles_closed_and_its_auxiliaries_follow(
    panel: Panel,
) -> None:
    # Common practice: auxiliaries that nothing links follow the armature.
    faulty = broken(panel, fault_in_words(panel, "K1 welded"))
    now = behaviour(faulty)
    by_role = {part.role: part for part in faulty.parts if part.device == "K1"}
    assert TRUE == now.closed(by_role["main pole"])
    assert now.closed(by_role["auxiliary"]) not in (TRUE, FALSE)


def test_a_force_guided_normally_closed_contact_stays_open_beside_a_welded_pole(
    panel: Panel,
) -> None:
    # IEC 60947-5-1 annex L, from memory: linked contacts are never closed both at once.
    faulty = broken(panel, fault_in_words(panel, "K2 welded"))
    (auxiliary,) = (p for p in faulty.parts if p.device == "K2" and p.role == "auxiliary")
    assert FALSE == behaviour(faulty).closed(auxiliary)


@pytest.mark.parametrize(
    ("words", "load"),
    [
        ("FU1 blown", "H1"),
        ("CB1 tripped", "H1"),
        ("wire 206 open", "H1"),
        ("H1 open", "H1"),
        ("PS1:+ loose", "H1"),
        ("K2:21-22 open", "H1"),
        ("K1 held out", "H2"),
    ],
)
def test_what_is_broken_on_a_loads_way_leaves_it_dead(panel: Panel, words: str, load: str) -> None:
    assert FALSE != behaviour(panel).on(load)
    now = behaviour(broken(panel, fault_in_words(panel, words)))
    answer = now.prover.can_happen(now.on(load))
    assert "Never" == type(answer).__name__


def test_a_contactor_held_in_is_in_whatever_its_coil_says(panel: Panel) -> None:
    now = behaviour(broken(panel, fault_in_words(panel, "K1 held in")))
    assert TRUE == now.in_positions("K1", frozenset((1,)))


def test_every_kind_of_fault_says_what_happens_when_it_comes(panel: Panel) -> None:
    comes = {
        "K1 welded": "K1 welds",
        "wire 201 open": "wire 201 opens",
        "FU1 blown": "FU1 blows",
        "CB1 tripped": "CB1 trips",
        "S1:12 loose": "S1:12 comes loose",
        "K1 held in": "K1 is held in",
        "wire 201 grounded": "wire 201 is grounded",
    }
    assert comes == {words: fault_in_words(panel, words).comes for words in comes}
    assert {fault_in_words(panel, words).kind for words in comes} < set(FaultKind)


LETTERS = " :-KSFUHwire0123open weldedgroundedshorted to heldin"


@given(st.text(st.sampled_from(LETTERS), max_size=40))
def test_any_words_are_a_fault_or_a_mistake_told(panel: Panel, words: str) -> None:
    for read in (fault_in_words, position_in_words):
        with suppress(NameMistake):
            assert read(panel, words)


OUTPUTS = """\
panel "Mist"
controller PLC1 24 V DC 6 W; transistor outputs Q0 Q1 from + 24 V DC 0.5 A
"""


@pytest.mark.parametrize(
    ("words", "in_full"),
    [
        ("PLC1:+-Q1 open", "PLC1:+ to Q1 open"),
        ("PLC1:+ to Q1 open", "PLC1:+ to Q1 open"),
        ("PLC1:+ to PLC1:Q1 open", "PLC1:+ to Q1 open"),
        ("PLC1:Q1 to + welded", "PLC1:+ to Q1 welded"),
        ("PLC1:+ to 0V shorted", "PLC1:+ to 0V shorted"),
    ],
)
def test_a_way_between_signs_is_told_without_a_dash_that_reads_as_one(
    words: str, in_full: str
) -> None:
    """`PLC1:+-Q1` is how a circuit enters and leaves; at the panel nobody finds a terminal +-Q1."""
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": OUTPUTS})))
    assert not mistakes
    assert in_full == fault_in_words(panel, words).words
