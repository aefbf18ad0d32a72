"""What the whole review costs, by fact and by rule: CPU seconds of a panel, and of ladders.

    python -m tests.benchmarks.rules [PANEL...] [--rungs 100,300,1000] [--branches 8,16,20]
        [--top 12]

A ladder is so many start/stop rungs on two buses that go from device to device, each with a
relay that holds itself in, a fuse and a lamp.  Branches are heaters on one feeder, each with a
contactor that a button of its own holds in, and with more current than the feeder may carry.
What a fact costs is without the facts it asks for.  Growth is the power of the number of rungs
or branches by which the whole grew since the last size.
"""

from __future__ import annotations

import argparse
import math
import os
import time
from collections import defaultdict
from collections.abc import Iterator
from typing import Any
from unittest import mock

from netcheck.case import Case
from netcheck.finding import Review
from netcheck.review import review
from netcheck.rule import Rule
from netcheck.text import Source

GREENHOUSE = "samples/panels/greenhouse.panel"
MADE = "made.panel"


class _Texts:
    """Texts by name, else files."""

    def __init__(self, texts: dict[str, str]) -> None:
        self._texts = texts

    def load(self, path: str) -> Source:
        if path in self._texts:
            return Source(path, self._texts[path])
        with open(path, encoding="utf-8") as file:
            return Source(path, file.read())

    def resolve(self, include: str, origin: str) -> str:
        return os.path.join(os.path.dirname(origin), include)

    def project_file(self, path: str) -> Source | None:
        return None


class _Clock:
    """CPU seconds by what is being worked out, each without what it asks for in turn."""

    def __init__(self) -> None:
        self.spent: defaultdict[str, float] = defaultdict(float)
        self._within = [0.0]

    def run(self, name: str, work: Any) -> Any:
        start = time.process_time()
        self._within.append(0.0)
        try:
            return work()
        finally:
            seconds = time.process_time() - start
            self.spent[name] += seconds - self._within.pop()
            self._within[-1] += seconds


def measured(path: str, texts: dict[str, str]) -> tuple[Review, dict[str, float]]:
    """The review of a text, and CPU seconds by fact and rule; "whole" is all of it."""
    clock = _Clock()
    conclude, outcomes = Case.conclude, Rule.outcomes

    def timed_conclude(case: Case, fact: type) -> Any:
        if fact in case._facts:
            return case._facts[fact]
        return clock.run(f"fact {fact.__name__}", lambda: conclude(case, fact))

    def timed_outcomes(rule: Rule, case: Case) -> Iterator[Any]:
        return iter(clock.run(f"rule {rule.name}", lambda: list(outcomes(rule, case))))

    with (
        mock.patch.object(Case, "conclude", timed_conclude),
        mock.patch.object(Rule, "outcomes", timed_outcomes),
    ):
        start = time.process_time()
        found, _ = review([path], _Texts(texts))
        whole = time.process_time() - start
    rest = whole - sum(clock.spent.values())
    return found, {"whole": whole, "reading, model, order": rest, **clock.spent}


def ladder(rungs: int) -> str:
    """So many start/stop rungs on a bus that is looped from rung to rung."""
    lines = [
        'panel "Ladder"',
        "numbers one for each node",
        "wire kind control: 18 AWG copper MTW 90 degC blue, 600 V insulation, 0.2 m",
        "wire kind bus: 1 AWG copper MTW 90 degC blue, 600 V insulation, 0.2 m",
        "battery E1 24 V DC, fused 80 A, 500 A available, - grounded",
        "fuse FU0 80 A, 300 V DC, 20 kA interrupting",
    ]
    for rung in range(rungs):
        lines += [
            f"button S{rung} normally closed 11-12 60 V DC 4 A",
            f"button T{rung} normally open 13-14 60 V DC 4 A",
            f"relay K{rung} coil 24 V DC 0.5 W with diode; normally open 13-14 60 V DC 6 A; "
            "normally open 23-24 60 V DC 6 A",
            f"fuse F{rung} 1 A, 300 V DC, 20 kA interrupting",
            f"lamp H{rung} 24 V DC 20 mA LED",
        ]
    lines += ['circuit "Buses" in bus', "  E1:+ --1-- FU0:1"]
    for rung in range(rungs):
        fed = "FU0:2" if rung == 0 else f"F{rung - 1}:1"
        home = "E1:-" if rung == 0 else f"K{rung - 1}:A2"
        lines += [f"  {fed} --2-- F{rung}:1", f"  {home} --0-- K{rung}:A2"]
    lines.append('circuit "Rungs" in control')
    for rung in range(rungs):
        wire = 10 + 4 * rung
        lines += [
            f"  F{rung}:2 --{wire}-- S{rung}:11-12 --{wire + 1}-- T{rung}:13-14 "
            f"--{wire + 2}-- K{rung}:A1",
            f"  S{rung}:12 --{wire + 1}-- K{rung}:13-14 --{wire + 2}-- K{rung}:A1",
            f"  F{rung}:2 --{wire}-- K{rung}:23-24 --{wire + 3}-- H{rung}:X1",
            f"  H{rung}:X2 --0-- K{rung}:A2",
        ]
    return "\n".join(lines) + "\n"


