"""Faults played through all at once, held to each of them played through alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from netcheck.bench.standing import Standing, settled, stand
from netcheck.facts.single_faults import contacts_that_weld, wires_that_open
from netcheck.model.devices import Part
from netcheck.model.faults import Fault, broken
from netcheck.model.panel import Panel
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.running import running_states
from netcheck.states.answers import Reached
from netcheck.states.breakable import Breakable
from netcheck.states.faults_at_once import FaultsAtOnce, state_of
from netcheck.states.witness import assignment
from tests.facts.panels import panel_of
from tests.report.sheets.panels import GREENHOUSE, read

SHED = GREENHOUSE.with_name("potting_shed.panel")
EVERY = 9
"""So many of the faults are left out between two that are played alone: each takes a while."""


def running(panel: Panel) -> Standing:
    return running_states(Bench(panel)).states[0].standing


def loads(panel: Panel) -> list[Part]:
    return [part for part in panel.parts if part.load is not None and part.load.moves_or_heats]


def lit(standing: Standing) -> int:
    return sum(standing.holds(standing.states.energised(part)) for part in loads(standing.panel))


def alone(panel: Panel, standing: Standing, fault: Fault) -> list[bool]:
    """In the panel that has the fault for good, set to the same state and left to settle."""
    faulty = stand(broken(panel, fault))
    state = state_of(standing.states.machine, standing.values)
    values = assignment(faulty.states, Reached("settled operation", state, ()))
    there = settled(Standing(faulty.case, faulty.states, values), {})
    return [there.holds(there.states.energised(part)) for part in loads(panel)]


@pytest.mark.parametrize("path", [GREENHOUSE, SHED], ids=lambda path: path.stem)
def test_a_wire_open_does_what_it_does_alone(path: Path) -> None:
    panel = read(path)
    standing = running(panel)
    faults = list(wires_that_open(panel))
    machine = FaultsAtOnce(Breakable(panel, faults, certain=True))
    state = state_of(standing.states.machine, standing.values)
    played = machine.standing(state).with_faults()
    together = [played.on([part]) for part in loads(panel)]
    assert lit(standing)
    assert [] == [
        fault.words
        for number, fault in list(enumerate(faults))[::EVERY]
        if alone(panel, standing, fault) != [bool(bits >> number & 1) for bits in together]
    ]


SEAL_IN = """\
panel "Bench"
battery B1 24 V DC, - grounded
button S1 "Stop" normally closed 11-12 60 V DC 4 A, for stopping
button S2 "Start" normally open 13-14 60 V DC 4 A
contactor K1 coil 24 V DC 3 W; 1 main poles 60 V DC 10 A; auxiliary normally open 13-14 60 V DC 4 A
motor M1 "Vent" 24 V DC, 1 A full load
circuit "Vent"
  B1:+ --1-- S1 --2-- S2 --3-- K1:A1-A2 --0-- B1:-
  S1:12 --2-- K1:13-14 --3-- K1:A1
  B1:+ --1-- K1:1-2 --5-- M1 --0-- B1:-
"""


def test_a_start_button_welds_while_it_is_pressed_and_starts_again() -> None:
    panel = panel_of(SEAL_IN)
    faults = list(contacts_that_weld(panel))
    machine = FaultsAtOnce(Breakable(panel, faults, certain=True))
    motor = [part for part in panel.parts if part.device == "M1"]
    rest = machine.standing({"B1": "present"}).with_faults()
    stopped = rest.after({"S1": 1})
    again = stopped.after({"S1": 0})
    number = [fault.words for fault in faults].index("S2:13-14 welded")
    assert [1, 0, 1] == [one.on(motor) >> number & 1 for one in (rest, stopped, again)]
    assert 0 == again.on(motor) & machine.none


def test_a_contact_that_is_open_cannot_weld() -> None:
    panel = panel_of(SEAL_IN)
    faults = list(contacts_that_weld(panel))
    machine = FaultsAtOnce(Breakable(panel, faults, certain=True))
    rest = machine.standing({"B1": "present"}).with_faults()
    number = [fault.words for fault in faults].index("K1:13-14 welded")
    assert 0 == rest.came >> number & 1
    assert rest.came & machine.none
