"""What it costs to tell every condition: of one panel, and of ladders of growing size.

Run with `python -m tests.benchmarks.conditions`.  Processor seconds of one run, of the
conditions alone: the panel is read and its behaviour worked out before.  The ladders are made
up: groups of 25 rungs behind an emergency stop and a master relay, each rung with start, stop
and a contact that holds it in, half with a float, some with a contact of an earlier relay, and
a pair in every eight that lock one another out.
"""

from __future__ import annotations

import gc
import random
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from netcheck.cli.loader import FileLoader
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.behaviour import Behaviour
from netcheck.states.conditions import Conditions, TooLarge
from tests.annotated import Texts

GROUP = 25
SIZES = (100, 300, 1000, 3000)
GREENHOUSE = Path(__file__).parents[2] / "samples" / "panels" / "greenhouse.panel"


def ladder(rungs: int, seed: int = 0) -> str:
    """The text of a panel of so many rungs."""
    choice = random.Random(seed)
    return "\n".join(['panel "Ladder"', *_supply(), *_groups(rungs, choice), ""])


def _supply() -> list[str]:
    return [
        "source MAINS 120 V AC, ungrounded",
        "supply PS1 120 V AC to 24 V DC, 80 A, 0V grounded",
    ]


def _groups(rungs: int, choice: random.Random) -> Iterator[str]:
    used: set[str] = set()
    lines = ["MAINS:L -- PS1:L-N -- MAINS:N"]
    for first in range(0, rungs, GROUP):
        number = first // GROUP
        yield f"emergency stop ES{number} normally closed 11-12"
        yield f"button SM{number} normally open 13-14"
        yield f"contactor KM{number} coil 24 V DC; 1 main pole; auxiliary normally open 13-14"
        lines.append(f"PS1:+ -- ES{number} -- SM{number} -- KM{number}:A1-A2 -- PS1:0V")
        lines.append(f"SM{number}:13 -- KM{number}:13-14 -- SM{number}:14")
        lines.append(f"PS1:+ -- KM{number}:1")
        for rung in range(first, min(first + GROUP, rungs)):
            yield from _rung(rung, first, choice, lines, used)
    yield 'circuit "Ladder"'
    yield from lines


def _rung(
    rung: int, first: int, choice: random.Random, lines: list[str], used: set[str]
) -> Iterator[str]:
    yield f"button S{rung}A normally closed 11-12"
    yield f"button S{rung}B normally open 13-14"
    yield (
        f"relay K{rung} coil 24 V DC; normally open 13-14 23-24 33-34; normally closed 41-42 51-52"
    )
    yield f"lamp H{rung} 24 V DC 20 mA"
    before = []
    if choice.random() < 0.5:
        yield f"float switch FL{rung} normally open 13-14"
        before.append(f"FL{rung}")
    partner = rung + 1 if rung % 8 == 0 else rung - 1
    if rung % 8 < 2 and first <= partner:
        before.append(f"K{partner}:41-42")
    elif rung > first and choice.random() < 0.3:
        contact = f"K{choice.randrange(first, rung)}:{choice.choice(('23-24', '51-52'))}"
        if contact not in used:
            used.add(contact)
            before.append(contact)
    passed = " -- ".join([f"KM{first // GROUP}:2", *before, f"S{rung}A", f"S{rung}B"])
    lines.append(f"{passed} -- K{rung}:A1-A2 -- PS1:0V")
    lines.append(f"S{rung}A:12 -- K{rung}:13-14 -- S{rung}B:14")
    lines.append(f"PS1:+ -- K{rung}:33-34 -- H{rung} -- PS1:0V")


def panel_of(text: str) -> Panel:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes, mistakes[:3]
    return panel


def greenhouse() -> Panel:
    path = str(GREENHOUSE)
    return build_panel(path, gather(path, FileLoader({path: str(GREENHOUSE.parent)})))[0]


def measure(name: str, panel: Panel) -> None:
    behaviour = Behaviour(panel, find_nodes(panel))
    start = time.process_time()
    conditions = Conditions(behaviour)
    ready = time.process_time()
    loads = list(conditions.loads())
    told = time.process_time()
    relays = [conditions.relay(mover) for mover in behaviour.machine.movers]
    end = time.process_time()
    large = sum(isinstance(load.full.sure, TooLarge) for load in loads)
    open_ones = sum(not load.full.decided for load in loads)
    print(
        f"{name:14} {len(loads):6} loads {len(relays):6} relays  {end - start:6.2f} s"
        f" (relays settled {ready - start:.2f}, loads {told - ready:.2f}, relays {end - told:.2f});"
        f" {large} too large, {open_ones} not decided"
    )


def main() -> None:
    gc.disable()  # as the command does
    measure("greenhouse", greenhouse())
    measure("greenhouse", greenhouse())
    for rungs in [int(size) for size in sys.argv[1:]] or SIZES:
        measure(f"ladder {rungs}", panel_of(ladder(rungs)))


if __name__ == "__main__":
    main()
