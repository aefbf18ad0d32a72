"""How many circuits each second opinion was asked about, noted while the tests run."""

from __future__ import annotations

import functools
import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import ParamSpec, TypeVar

from netcheck.states.machine import Machine

Asked = ParamSpec("Asked")
Found = TypeVar("Found")

CONDITIONS = "conditions against union-find or paths in every state"
PROOFS = "induction, diagrams and tables against breadth-first search"
REPLAYS = "counterexamples replayed step by step"
REWRITTEN = "other names, another order, doubled wires"


@dataclass
class Tally:
    """`circuits` are those that differ, `checks` how often one was compared and found alike."""

    circuits: set[Hashable] = field(default_factory=set)
    checks: int = 0
    seconds: float = 0.0


TALLIES = {name: Tally() for name in (CONDITIONS, PROOFS, REPLAYS, REWRITTEN)}


def counts(
    opinion: str, key: Callable[Asked, Hashable]
) -> Callable[[Callable[Asked, Found]], Callable[Asked, Found]]:
    """Of a check: each run that ends well is noted under `opinion`, its circuit by `key`.

    What raises is not noted: neither a difference nor a circuit that was not looked at.
    """

    def noting(check: Callable[Asked, Found]) -> Callable[Asked, Found]:
        @functools.wraps(check)
        def noted(*args: Asked.args, **named: Asked.kwargs) -> Found:
            tally, circuit, start = TALLIES[opinion], key(*args, **named), time.process_time()
            try:
                found = check(*args, **named)
            finally:
                tally.seconds += time.process_time() - start
            tally.checks += 1
            tally.circuits.add(circuit)
            return found

        return noted

    return noting


def written(machine: Machine, *literals: int) -> Hashable:
    """What tells one machine from another, and one question about it: names and expressions, not
    the numbers of gates, of which questions make more."""
    logic, known = machine.logic, dict[int, int]()

    def of(literal: int) -> int:
        if literal not in known:
            if literal & 1:
                known[literal] = hash(("not", of(literal ^ 1)))
            elif literal == 0 or logic.is_variable(literal):
                known[literal] = hash(logic.name_of(literal) if literal else "nothing")
            else:
                known[literal] = hash(tuple(sorted(map(of, logic.operands(literal)))))
        return known[literal]

    motions = [
        (name, *map(of, (each.may_rise, each.may_fall, each.must_rise, each.must_fall)))
        for name, each in machine.motions.items()
    ]
    movers = [(each.name, each.start, each.timed) for each in machine.movers.values()]
    asked = [*map(of, machine.constraints), None, *map(of, literals)]
    return hash((*machine.switches.values(), *movers, *motions, *asked))
