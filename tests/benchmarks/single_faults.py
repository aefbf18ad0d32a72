"""What proofs with one fault cost: start/stop ladders of growing size, every stop asked about.

    python -m tests.benchmarks.single_faults [--sizes 100 1000]

Processor seconds of one run.  "open wires, plainly" is what is told from the panel as drawn;
the others are asked with every fault of the whole ladder in one question.  Of a weld nearly
every stop is defeated, which costs more than a proof: the way to it is the shortest there is.
"""

from __future__ import annotations

import argparse
import resource
import time
from collections import Counter
from collections.abc import Callable
from contextlib import suppress

from netcheck.facts.single_faults import OneFault
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.states.answers import Never
from netcheck.states.behaviour import Behaviour
from netcheck.states.single_faults import Broken
from tests.benchmarks.ladders import Drawing, ladder

SIZES = (100, 300, 1000)


def stopped_but_in(rung: int) -> Callable[[Behaviour], int]:
    """The relay of a rung is in while its stop is pressed."""

    def condition(behaviour: Behaviour) -> int:
        pressed = behaviour.in_positions(f"S{rung}a", frozenset((1,)))
        return behaviour.logic.both(behaviour.in_positions(f"K{rung}", frozenset((1,))), pressed)

    return condition


def daisy_chain(rungs: int) -> Drawing:
    """Each rung is fed from the one before, and comes home by it: the longest lines there are."""
    out = Drawing()
    out.mains("MAINS")
    out.supply("PS1")
    out.chain("MAINS:L1", "PS1:L-N", "MAINS:N")
    feed, home = "PS1:+", "PS1:0V"
    for rung in range(rungs):
        stop, start = out.button(f"S{rung}a", closed=True), out.button(f"S{rung}b", closed=False)
        out.relay(f"K{rung}", [("13-14", True)])
        out.chain(feed, stop, start, f"K{rung}:A1-A2", home)
        out.chain(f"S{rung}a:12", f"K{rung}:13-14", f"S{rung}b:14")
        feed, home = f"S{rung}a:11", f"K{rung}:A2"
    return out


def word(answer: object) -> str:
    if isinstance(answer, Broken):
        return "broken" if answer.reached.kind == "settled operation" else "race"
    return "never" if isinstance(answer, Never) else "not decided"


def measure(name: str, panel: Panel, rungs: int) -> None:
    behaviour = Behaviour(panel, find_nodes(panel))
    one_fault = OneFault(behaviour)
    asked = [
        rung
        for rung in range(rungs)
        if isinstance(
            behaviour.prover.can_happen(stopped_but_in(rung)(behaviour), at="settled"), Never
        )
    ]
    print(f"{name}: {len(panel.wires)} wires, {len(asked)} stops that hold as drawn")

    def timed(what: str, ask: Callable[[int], str]) -> None:
        start = time.process_time()
        kinds = Counter(ask(rung) for rung in asked)
        spent = time.process_time() - start
        told = ", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items()))
        print(f"    {what:22}{spent:7.2f} s  {told}")

    def plainly(rung: int) -> str:
        bad = stopped_but_in(rung)(behaviour)
        return "never" if one_fault.no_open_wire.cannot_let(bad) else "not plain"

    timed("open wires, plainly", plainly)
    for what in ("opens", "welds", "grounds"):
        timed(what, lambda rung: word(getattr(one_fault, what).can_happen(stopped_but_in(rung))))  # noqa: B023


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--sizes", type=int, nargs="+", default=SIZES)
    with suppress(BrokenPipeError):
        for rungs in arguments.parse_args().sizes:
            measure(f"ladder {rungs}", ladder(rungs).panel(), rungs)
            measure(f"daisy chain {rungs}", daisy_chain(rungs).panel(), rungs)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"peak memory {peak:.0f} MB")


if __name__ == "__main__":
    main()
