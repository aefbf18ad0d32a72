"""The proof engine against the plain reading of the same machine, and its parts against each other.

Facts of the trade, from memory: what an operation, a settled relay and a race are.
"""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from netcheck.facts.as_built import build
from netcheck.facts.closed_loops import ClosedLoops
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.states.answers import Answer, Budget, Instant, Never, Reached, Undecided
from netcheck.states.bounded import shortest
from netcheck.states.cone import Slicer
from netcheck.states.machine import Machine, Switch
from netcheck.states.proof import Prover
from netcheck.states.question import Question
from netcheck.states.solver import Meter
from netcheck.states.system import System
from netcheck.states.trace import operated
from tests.annotated import Texts
from tests.second_opinion.random_machines import draw_expression, machines
from tests.second_opinion.random_panels import Drawn, panels
from tests.second_opinion.step_by_step import StepByStep
from tests.second_opinion.tally import PROOFS, counts, written

BY_ENUMERATION = Budget()
TAKEN_APART = Budget(whole_variables=-1)
BY_DIAGRAMS = Budget(whole_variables=99, table_variables=-1, rounds=((0, 3_000_000),))
BY_PROOF = Budget(whole_variables=99, table_variables=-1, rounds=((50_000_000, 0),))

MANY = settings(max_examples=2_000, suppress_health_check=list(HealthCheck))
FEW = settings(max_examples=15, suppress_health_check=list(HealthCheck))
SOME = settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow])

questions = st.composite(lambda draw: _draw_question(draw))
large_questions = st.composite(
    lambda draw: _draw_question(draw, machines(most_states=1 << 14, most_movers=9, most_switches=6))
)


def _draw_question(
    draw: st.DrawFn, kinds: st.SearchStrategy[Machine] | None = None
) -> tuple[Machine, int, Instant, bool]:
    machine = draw(machines() if kinds is None else kinds)
    bad = draw_expression(draw, machine)
    ats: list[Instant] = ["any instant", "settled"]
    return machine, bad, draw(st.sampled_from(ats)), draw(st.booleans())


def kind_of(answer: Answer) -> str:
    """One word for an answer, as the plain reading gives it."""
    match answer:
        case Never(how="assumptions contradict"):
            return "assumptions contradict"
        case Never():
            return "never"
        case Reached(kind=kind):
            return kind
        case Undecided(chattering=names):
            assert names
            return "may chatter"


def agrees(question: tuple[Machine, int, Instant, bool], budget: Budget) -> None:
    machine, bad, at, same_instant = question
    prover = Prover(machine, budget)
    answer = prover.can_happen(bad, at=at, same_instant=same_instant)
    plain = StepByStep(machine, prover.depends_on(bad), prover.possible_chatterers)
    expected, distance = plain.verdict(bad, at, same_instant)
    assert expected == kind_of(answer)
    if isinstance(answer, Reached):
        plain.check_way(answer, bad, at, same_instant, strict=True)
        if answer.kind == "settled operation":
            assert distance == len(answer.steps)
    if isinstance(answer, Undecided) and answer.hint is not None:
        plain.check_way(answer.hint, bad, at, same_instant, strict=False)


