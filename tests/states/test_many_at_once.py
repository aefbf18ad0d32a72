"""Many that have to move: a way that is played, how long it is, and that no shorter one is."""

from __future__ import annotations

from unittest import mock

import pytest
from hypothesis import HealthCheck, given, settings

import netcheck.states.many_at_once as many_at_once
from netcheck.states.answers import Budget, Instant, Never, Reached
from netcheck.states.cone import Slicer
from netcheck.states.machine import Machine
from netcheck.states.many_at_once import changes_needed, straight_way
from netcheck.states.proof import Prover
from tests.benchmarks.knotted import contactors
from tests.second_opinion.step_by_step import StepByStep
from tests.second_opinion.test_states import questions

Question = tuple[Machine, int, Instant, bool]
FEW_STEPS = Budget(whole_variables=999, table_variables=-1, rounds=((30_000, 0),))


@pytest.mark.parametrize("count", [6, 16, 40])
def test_a_source_and_each_contactor_take_one_step_and_no_search(count: int) -> None:
    machine, all_in = contactors(count)
    answer = Prover(machine, FEW_STEPS).can_happen(all_in)
    assert isinstance(answer, Reached)
    assert "settled operation" == answer.kind
    moved = [change.name for step in answer.steps for change in step.changes]
    assert ["E1", *(f"K{number}" for number in range(count))] == moved
    assert all("pressed" == answer.start[f"S{number}"] for number in range(count))


def test_a_button_that_need_not_be_pressed_is_let_go() -> None:
    machine, _ = contactors(8)
    logic = machine.logic
    states = [mover.state for mover in machine.movers.values()]
    asked = logic.all_of([logic.either(*states[:2]), *states[2:]])
    answer = Prover(machine, FEW_STEPS).can_happen(asked)
    assert isinstance(answer, Reached)
    assert 1 == [answer.start["S0"], answer.start["S1"]].count("pressed")


def test_two_of_many_that_keep_each_other_out_are_never_in() -> None:
    machine, all_in = contactors(16)
    logic, movers = machine.logic, machine.movers
    for own, other in (("K3", "K9"), ("K9", "K3")):
        pressed = machine.position(machine.switches[f"S{own[1:]}"], 2)
        on = machine.position(machine.switches["E1"], 1)
        machine.attach_relay(movers[own], logic.all_of([on, pressed, movers[other].state ^ 1]))
    answer = Prover(machine, Budget(whole_variables=999)).can_happen(all_in)
    assert isinstance(answer, Never)


@settings(max_examples=300, suppress_health_check=list(HealthCheck))
@given(questions())
def test_no_way_has_fewer_steps_than_are_counted(question: Question) -> None:
    machine, bad, at, _ = question
    plain = StepByStep(machine, Prover(machine).depends_on(bad))
    distance = plain.operated_distance(lambda s: plain.is_wanted(bad, at, s, True), True)
    if distance is not None:
        assert changes_needed(machine, Slicer(machine).cone([bad]), bad) <= distance


@settings(max_examples=300, suppress_health_check=list(HealthCheck))
@given(questions())
def test_a_way_that_is_played_is_one_that_can_be_taken_and_a_shortest_one(
    question: Question,
) -> None:
    machine, bad, at, _ = question
    with mock.patch.object(many_at_once, "MANY", 0):
        way = straight_way(machine, Slicer(machine).cone([bad]), bad, at)
    if way is None:
        return
    plain = StepByStep(machine, Prover(machine).depends_on(bad))
    plain.check_way(way, bad, at, same_instant=False, strict=True)
    distance = plain.operated_distance(lambda s: plain.is_wanted(bad, at, s, True), True)
    assert distance == len(way.steps)
