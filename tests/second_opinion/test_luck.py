"""What is said to come about without luck, against the plain reading of each sort of luck.

A coil in doubt stays out, or pulls in: what comes about without luck comes about with every
such coil out, with every one in, and with any choice between.  Fact of the trade, from memory:
below its pull-in voltage a coil may do either.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from types import SimpleNamespace
from typing import cast

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from netcheck.record import replace
from netcheck.states.answers import Instant, Reached
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE
from netcheck.states.luck import Luck
from netcheck.states.machine import Machine
from netcheck.states.proof import Prover
from tests.second_opinion.random_machines import draw_expression, machines
from tests.second_opinion.step_by_step import StepByStep

SOME = settings(max_examples=200, suppress_health_check=list(HealthCheck))


@dataclass
class Doubted:
    """A machine some of whose relays may do either while their doubt holds."""

    machine: Machine
    coil: dict[str, int] = field(default_factory=dict)
    doubt: dict[str, int] = field(default_factory=dict)

    def with_luck(self, lucky: frozenset[str]) -> Machine:
        """The machine in which these pull in while in doubt and the others do not."""
        made = replace(self.machine, motions=dict(self.machine.motions))
        for name, coil in self.coil.items():
            doubt = self.doubt[name]
            surely = made.logic.both(coil, doubt ^ 1)
            mover = made.movers[name]
            on = made.logic.either(surely, doubt if name in lucky else FALSE)
            made.attach_on_delay(mover, on) if mover.timed else made.attach_relay(mover, on)
        return made


@st.composite
def doubted(draw: st.DrawFn) -> Doubted:
    machine = draw(machines(most_states=200))
    found = Doubted(machine)
    for name in sorted(machine.movers)[: draw(st.integers(1, 2))]:
        found.coil[name] = draw_expression(draw, machine)
        found.doubt[name] = draw_expression(draw, machine)
    return found


def agrees(found: Doubted, bad: int, at: Instant) -> bool:
    """Whether something was said at all."""
    names = [*found.coil]
    certain = found.with_luck(frozenset())
    without = SimpleNamespace(
        machine=certain, logic=certain.logic, doubt=found.doubt, prover=Prover(certain)
    )
    luck = Luck(cast(Behaviour, without))
    way = luck.way_without(luck.coils(bad), bad, at)
    if not isinstance(way, Reached):
        return False
    for choice in product((False, True), repeat=len(names)):
        lucky = frozenset(name for name, is_in in zip(names, choice, strict=True) if is_in)
        machine = found.with_luck(lucky)
        prover = Prover(machine)
        plain = StepByStep(machine, prover.depends_on(bad), prover.possible_chatterers)
        kind, _ = plain.verdict(bad, at, same_instant=True)
        assert kind == "settled operation" or (kind, way.kind) == ("race", "race"), (lucky, kind)
    return True


@st.composite
def questions(draw: st.DrawFn) -> tuple[Doubted, int, Instant]:
    found = draw(doubted())
    ats: list[Instant] = ["any instant", "settled"]
    return found, draw_expression(draw, found.machine), draw(st.sampled_from(ats))


@SOME
@given(questions())
def test_what_comes_about_without_luck_does_so_with_every_luck(
    question: tuple[Doubted, int, Instant],
) -> None:
    agrees(*question)
