"""Classic single faults of relay panels: what one open wire, weld or ground fault does.

The cases are facts of the trade, from memory: a stop opens a line, so that a broken wire stops
too; a contact in the return of a grounded control circuit is bridged by the first ground
fault; a welded pole with a plain auxiliary lets the opposite contactor in.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from netcheck.case import Case
from netcheck.facts.single_faults import OneFault, contacts_that_weld
from netcheck.model.build import build_panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.answers import Never, Undecided
from netcheck.states.behaviour import Behaviour
from netcheck.states.breakable import Breakable
from netcheck.states.single_faults import Broken, FaultAnswer, with_fault_told
from netcheck.states.witness import tell
from tests.annotated import Texts

Question = Callable[[Behaviour], int]

GROUNDED = 'edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "supply"'
FLOATING = 'edge E1 24 V DC, fused 4 A, 100 A available, 0V floating, from "supply"'


def one_fault(*lines: str) -> OneFault:
    text = "\n".join(['panel "Bench"', *lines, ""])
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    return Case(panel).conclude(OneFault)


def in_while(relay: str, switch: str = "", position: int = 1) -> Question:
    """The relay is in, and the switch in this position."""

    def condition(behaviour: Behaviour) -> int:
        relay_in = behaviour.in_positions(relay, frozenset((1,)))
        if not switch:
            return relay_in
        there = behaviour.in_positions(switch, frozenset((position,)))
        return behaviour.logic.both(relay_in, there)

    return condition


def words(answers: list[FaultAnswer]) -> set[str]:
    """All faults that let it happen once all has settled, alike or not."""
    return {
        fault.words
        for answer in answers
        if isinstance(answer, Broken) and answer.reached.kind == "settled operation"
        for fault in (answer.fault, *answer.alike)
    }


SEALED_IN = (
    GROUNDED,
    "button S1 normally closed 11-12",
    "button S2 normally open 13-14",
    "relay K1 coil 24 V DC; normally open 13-14",
    'circuit "Fan"',
    "E1:+ --101-- S1 --102-- S2 --103-- K1:A1-A2 --104-- E1:0V",
    "S1:12 --105-- K1:13-14 --106-- S2:14",
)


def test_a_normally_closed_stop_holds_with_any_one_wire_open() -> None:
    one = one_fault(*SEALED_IN)
    bad = in_while("K1", "S1")
    assert isinstance(one.opens.can_happen(bad), Never)
    assert one.no_open_wire.cannot_let(bad(one.behaviour))


def test_a_stop_is_defeated_by_its_own_weld_and_by_the_relay_that_stays_in() -> None:
    answers = one_fault(*SEALED_IN).welds.all_ways(in_while("K1", "S1"))
    assert {"S1:11-12 welded", "K1 held in"} == words(answers)
    assert isinstance(answers[-1], Never)


def test_the_steps_say_when_the_fault_comes() -> None:
    one = one_fault(*SEALED_IN)
    answer = one.welds.can_happen(in_while("K1", "S1"))
    assert isinstance(answer, Broken)
    witness = tell(with_fault_told(one.panel, answer.fault), answer.reached)
    assert answer.fault.comes in witness.steps
    assert "press S1" in witness.steps


def test_a_contact_welds_only_while_it_is_closed() -> None:
    # With S2 never pressed the seal-in contact never closes: no weld starts the fan but that
    # of the start button itself, and that one is open as long as nobody presses it.
    one = one_fault(*SEALED_IN, "assume S2 is never pressed")
    assert isinstance(one.welds.can_happen(in_while("K1")), Never)


PULLED_STOP = (
    GROUNDED,
    "button S3 normally open 13-14",
    "button S4 normally open 13-14",
    "relay K2 coil 24 V DC; normally open 13-14",
    "relay K3 coil 24 V DC; normally closed 21-22",
    'circuit "Fan"',
    "E1:+ --101-- K3:21-22 --102-- S4 --103-- K2:A1-A2 --104-- E1:0V",
    "K3:22 --105-- K2:13-14 --106-- S4:14",
    "E1:+ --107-- S3 --108-- K3:A1-A2 --109-- E1:0V",
)


def test_a_stop_that_pulls_a_relay_in_is_defeated_by_each_wire_it_needs() -> None:
    answers = one_fault(*PULLED_STOP).opens.all_ways(in_while("K2", "S3"))
    assert {"wire 107 open", "wire 108 open", "wire 109 open"} == words(answers)
    assert isinstance(answers[-1], Never)


def test_one_wire_of_a_ring_matters_to_nothing() -> None:
    ring = ("E1:+ --110-- S3:13", "K3:A2 --111-- E1:0V")
    answers = one_fault(*PULLED_STOP, *ring).opens.all_ways(in_while("K2", "S3"))
    assert {"wire 108 open"} == words(answers)


def test_two_stops_in_parallel_paths_need_two_faults() -> None:
    twice = (
        GROUNDED,
        "button S3 normally open 13-14 23-24",
        "button S4 normally open 13-14",
        "relay K2 coil 24 V DC; normally open 13-14",
        "relay K3 coil 24 V DC; normally closed 21-22",
        "relay K4 coil 24 V DC; normally closed 21-22",
        'circuit "Fan"',
        "E1:+ --101-- K3:21-22 --102-- K4:21-22 --103-- S4 --104-- K2:A1-A2 --105-- E1:0V",
        "K4:22 --106-- K2:13-14 --107-- S4:14",
        "E1:+ --108-- S3:13-14 --109-- K3:A1-A2 --110-- E1:0V",
        "E1:+ --111-- S3:23-24 --112-- K4:A1-A2 --113-- E1:0V",
    )
    one = one_fault(*twice)
    assert isinstance(one.opens.can_happen(in_while("K2", "S3")), Never)
    # That needs counting faults: it is not plain from what open wires take away.
    assert not one.no_open_wire.cannot_let(in_while("K2", "S3")(one.behaviour))


@pytest.mark.parametrize(
    ("source", "line", "starts"),
    [
        (GROUNDED, "E1:+ --101-- K1:A1-A2 --102-- S1 --103-- E1:0V", {"wire 102 grounded"}),
        (FLOATING, "E1:+ --101-- K1:A1-A2 --102-- S1 --103-- E1:0V", set()),
        (GROUNDED, "E1:+ --101-- S1 --102-- K1:A1-A2 --103-- E1:0V", set()),
    ],
)
def test_a_ground_fault_starts_what_is_switched_in_its_return(
    source: str, line: str, starts: set[str]
) -> None:
    devices = ("button S1 normally open 13-14", "relay K1 coil 24 V DC; normally open 13-14")
    one = one_fault(source, *devices, 'circuit "Fan"', line)

    def starts_alone(behaviour: Breakable) -> int:
        released = in_while("K1", "S1", 0)(behaviour)
        return behaviour.logic.both(released, behaviour.shorted ^ 1)

    assert starts == words(one.grounds.all_ways(starts_alone))


REVERSING = (
    "source MAINS 120/240 V AC 60 Hz, three-wire, neutral bonded here",
    'edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "supply"',
    "selector SS1 positions CLOSE OFF OPEN; 13-14 in OPEN; 23-24 in CLOSE",
    "lamp H1 24 V DC",
    "contactor K1 {mark}coil 24 V DC; 2 main poles 25 A; auxiliary normally closed 21-22{own}",
    "contactor K2 {mark}coil 24 V DC; 2 main poles 25 A; auxiliary normally closed 21-22{own}",
    "lamp H2 240 V AC",
    'circuit "Vent"',
    "E1:+ --101-- SS1:13-14 --102-- K2:21-22 --103-- K1:A1-A2 --104-- E1:0V",
    "SS1:13 --105-- SS1:23-24 --106-- K1:21-22 --107-- K2:A1-A2 --108-- E1:0V",
    "MAINS:L1 --1-- K1:1-2 --2-- H2 --3-- K1:4-3 --4-- MAINS:L2",
    "MAINS:L2 --5-- K2:1-2 --6-- H2:X1",
)


def both_ways(behaviour: Behaviour) -> int:
    """A pole of each contactor is closed: the lines meet."""
    poles = [p for p in behaviour.panel.parts if p.role == "main pole"]
    one = behaviour.logic.any_of([behaviour.closed(p) for p in poles if p.device == "K1"])
    two = behaviour.logic.any_of([behaviour.closed(p) for p in poles if p.device == "K2"])
    return behaviour.logic.both(one, two)


@pytest.mark.parametrize(
    ("mark", "own", "defeated"),
    [("", "", True), ("", " mirror contact", False), ("force-guided; ", "", False)],
)
def test_a_mirror_contact_keeps_the_other_contactor_out_when_a_pole_welds(
    mark: str, own: str, defeated: bool
) -> None:
    lines = [line.format(mark=mark, own=own) if "{" in line else line for line in REVERSING]
    found = words(one_fault(*lines).welds.all_ways(both_ways))
    assert ("K1:1-2 welded" in found) == defeated
    assert not any("held in" in fault for fault in found)


def test_with_a_lost_common_it_is_not_decided_what_a_coil_does() -> None:
    # K2's return and the lamp's part ways: with wire 110 open, current passes K1's coil, then
    # K2's the wrong way round, and comes home through the lamp.
    lost = (
        GROUNDED,
        "button S1 normally open 13-14",
        "button S2 normally open 13-14",
        "relay K1 coil 24 V DC; normally open 13-14",
        "relay K2 coil 24 V DC; normally open 13-14",
        "lamp H1 24 V DC",
        'circuit "Common"',
        "E1:+ --101-- S1 --102-- K1:A1-A2 --103-- K2:A2 --110-- E1:0V",
        "E1:+ --104-- S2 --105-- K2:A1",
        "K2:A1 --106-- H1 --107-- E1:0V",
    )
    one = one_fault(*lost)
    bad = in_while("K2", "S2", 0)
    assert isinstance(one.opens.can_happen(bad), Undecided)
    assert not one.no_open_wire.cannot_let(bad(one.behaviour))


def test_what_is_assumed_of_relays_holds_only_while_nothing_is_broken() -> None:
    assumed = (*PULLED_STOP, 'assume "a stop lets go": never (K2 is in and S3 is pressed)')
    answers = one_fault(*assumed).opens.all_ways(in_while("K2", "S3"))
    assert {"wire 107 open", "wire 108 open", "wire 109 open"} == words(answers)


def test_breakable_wires_are_the_same_circuit_as_long_as_none_is_open() -> None:
    panel = one_fault(*SEALED_IN).panel
    whole = Behaviour(panel, find_nodes(panel))
    single = Breakable(panel, list(one_fault(*SEALED_IN).opens.faults))
    mine, theirs = whole.logic, single.logic
    by_name = {mine.name_of(v): v for v in mine.support(whole.machine.motions["K1"].may_rise)}
    literal = theirs.substitute(
        single.machine.motions["K1"].may_rise, dict.fromkeys(single.came, 0)
    )
    assert {theirs.name_of(v) for v in theirs.support(literal)} == set(by_name)


def test_a_safety_relay_holds_in_only_where_it_is_not_marked_safety_rated() -> None:
    def faults(mark: str) -> set[str]:
        one = one_fault(
            GROUNDED,
            f"safety relay SR1 24 V DC 3 W{mark}; channel A S11-S12; reset S33-S34; "
            "normally open 13-14",
            "contactor K1 coil 24 V DC 3 W; auxiliary normally open 13-14",
        )
        return {fault.words for fault in contacts_that_weld(one.panel)}

    assert {"SR1 held in", "K1 held in"} <= faults("")
    assert "K1 held in" in faults(", safety-rated")
    assert not any(words.startswith("SR1") for words in faults(", safety-rated"))