@SOME
@given(questions())
def test_enumeration_agrees_with_the_plain_reading(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    agrees(question, BY_ENUMERATION)


@SOME
@given(questions())
def test_diagrams_agree_with_the_plain_reading(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    agrees(question, BY_DIAGRAMS)


@SOME
@given(questions())
def test_proof_agrees_with_the_plain_reading(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    agrees(question, BY_PROOF)


def taken_apart_alike(question: tuple[Machine, int, Instant, bool]) -> None:
    """Way by way a question gets the answer that it gets as a whole.

    Where something may chatter each way is judged by the relays it depends on itself: more is
    decided then, and nothing otherwise.
    """
    machine, bad, at, same_instant = question
    everything = StepByStep(machine, (*machine.switches, *machine.movers))
    if not any(True for _ in everything.operated_starts()):
        return  # each way is judged by the assumptions that concern it alone
    if not all(map(_can_always_rest, machine.switches.values())):
        return  # and by the switches: one that never rests keeps only its own ways from rest
    whole, apart = (
        Prover(machine, budget).can_happen(bad, at=at, same_instant=same_instant)
        for budget in (BY_ENUMERATION, TAKEN_APART)
    )
    found, expected = kind_of(apart), kind_of(whole)
    assert expected == found or "may chatter" in (expected, found) or not _settles(machine)
    if isinstance(apart, Reached):
        names = (*apart.state,)
        plain = StepByStep(machine, names, Prover(machine).possible_chatterers)
        plain.check_way(apart, bad, at, same_instant, strict=True)


def _can_always_rest(switch: Switch) -> bool:
    """Whether operations lead from wherever it may come to a position it rests in."""

    def reached(start: Iterable[int]) -> set[int]:
        found = set(start)
        while more := {b for a, b in switch.moves if a in found} - found:
            found |= more
        return found

    return all(reached({here}) & switch.resting for here in reached(switch.start))


def _settles(machine: Machine) -> bool:
    return not Prover(machine).possible_chatterers


@SOME
@given(questions())
def test_a_question_taken_apart_gets_the_answer_of_the_whole(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    taken_apart_alike(question)


@pytest.mark.slow
@MANY
@given(large_questions())
def test_larger_questions_taken_apart_get_the_answer_of_the_whole(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    taken_apart_alike(question)


@counts(PROOFS, lambda machine, bad, *_: written(machine, bad))
def all_agree(machine: Machine, bad: int, at: Instant, same_instant: bool) -> None:
    for budget in (BY_ENUMERATION, BY_DIAGRAMS, BY_PROOF):
        agrees((machine, bad, at, same_instant), budget)


@pytest.mark.slow
@MANY
@given(questions())
def test_thousands_of_machines_are_read_alike(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    all_agree(*question)


@pytest.mark.slow
@MANY
@given(large_questions())
def test_all_ways_of_proof_agree_on_larger_machines(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    ways_of_proof_agree(*question)


def ways_of_proof_agree(machine: Machine, bad: int, at: Instant, same_instant: bool) -> None:
    """Tables, diagrams and induction give one answer, and ways of one length."""
    listed, *others = (
        Prover(machine, budget).can_happen(bad, at=at, same_instant=same_instant)
        for budget in (BY_ENUMERATION, BY_DIAGRAMS, BY_PROOF)
    )
    for other in others:
        assert kind_of(listed) == kind_of(other)
        if isinstance(listed, Reached) and listed.kind == "settled operation":
            assert isinstance(other, Reached)
            assert len(listed.steps) == len(other.steps)


def panel_is_proved_alike(drawn: Drawn) -> None:
    """Of one panel: each load on, each coil's relay in, each loop closed."""
    panel, _ = build_panel("a.panel", gather("a.panel", Texts({"a.panel": drawn.text})))
    behaviour = build(panel).wide
    loads = [behaviour.energised(part) for part in panel.parts if part.load is not None]
    for condition in loads:
        ways_of_proof_agree(behaviour.machine, condition, "settled", False)
    loops = [loop.way.condition for loop in ClosedLoops(behaviour, behaviour).of(panel)]
    for condition in loops[:3]:
        for same_instant in (False, True):
            ways_of_proof_agree(behaviour.machine, condition, "any instant", same_instant)
    for bad in [*loads, *loops[:3]]:
        answer = Prover(behaviour.machine).can_happen(bad)
        if isinstance(answer, Reached):
            names = tuple(answer.state)
            plain = StepByStep(behaviour.machine, names, behaviour.prover.possible_chatterers)
            plain.check_way(answer, bad, "any instant", same_instant=False, strict=True)


@FEW
@given(panels())
def test_all_ways_of_proof_agree_on_panels_and_show_steps_that_can_be_taken(drawn: Drawn) -> None:
    panel_is_proved_alike(drawn)


@pytest.mark.slow
@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(panels())
def test_all_ways_of_proof_agree_on_many_panels(drawn: Drawn) -> None:
    panel_is_proved_alike(drawn)


@SOME
@given(questions())
def test_a_direct_search_finds_a_way_as_short_as_the_plain_reading_s(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    machine, bad, at, _ = question
    prover = Prover(machine)
    cone = Slicer(machine).cone([bad])
    system = System(Question(machine, cone, bad, at, frozenset()), "operated strictly")
    way = shortest(system, 6, Meter(50_000_000))
    plain = StepByStep(machine, prover.depends_on(bad))
    distance = plain.operated_distance(lambda s: plain.is_wanted(bad, at, s, True), strict=True)
    if way is None:
        assert distance is None or distance > 6
    else:
        assert distance == len(way) - 1
        plain.check_way(operated(cone, way), bad, at, same_instant=False, strict=True)


@SOME
@given(machines(most_states=200))
def test_relays_that_are_said_to_settle_can_always_come_to_rest(machine: Machine) -> None:
    prover = Prover(machine)
    names = (*machine.switches, *machine.movers)
    plain = StepByStep(machine, names, prover.possible_chatterers)
    stuck = [state for state in plain.every_race_state() if not plain.comes_to_rest(state)]
    assert [] == stuck


@SOME
@given(machines(most_states=200))
def test_relays_that_are_said_to_chatter_cannot_come_to_rest_by_themselves(
    machine: Machine,
) -> None:
    for knot in Prover(machine).chattering():
        assert not isinstance(knot.answer, Never)
        if isinstance(knot.answer, Reached):
            shown = tuple(knot.answer.state)
            by_themselves = StepByStep(machine, shown, frozenset(shown) - set(knot.names))
            assert not by_themselves.comes_to_rest(by_themselves.read(knot.answer.state))


@SOME
@given(questions())
def test_the_same_question_gets_the_same_answer_twice(
    question: tuple[Machine, int, Instant, bool],
) -> None:
    machine, bad, at, same_instant = question
    once, again = (
        Prover(machine, BY_PROOF).can_happen(bad, at=at, same_instant=same_instant)
        for _ in range(2)
    )
    assert once == again
