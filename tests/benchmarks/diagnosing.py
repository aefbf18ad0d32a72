"""How long a diagnosis takes, how many readings it asks for, and whether it loses the fault.

    python -m tests.benchmarks.diagnosing [--answers] [--readings] [--sample N] [--trees N]

Answers: whole processes on the greenhouse panel, in turn with one that only imports lark and
click, against a second of processor time.  Readings: every fault of every sort on the ways of
the loads of each sample panel is put in; where it changes a symptom, the symptom is told and each
reading that is asked for is given, exact and off by 5 %, until none is asked for.  Counted is
whether the fault is told at the end, of a seeded sample of each panel's faults; and, for some
symptoms, the mean number of readings over all suspects, against that of the best tree of readings
by brute force, or where that has too many sets to look at against the entropy bound.
Printed is each figure beside what it is to reach; nothing is asserted.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path
from random import Random

from netcheck.bench.broken_panel import Unsolvable
from netcheck.bench.candidates import Candidate, distinct, joints, plain, shorts, supplies, swapped
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.drills import moves_to
from netcheck.bench.fitting import Tried, tried, unbroken
from netcheck.bench.observations import Observation, Symptom, observation
from netcheck.bench.standing import stand
from netcheck.bench.tries import Tries
from netcheck.bench.walks import Walk, walks_of
from netcheck.model.devices import Drive, Part
from netcheck.model.panel import Panel
from netcheck.record import draft, fresh, record
from netcheck.states.answers import Reached
from tests.bench.panels import SAMPLES, sample
from tests.bench.search_trees import TooManySets, entropy_bound, groups_of, least_mean, lines_of
from tests.benchmarks.whole_process import spent

ANSWERS = {
    "a motor that does not run": "M1 does not run with S0 pressed, SS1 in HAND, FL1 operated "
    "and S2 pressed",
    "a relay that stays in": "K1 is in with S0 pressed, SS1 in HAND and FL1 operated",
    "a lamp that is not lit": "H0 is not lit with S0 pressed",
    "a lamp that is dim": "H0 glows dim with S0 pressed",
    "a breaker that trips": "CB3 trips when K5 pulls in",
    "a motor that hums": "M1 hums with S0 pressed, SS1 in HAND, FL1 operated and S2 pressed",
    "a valve that does not run": "Z1.Y1 does not run with S0 pressed and PLC1:Q4 on",
    "a valve that hums": "Z1.Y1 hums with S0 pressed and PLC1:Q4 on",
    "a controller that is off": "PLC1 is off",
    "a lamp, at the last reading": "H0 is not lit with S0 pressed; K0:23 to PS1:0V 24 V DC with "
    "S0 pressed; H0:X1 to PS1:0V 24 V DC with S0 pressed; H0:X2 to PS1:0V 0 V with S0 pressed",
}
"""Lines with semicolons between them."""
IMPORTS = [sys.executable, "-c", "import lark, click"]
MOST_READINGS = 40
MOST_IN_A_TREE = 80
OFF = (1.0, 0.95, 1.05)


@record
class Case:
    """A fault, and the line that says what it changes."""

    candidate: Candidate
    line: str


@draft
class Reach:
    """What came of the cases of one panel."""

    ratios: list[float] = fresh(factory=list)
    bounds: list[float] = fresh(factory=list)
    unread: int = 0
    lost: dict[float, int] = fresh(factory=dict)
    walked: dict[float, int] = fresh(factory=dict)
    sorts: Counter[str] = fresh(factory=Counter)
    lost_cases: list[str] = fresh(factory=list)


# ---- time ----------------------------------------------------------------------------------------


def answers(runs: int) -> None:
    panel = str(SAMPLES / "greenhouse.panel")
    print(
        f"{'processor seconds of an answer, greenhouse panel':50} reach   median    least    most"
    )
    for name, line in ANSWERS.items():
        saw = [word for one in line.split("; ") for word in ("--saw", one)]
        command = [sys.executable, "-m", "netcheck", "diagnose", panel, *saw]
        spent(command)  # bytecode is kept from here on
        took, beside = [], []
        for _ in range(runs):
            took.append(spent(command).processor_s)
            beside.append(spent(IMPORTS).processor_s)
        median = statistics.median(took)
        ratio = median / statistics.median(beside)
        print(
            f"  {name:48} {1.0:5.1f} {median:8.2f} {min(took):8.2f} {max(took):7.2f}  "
            f"{ratio:5.1f} x lark and click  {'met' if median <= 1 else 'NOT MET'}",
            flush=True,
        )


# ---- readings ------------------------------------------------------------------------------------


def cases_of(panel: Panel, random: Random) -> Iterator[Case]:
    """Faults of the list that change whether a load works that they are on the way of; in any
    order, and each sort of fault in its turn."""
    standing = stand(panel)
    by_sort: dict[str, list[tuple[Candidate, str]]] = {}
    for load, line in _symptoms(panel):
        for candidate in _faults(panel, walks_of(standing.states, load).ways):
            by_sort.setdefault(candidate.sort, []).append((candidate, line))
    for cases in by_sort.values():
        random.shuffle(cases)
    while any(by_sort.values()):
        for cases in by_sort.values():
            while cases:
                candidate, line = cases.pop()
                if _shows(panel, candidate, observation_of(panel, line)):
                    yield Case(candidate, line)
                    break


def _symptoms(panel: Panel) -> Iterator[tuple[Part, str]]:
    """Each load that something puts on, and the line that says it is off then."""
    for load in panel.parts:
        if load.load is None or load.a == load.b or load.spare or load.role == "input":
            continue
        withs = how_on(panel, load)
        if withs is None:
            continue
        line = f"{load.device} is off" + (f" with {' and '.join(withs)}" if withs else "")
        # Left out: something else of the device is off, or it needs to be done in an order.
        if not _shows(panel, None, observation_of(panel, line)):
            yield load, line


def observation_of(panel: Panel, line: str) -> Symptom:
    told = observation(panel, line)
    assert isinstance(told, Symptom)
    return told


def how_on(panel: Panel, load: Part) -> list[str] | None:
    """Where hands and the process put things for it to be on; None where nothing does so."""
    states = stand(panel).states
    answer = states.prover.can_happen(states.energised(load), at="settled")
    if not isinstance(answer, Reached):
        return None
    put = {}
    for name, position in moves_to(panel, answer):
        put[name] = position
    found = []
    for name, position in put.items():
        mechanism = panel.mechanisms[name]
        if mechanism.drive in (Drive.HAND, Drive.PROCESS, Drive.OUTPUT) and position:
            device, _, mark = name.partition(" ")
            found.append(f"{device}{':' if mark else ''}{mark} {mechanism.positions[position]}")
    return found


def _faults(panel: Panel, ways: Sequence[Walk]) -> list[Candidate]:
    further = (*shorts(panel, ways), *joints(panel, ways), *supplies(panel, ways))
    return distinct([*plain(panel, ways, stays_on=False), *further, *swapped(panel, ways)])


def _shows(panel: Panel, candidate: Candidate | None, told: Observation) -> bool:
    one = unbroken(_tries(panel).sound) if candidate is None else _put_in(panel, candidate)
    try:
        return one.fits([told])
    except Unsolvable:
        return False


def _put_in(panel: Panel, candidate: Candidate) -> Tried:
    return tried(_tries(panel).sound, candidate)


def found_at(panel: Panel, case: Case, off: float) -> tuple[int, bool | None, Diagnosis]:
    """Readings until none is asked for, whether the fault is then told, and the first answer; None
    where with the fault there are no numbers to read."""
    true, lines = _put_in(panel, case.candidate), [case.line]
    first: Diagnosis | None = None
    for count in range(MOST_READINGS):
        told = _told(panel, tuple(lines))
        first = first or told
        if told.next is None:
            named = {one.fault for one in (*told.suspects, *told.also)}
            return count, case.candidate.words in named, first
        step = told.next
        try:
            reading = true.reading(step.red, step.black, step.withs)
        except Unsolvable:
            return count, None, first
        lines.append(lines_of(step.red, step.black, reading, step.withs, off))
    assert first is not None
    return MOST_READINGS, False, first


_TOLD: dict[tuple[str, tuple[str, ...]], Diagnosis] = {}


def _told(panel: Panel, lines: tuple[str, ...]) -> Diagnosis:
    """Many faults give the same readings up to a point: each answer is worked out once."""
    key = panel.path, lines
    if key not in _TOLD:
        seen = [observation(panel, line) for line in lines]
        _TOLD[key] = diagnose(panel, seen, tries=_tries(panel))
    return _TOLD[key]


_TRIES: dict[str, Tries] = {}
"""What one answer works out and the next, with a reading more, would work out once more."""


def _tries(panel: Panel) -> Tries:
    if panel.path not in _TRIES:
        _TRIES[panel.path] = Tries(panel)
    return _TRIES[panel.path]


def best_mean(
    panel: Panel, line: str, first: Diagnosis, pairs: Sequence[tuple[str, str]]
) -> tuple[float, bool]:
    """The least mean number of readings over the first answer's suspects, by their weights, and
    True; where brute force has too many sets to look at, the entropy bound and False."""
    told = observation_of(panel, line)
    every = {c.words: c for c in _faults(panel, _ways_of(panel, told))}
    weights = {one.fault: one.weight for one in first.suspects if one.fault in every}
    put_in = {name: _put_in_once(panel, every[name]) for name in weights}
    tables = [groups_of(put_in, red, black, told.withs) for red, black in pairs]
    try:
        return least_mean(tables, weights), True
    except TooManySets:
        return entropy_bound(tables, weights), False


_PUT: dict[tuple[str, str], Tried] = {}


def _put_in_once(panel: Panel, candidate: Candidate) -> Tried:
    return _PUT.setdefault((panel.path, candidate.words), _put_in(panel, candidate))


def _ways_of(panel: Panel, told: Symptom) -> tuple[Walk, ...]:
    from netcheck.bench.diagnosing import _Search

    return tuple(_Search(panel, [told]).ways)


def reach_of(panel: Panel, most: int, trees: int, random: Random) -> Reach:
    found = Reach()
    for case in islice(cases_of(panel, random), most):
        found.sorts[case.candidate.sort] += 1
        for off in OFF:
            _, kept, _ = found_at(panel, case, off)
            if kept is None:
                found.unread += 1
                continue
            found.walked[off] = found.walked.get(off, 0) + 1
            if not kept:
                found.lost[off] = found.lost.get(off, 0) + 1
                words = f"{case.candidate.words}, told as `{case.line}`, readings {off:.0%}"
                found.lost_cases.append(words)
        _TRIES.clear()
    lines = list(dict.fromkeys(line for _, line in _symptoms(panel))) if trees else []
    for line in random.sample(lines, min(trees, len(lines))):
        ratio = ratio_of(panel, line)
        _TRIES.clear()
        if ratio is not None:
            (found.ratios if ratio[1] else found.bounds).append(ratio[0])
    return found


def ratio_of(panel: Panel, line: str) -> tuple[float, bool] | None:
    """Mean readings of the first answer's suspects, by weight, against the best tree's; None
    where there is nothing to part, or too much."""
    first = _told(panel, (line,))
    ways = _ways_of(panel, observation_of(panel, line))
    every = {one.words: one for one in _faults(panel, ways)}
    if len(first.suspects) > MOST_IN_A_TREE or any(o.fault not in every for o in first.suspects):
        return None
    pairs = [(s.start, w.end) for w in ways for s in w.passed if s.start != w.end]
    pairs += [(way.entered, way.left) for way in ways]
    best, is_tree = best_mean(panel, line, first, list(dict.fromkeys(pairs)))
    counts = [
        (one.weight, found_at(panel, Case(every[one.fault], line), 1.0)[0])
        for one in first.suspects
    ]
    mean = sum(weight * count for weight, count in counts) / sum(weight for weight, _ in counts)
    return (mean / best, is_tree) if best else None


def readings(most: int, trees: int, seed: int, only: str) -> None:
    ratios: list[float] = []
    bounds: list[float] = []
    lost: Counter[float] = Counter()
    walked: Counter[float] = Counter()
    for path in sorted(Path(SAMPLES).glob("*.panel")):
        if only and only not in path.stem:
            continue
        start = time.process_time()
        panel = sample(path)
        found = reach_of(panel, most, trees, Random(seed))
        ratios += found.ratios
        bounds += found.bounds
        lost.update(found.lost)
        walked.update(found.walked)
        print(
            f"{path.stem:16} {found.walked.get(1.0, 0):4} faults, lost {sum(found.lost.values())}, "
            f"without numbers {found.unread}, "
            f"trees {' '.join(f'{one:.2f}' for one in found.ratios) or 'none'}, "
            f"against the entropy bound {' '.join(f'{b:.2f}' for b in found.bounds) or 'none'} "
            f"({time.process_time() - start:.0f} s)",
            flush=True,
        )
        for words in found.lost_cases:
            print(f"{'':16} LOST {words}")
        print(f"{'':16} {', '.join(f'{n} {sort}' for sort, n in found.sorts.most_common())}")
    if ratios:
        median, worst = statistics.median(ratios), max(ratios)
        print(f"readings against the best tree, median of {len(ratios)} symptoms: {median:.2f}, "
              f"reach 1.25: {'met' if median <= 1.25 else 'NOT MET'}")  # fmt: skip
        print(f"  at most: {worst:.2f}, reach 2: {'met' if worst <= 2 else 'NOT MET'}")
    if bounds:
        median, worst = statistics.median(bounds), max(bounds)
        print(f"readings against the entropy bound, below any tree: median of {len(bounds)} "
              f"{median:.2f}, at most {worst:.2f}")  # fmt: skip
    for off in OFF:
        if walked[off]:
            kept, reach = 1 - lost[off] / walked[off], 1.0 if off == 1.0 else 0.99
            print(f"the fault is told at the end, readings {off:.0%}: {kept:.2%} of {walked[off]}, "
                  f"reach {reach:.0%}: {'met' if kept >= reach else 'NOT MET'}")  # fmt: skip


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--answers", action="store_true", help="only how long answers take")
    arguments.add_argument("--readings", action="store_true", help="only how many readings")
    arguments.add_argument("--runs", type=int, default=5)
    arguments.add_argument("--sample", type=int, default=40, help="faults of a panel at most")
    arguments.add_argument(
        "--trees", type=int, default=2, help="symptoms of a small panel, best trees"
    )
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--only", default="", help="panels whose name holds this")
    asked = arguments.parse_args()
    if not asked.readings:
        answers(asked.runs)
    if not asked.answers:
        readings(asked.sample, asked.trees, asked.seed, asked.only)


if __name__ == "__main__":
    main()
