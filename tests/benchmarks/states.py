"""How the cost of proofs grows: start/stop ladders of growing size, and knotted cases.

Run with `python -m tests.benchmarks.states`.  Times are processor seconds of one run; what counts
are the ratios.  The ladders are made up: groups of 25 rungs behind an emergency stop and a
master relay, half with a permissive, a reversing pair in every eight, some cross references.
"""

from __future__ import annotations

import random
import resource
import time
from collections import Counter
from dataclasses import dataclass
from itertools import combinations

from netcheck.states.answers import Instant, Reached
from netcheck.states.machine import Machine, Mover, Switch
from netcheck.states.proof import Prover

GROUP = 25
SIZES = (100, 300, 1000, 3000)


def button(machine: Machine, name: str) -> Switch:
    return machine.switch(name, ["released", "between", "pressed"], resting=[0, 2], start=[0, 2])


def ladder(rungs: int, seed: int = 0) -> tuple[Machine, list[Mover], list[int]]:
    """A ladder, its relays, and for each reversing pair the literal of both being in."""
    choice = random.Random(seed)
    machine = Machine()
    on = machine.position(machine.switch("MAIN", ["absent", "present"], start=[0]), 1)
    relays: list[Mover] = []
    pairs: list[int] = []
    for first in range(0, rungs, GROUP):
        group = [machine.mover(f"K{n}") for n in range(first, min(rungs, first + GROUP))]
        live = _master(machine, on, first)
        for place, relay in enumerate(group):
            rung = [*live, *_start_stop(machine, relay)]
            number = first + place
            if choice.random() < 0.5:
                rung.append(machine.position(machine.switch(f"F{number}", ["open", "shut"]), 1))
            partner = place + 1 if number % 8 == 0 else place - 1
            if number % 8 < 2 and 0 <= partner < len(group):
                rung.append(group[partner].state ^ 1)
                if partner > place:
                    pairs.append(machine.logic.both(relay.state, group[partner].state))
            elif place and choice.random() < 0.3:
                rung.append(choice.choice(group[:place]).state ^ choice.randrange(2))
            machine.attach_relay(relay, machine.logic.all_of(rung))
        relays += group
    return machine, relays, pairs


def _master(machine: Machine, on: int, number: int) -> list[int]:
    """What is live while the emergency stop is shut and the master relay of the group in."""
    shut = machine.position(machine.switch(f"ES{number}", ["open", "shut"]), 1)
    start, master = button(machine, f"MS{number}"), machine.mover(f"MC{number}")
    seal = machine.logic.either(machine.position(start, 2), master.state)
    machine.attach_relay(master, machine.logic.all_of([on, shut, seal]))
    return [on, shut, master.state]


def _start_stop(machine: Machine, relay: Mover) -> list[int]:
    stop, start = button(machine, f"{relay.name} stop"), button(machine, f"{relay.name} start")
    seal = machine.logic.either(machine.position(start, 2), relay.state)
    return [machine.position(stop, 0), seal]


def interlocked(count: int) -> tuple[Machine, int]:
    """Relays that each keep all others out; asked about: any two in."""
    machine = Machine()
    relays = [machine.mover(f"K{n}") for n in range(count)]
    for number, relay in enumerate(relays):
        asked = machine.position(machine.switch(f"S{number}", ["open", "shut"]), 1)
        others = [other.state ^ 1 for other in relays if other is not relay]
        machine.attach_relay(relay, machine.logic.all_of([asked, *others]))
    two = [machine.logic.both(a.state, b.state) for a, b in combinations(relays, 2)]
    return machine, machine.logic.any_of(two)


def chain(count: int) -> tuple[Machine, int]:
    """Relays that each pull the next in; asked about: the last in."""
    machine = Machine()
    coil = machine.position(machine.switch("S1", ["open", "shut"], start=[0]), 1)
    for number in range(count):
        relay = machine.mover(f"K{number}")
        machine.attach_relay(relay, coil)
        coil = relay.state
    return machine, coil


def reflected_counter(count: int) -> tuple[Machine, int]:
    """Relays stepping through all 2 ** count states, one relay a step; asked about: the last."""
    machine = Machine()
    logic = machine.logic
    on = machine.position(machine.switch("S1", ["open", "shut"], start=[0]), 1)
    relays = [machine.mover(f"K{number}") for number in range(count)]
    odd = 0
    for relay in relays:
        odd = logic.choose(relay.state, odd ^ 1, odd)
    for number, relay in enumerate(relays):
        below = [other.state ^ 1 for other in relays[: max(number - 1, 0)]]
        before = [odd, relays[number - 1].state] if number else [odd ^ 1]
        steps = logic.all_of([on, *before, *below])
        machine.attach(relay, may_rise=steps, may_fall=steps, must_rise=0, must_fall=0)
    return machine, logic.all_of([relays[-1].state, *(k.state ^ 1 for k in relays[:-1])])


@dataclass(frozen=True)
class Questions:
    """What is asked of one machine."""

    machine: Machine
    bad: list[int]
    at: Instant = "any instant"
    same_instant: bool = False

    def cost(self) -> tuple[float, str]:
        """Processor seconds from the start, and how many answers of each kind."""
        start = time.process_time()
        prover = Prover(self.machine)
        answers = [
            prover.can_happen(bad, at=self.at, same_instant=self.same_instant) for bad in self.bad
        ]
        spent = time.process_time() - start
        kinds = Counter(a.kind if isinstance(a, Reached) else type(a).__name__ for a in answers)
        return spent, ", ".join(f"{count} {kind.lower()}" for kind, count in sorted(kinds.items()))


def main() -> None:
    first: dict[str, float] = {}
    for rungs in SIZES:
        machine, relays, pairs = ladder(rungs)
        for what, questions in {
            "shorts": Questions(machine, pairs),
            "races": Questions(machine, pairs, same_instant=True),
            "pulls in": Questions(machine, [relay.state for relay in relays], at="settled"),
        }.items():
            spent, kinds = questions.cost()
            growth = spent / first.setdefault(what, spent)
            limit = (rungs / SIZES[0]) ** 1.5
            print(
                f"ladder {rungs:5} {what:9}{spent:7.2f} s  x {growth:5.1f} of {limit:.0f}  {kinds}"
            )
    for name, (machine, bad) in {
        "40 relays all interlocked": interlocked(40),
        "relay chain 300": chain(300),
        "counter of 12 relays": reflected_counter(12),
    }.items():
        spent, kinds = Questions(machine, [bad]).cost()
        print(f"{name:26}{spent:7.2f} s  {kinds}")
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
