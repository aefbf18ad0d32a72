"""States said to be seen without a proof, against the plain reading of the same machine.

Facts of the trade, from memory: what an operation is, and when relays have settled.
"""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from netcheck.states.machine import Machine
from netcheck.states.samples import Samples
from tests.second_opinion.random_machines import draw_expression, machines
from tests.second_opinion.step_by_step import State, StepByStep

STATES = 48


@st.composite
def questions(draw: st.DrawFn) -> tuple[Machine, list[str], int]:
    machine = draw(machines())
    sources = [name for name in machine.switches if draw(st.booleans())]
    return machine, sources, draw_expression(draw, machine)


@settings(max_examples=300, suppress_health_check=list(HealthCheck))
@given(questions())
def test_what_is_seen_true_is_reached_by_settled_operation(
    question: tuple[Machine, list[str], int],
) -> None:
    machine, sources, wanted = question
    if not Samples(machine, sources, STATES).happen(wanted):
        return
    plain = StepByStep(machine, (*machine.switches, *machine.movers))

    def is_wanted(state: State) -> bool:
        return plain.is_wanted(wanted, "settled", state, strict=True)

    assert plain.operated_distance(is_wanted, strict=True) is not None