def branches(count: int) -> str:
    """So many heaters of two poles on one feeder that is looped from breaker to breaker."""
    lines = [
        'panel "Branches"',
        "source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here",
        'edge E1 24 V DC, fused 4 A, 0V grounded, from "panel B"',
        f"breaker CB0 2-pole {6 * count} A 240 V AC",
        "wire kind power: 12 AWG copper THHN 90 degC black, 3 m",
    ]
    for n in range(1, count + 1):
        lines += [
            f"breaker CB{n} 2-pole 20 A 240 V AC",
            f"contactor K{n} coil 24 V DC 3 W; 2 main poles; auxiliary normally open 13-14",
            f"button S{n} normally open 13-14",
            f"heater HTR{n} 2 kW 240 V AC",
        ]
    lines += ['circuit "All" in power', "  MAINS:L1 -- CB0:1-2 -- CB1:1"]
    lines += ["  MAINS:L2 -- CB0:3-4 -- CB1:3", "  E1:+ -- S1:13", "  K1:A2 -- E1:0V"]
    for n in range(1, count + 1):
        if n > 1:
            lines += [f"  CB{n - 1}:{pole} -- CB{n}:{pole}" for pole in (1, 3)]
            lines += [f"  S{n - 1}:13 -- S{n}:13", f"  K{n - 1}:A2 -- K{n}:A2"]
        lines += [
            f"  CB{n}:2 -- K{n}:1-2 -- HTR{n}:1",
            f"  HTR{n}:2 -- K{n}:4-3 -- CB{n}:4",
            f"  S{n}:14 -- K{n}:A1",
            f"  S{n}:13 -- K{n}:13-14 -- K{n}:A1",
        ]
    return "\n".join(lines) + "\n"


def show(name: str, found: Review, seconds: dict[str, float], top: int) -> None:
    counts = (
        f"{len(found.findings)} findings, {len(found.mistakes)} mistakes, "
        f"{len(found.not_checked)} not checked, {len(found.not_decided)} not decided"
    )
    print(f"{name}: {seconds['whole']:.3f} s CPU; {counts}")
    dearest = sorted(seconds.items(), key=lambda one: -one[1])
    for what, spent in dearest[1 : top + 1]:
        print(f"    {spent * 1000:9.1f} ms  {what}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("panels", nargs="*", default=[GREENHOUSE])
    parser.add_argument("--rungs", default="100,300,1000")
    parser.add_argument("--branches", default="")
    parser.add_argument("--top", type=int, default=12)
    asked = parser.parse_args()
    for path in asked.panels:
        found, seconds = measured(path, {})
        show(path, found, seconds, asked.top)
    for what, make, sizes in (
        ("rungs", ladder, asked.rungs),
        ("branches", branches, asked.branches),
    ):
        before: tuple[int, float] | None = None
        for size in map(int, filter(None, sizes.split(","))):
            found, seconds = measured(MADE, {MADE: make(size)})
            show(f"{size} {what}", found, seconds, asked.top)
            if before is not None:
                grown = math.log(seconds["whole"] / before[1]) / math.log(size / before[0])
                print(f"    growth as n^{grown:.2f}")
            before = size, seconds["whole"]


if __name__ == "__main__":
    main()
