"""States looked for on purpose, against the plain reading of the same machine."""

from __future__ import annotations

from hypothesis import HealthCheck, Phase, given, settings

from netcheck.states.directed import DirectedSamples
from netcheck.states.machine import Machine
from netcheck.states.proof import Prover
from tests.second_opinion.step_by_step import State, StepByStep
from tests.second_opinion.test_sampled_states import questions


@settings(
    max_examples=150,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
@given(questions())
def test_what_is_found_on_purpose_is_reached_by_settled_operation(
    question: tuple[Machine, list[str], int],
) -> None:
    machine, sources, wanted = question
    if not DirectedSamples(machine, sources, wanted).happen(wanted):
        return
    plain = StepByStep(machine, Prover(machine).depends_on(wanted))

    def is_wanted(state: State) -> bool:
        return plain.is_wanted(wanted, "settled", state, strict=True)

    assert plain.operated_distance(is_wanted, strict=True) is not None


def test_a_relay_behind_ten_switches_is_found_at_once() -> None:
    """A thousand power-ups at random come to it once; one on purpose is enough."""
    machine = Machine()
    source = machine.switch("MAINS", ["absent", "present"], start=[0])
    switches = [machine.switch(f"S{number}", ["off", "on"]) for number in range(10)]
    relay, lamp = machine.mover("K1"), machine.mover("K2")
    wanted = [machine.position(switch, number % 2) for number, switch in enumerate(switches)]
    machine.attach_relay(relay, machine.logic.all_of([machine.position(source, 1), *wanted[:5]]))
    machine.attach_relay(lamp, machine.logic.all_of([relay.state, *wanted[5:]]))
    assert DirectedSamples(machine, ["MAINS"], lamp.state).happen(lamp.state)
