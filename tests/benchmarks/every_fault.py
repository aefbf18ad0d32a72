"""Whether every single fault of the list is found, and in how many readings.

    python -m tests.benchmarks.every_fault [--only PANEL] [--exact] [--each] [--sample N]
        [--seed N] [--part K/N]

Each fault on a way of each load of each sample panel is put in, and each kind of symptom that it
changes is told once: a load that is off, is on or is dim, a fuse or breaker that opens; where it
changes none, a reading that it changes.  Then each reading that is asked for is given, exact and
off by 5 % either way (`--exact`: only exact), until none is asked for.  Counted are faults, those
that change something, the cases in which the true fault is not told at the end, and the processor
seconds of each answer.  Those that take over a second are given again in dialogues by themselves,
as somebody at the panel has them: with every fault of a panel in memory Python's collector of
garbage takes seconds that are no answer's.

The ohms of a bad joint and the volts of a low supply are those that an answer tries, and then
such as none tries: drawn from the fault's words and the seed that is printed, by their logarithm,
between the least and the most that any load on the wire makes an answer try.  Of those drawn the
first with which the symptom is there is taken.

Of a panel on which all of this takes too long, as the greenhouse's, `--sample 200` takes so many
cases, drawn with the same seed; symptoms against the best tree are then those of these cases only.
`--part 3/8` takes of the loads every eighth from the third, with all faults on their ways: so a
panel is walked whole in as many runs, each with no more in memory than there is.

Where the first answer's suspects are few enough for the best tree of readings to be found by brute
force, the readings of each fault are held against its depth in that tree: those symptoms, and no
others, are what is called small.  The true fault is put in by itself, as no answer does it.
Nobody knows the ohms of a bad joint, nor a tree: each joint that is suspected is in it with those
that leave the load some shares of its volts, the same of every joint and those that it gets with
any other suspect, so that no tree tells them apart by how many are lost.  Those of one joint need
not be parted.  Symptoms with such suspects are called soft.  A tree reads what the dialogue reads:
also what is lost between a pole and a wire.  Where a suspect shows the symptom at none of these
ohms there is no tree, for one of the others alone would find them sooner.  Leads of a tree reach
no further than those of the dialogue.  As nobody knows the ohms, a fault is held against its depth
over all of them together, and, beside that, at each by itself.

Where nothing rests even without a fault, a symptom counts only if it is not seen as power comes
on, either: a timer may not have run out.
Printed is each figure beside what it is to reach; nothing is asserted.
"""

from __future__ import annotations

import argparse
import gc
import statistics
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import cache, cached_property
from math import exp, log
from operator import itemgetter
from pathlib import Path
from random import Random

from netcheck.bench.broken_panel import DIM, Unsolvable
from netcheck.bench.broken_panel import Bench as FaultyBench
from netcheck.bench.candidates import (
    Candidate,
    distinct,
    joints,
    plain,
    shorts,
    supplies,
    swapped,
    unprotected,
)
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.fitting import Tried, tried, unbroken
from netcheck.bench.next_reading import _at_hand
from netcheck.bench.observations import Dim, Read, Symptom, observation
from netcheck.bench.readings import Reading
from netcheck.bench.standing import stand
from netcheck.bench.tries import Tries
from netcheck.bench.troubles import Edit
from netcheck.bench.walks import Walk, walks_of
from netcheck.bench.whereabouts import GroundAtHand
from netcheck.model.devices import Part, device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import draft, fresh, record, replace
from tests.bench.panels import SAMPLES, sample
from tests.bench.search_trees import LIKE, TooManySets, depths_of_the_best, groups_of, lines_of
from tests.benchmarks.diagnosing import MOST_READINGS, OFF, how_on

MOST_IN_A_TREE = 80
MOST_SETS = 4_000
SEED = 1
WHOLE = slice(None)
ANSWER_S = 1.0
DRAWN = 3
"""Ohms of each joint, or shares of each supply's volts, beside those that an answer tries."""

LEVELS = (0.75, 0.35)
"""Of its volts, that a load gets in a tree behind each joint that is suspected."""

LEVEL_ROOM = 0.05
NEARER = 3
"""Steps from ohms at which a level is nearly got to those at which it is."""

LEVEL_SHARE = 0.1
"""Levels nearer than that, and than this share of themselves, are one: a meter takes them so."""
OHMS = tuple(10 ** (step / 20) for step in range(-40, 101))
SHARES = tuple(step / 80 for step in range(1, 80))
"""Of a joint, and of the volts of a supply: those among which these levels are found."""

NOTHING = Reading()

Supposed = tuple[str, int]
"""A fault in its own words, and which of the ways it may be."""


@record
class Case:
    """A fault, a kind of symptom, and the line that tells it."""

    candidate: Candidate
    kind: str
    line: str


class NoTree(Exception):
    """Too many suspects, or sets of them, or one that cannot be put in as it is suspected."""


@record
class Tree:
    """The best tree of a symptom: each suspect, in each of the ways it may be; its weight, and
    after how many readings it ends."""

    put_in: dict[Supposed, Tried]
    weights: dict[Supposed, float]
    depths: dict[Supposed, int]

    @property
    def is_soft(self) -> bool:
        every = (one.candidate for one in self.put_in.values())
        return any(one is not None and one.is_soft for one in every)


@draft
class Count:
    """What came of one panel, or of all."""

    faults: int = 0
    changing: int = 0
    cases: Counter[str] = fresh(factory=Counter)
    walked: Counter[float] = fresh(factory=Counter)
    lost: Counter[float] = fresh(factory=Counter)
    unread: int = 0
    ratios: list[float] = fresh(factory=list)
    """Of each fault in a small symptom's tree: its readings against its depth there."""
    means: list[float] = fresh(factory=list)
    """Of each small symptom: the mean readings of its faults, by weight, against the tree's."""
    soft_faults: list[float] = fresh(factory=list)
    """Of each fault in a soft symptom's tree: over all the ohms or volts that it has there."""
    soft_ratios: list[float] = fresh(factory=list)
    """At each of these."""
    soft: list[float] = fresh(factory=list)
    """The same where nobody knows the ohms or volts of some suspects."""
    without: int = 0
    """Symptoms without a tree."""
    needless: int = 0
    """Faults that something was read for although no reading parts them from any other."""
    answers_s: list[float] = fresh(factory=list)
    """Of each answer of the dialogues: what it took."""
    alone_s: list[float] = fresh(factory=list)
    """Of those that took too long: what they take in a dialogue by itself."""
    notes: list[str] = fresh(factory=list)

    def add(self, other: Count) -> None:
        self.faults += other.faults
        self.changing += other.changing
        self.cases += other.cases
        self.walked += other.walked
        self.lost += other.lost
        self.unread += other.unread
        self.ratios += other.ratios
        self.means += other.means
        self.soft_faults += other.soft_faults
        self.soft_ratios += other.soft_ratios
        self.soft += other.soft
        self.without += other.without
        self.needless += other.needless
        self.answers_s += other.answers_s
        self.alone_s += other.alone_s


class Bench:
    """One panel, and what its faults and answers share."""

    def __init__(self, panel: Panel, seed: int = SEED, part: slice = WHOLE) -> None:
        self.panel = panel
        self._seed = seed
        self._part = part
        self.tries = Tries(panel)
        self.standing = stand(panel)
        self.told = cache(self._told)
        self.put_in = cache(self._put_in)
        self.answers_s: list[float] = []
        self.slow: list[tuple[float, tuple[str, ...]]] = []

    @cached_property
    def sound(self) -> tuple[Tried, ...]:
        """The panel without a fault; where its relays never rest as they are, also as it is found
        once power comes on: with timers that have not run out."""
        operated = FaultyBench(self.tries.sound, replace, operated=True)
        return unbroken(self.tries.sound), Tried(None, (operated,))

    def _put_in(self, candidate: Candidate) -> Tried:
        return tried(self.tries.sound, candidate)

    def _told(self, lines: tuple[str, ...]) -> Diagnosis:
        told, took_s = self._answered(lines, self.tries)
        self.answers_s.append(took_s)
        if took_s > ANSWER_S:
            self.slow.append((took_s, lines))
        return told

    def _answered(self, lines: tuple[str, ...], tries: Tries) -> tuple[Diagnosis, float]:
        """With the processor seconds that it took."""
        start = time.process_time()
        seen = [observation(self.panel, line) for line in lines]
        return diagnose(self.panel, seen, tries=tries), time.process_time() - start

    def alone_s(self, lines: tuple[str, ...]) -> float:
        """What the answer to the last line takes at the end of a dialogue by itself, with nothing
        of all the others in memory that Python's collector of garbage would go through."""
        gc.collect()
        gc.freeze()
        tries = Tries(self.panel)
        took_s = [self._answered(lines[:end], tries)[1] for end in range(1, len(lines) + 1)]
        gc.unfreeze()
        return took_s[-1]

    @cache  # noqa: B019  (one panel at a time)
    def true(self, candidate: Candidate, line: str) -> Tried | None:
        """The fault in the first of the ways it may be that shows this; None where none does."""
        every = (Tried(candidate, (bench,)) for bench in self.put_in(candidate).benches)
        return next((one for one in every if self._fits(one, line)), None)

    def shows(self, candidate: Candidate | None, line: str) -> bool:
        if candidate is None:
            return any(self._fits(one, line) for one in self.sound)
        return self.true(candidate, line) is not None

    def _fits(self, one: Tried, line: str) -> bool:
        told = observation(self.panel, line)
        assert isinstance(told, Read | Symptom) or hasattr(told, "withs")
        try:
            return one.fits([told])  # type: ignore[list-item]
        except Unsolvable:
            return False

    # ---- faults and what they change -----------------------------------------------------------

    def loads(self) -> Iterator[tuple[Part, tuple[str, ...], tuple[Walk, ...]]]:
        """Each that something puts on, what is put where for it, and its ways."""
        for load in self.panel.parts:
            if load.load is None or load.a == load.b or load.spare or load.role == "input":
                continue
            withs = how_on(self.panel, load)
            ways = walks_of(self.standing.states, load).ways
            if ways:
                yield load, tuple(withs or ()), ways

    def drawn(self, candidate: Candidate) -> Candidate | None:
        """The same fault with ohms or volts that no answer tries; None of what has none."""
        if not candidate.is_soft:
            return None
        values, random = self._values[candidate.words], Random(f"{self._seed} {candidate.words}")
        least, most = log(min(values)), log(max(values))
        shares = [exp(random.uniform(least, most)) for _ in range(DRAWN)]
        return replace(candidate, edits=tuple(_with_value(candidate.edits[0], v) for v in shares))

    def supposed(
        self, candidate: Candidate, line: str, told: Symptom | Dim | Read, levels: Sequence[float]
    ) -> list[Tried]:
        """The fault in ways of which it shows this: a joint of as many ohms as leave the load
        about each of these `levels` of its volts, or where there are none, of some ohms."""
        if not candidate.is_soft:
            return self._showing(candidate, line)
        values = SHARES if candidate.edits[0].volts else OHMS
        edits = tuple(_with_value(candidate.edits[0], value) for value in values)
        every = self._showing(replace(candidate, edits=edits), line)
        known = [] if isinstance(told, Read) else [(_least_level(one, told), one) for one in every]
        found: list[Tried] = []
        for wanted in levels if known else ():
            level, nearest = min(known, key=lambda each: abs(each[0] - wanted))
            if abs(level - wanted) < LEVEL_ROOM and nearest not in found:
                found.append(self._nearer(nearest, line, told, wanted))
        return found or every[len(every) // 2 :][:1]

    def _nearer(self, one: Tried, line: str, told: Symptom | Dim | Read, wanted: float) -> Tried:
        """With such ohms that the load gets just this level: by the ohms of what lies behind a
        joint, as if these were always the same."""
        assert one.candidate is not None
        assert not isinstance(told, Read)
        for _ in range(NEARER):
            level = _least_level(one, told)
            at = self.put_in(one.candidate).benches.index(one.benches[0])
            edit = one.candidate.edits[at]
            if edit.volts:
                value = _value(edit) * wanted / level
            else:
                value = _value(edit) * level / (1 - level) * (1 - wanted) / wanted
            candidate = replace(one.candidate, edits=(_with_value(edit, value), edit))
            nearer = Tried(candidate, self.put_in(candidate).benches[:1])
            if not self._fits(nearer, line):
                break
            if abs(_least_level(nearer, told) - wanted) < abs(level - wanted):
                one = nearer
        return one

    def _showing(self, candidate: Candidate, line: str) -> list[Tried]:
        every = [Tried(candidate, (bench,)) for bench in self.put_in(candidate).benches]
        return [one for one in every if self._fits(one, line)]

    @cached_property
    def _values(self) -> dict[str, list[float]]:
        """Of each joint and low supply, all that the loads on its wire make an answer try."""
        found: dict[str, list[float]] = {}
        for _, _, ways in self.loads():
            for one in (*joints(self.panel, ways), *supplies(self.panel, ways)):
                if one.is_soft:
                    found.setdefault(one.words, []).extend(map(_value, one.edits))
        return found

    def faults(self, ways: Sequence[Walk]) -> list[Candidate]:
        panel = self.panel
        shorted = (*shorts(panel, ways), *unprotected(panel, ways))
        further = (*shorted, *joints(panel, ways), *supplies(panel, ways))
        plainly = plain(panel, ways, stays_on=True)
        return distinct([*plainly, *further, *swapped(panel, ways)])

    def cases(self, count: Count, each: bool, most: int = 0) -> Iterator[Case]:
        """Each kind of symptom that a fault changes once, on a load that it is on a way of; `each`:
        every symptom of every load that it changes.  Of a fault that changes none a reading.
        `most`: so many of them, if not none, in any order."""
        loads = [(*one, self.faults(one[2])) for one in [*self.loads()][self._part]]
        every = distinct(candidate for *_, faults in loads for candidate in faults)
        count.faults = len(every)
        symptoms = [
            (candidate, kind, line)
            for load, withs, ways, faults in loads
            for kind, line in self._lines(load, withs, ways)
            if not self.shows(None, line)
            for candidate in self._with_drawn(every if each else faults)
        ]
        if most:
            Random(self._seed).shuffle(symptoms)
        changes: dict[str, set[tuple[Candidate, str]]] = {one.words: set() for one in every}
        found = 0
        for candidate, kind, line in symptoms:
            known = changes[candidate.words]
            if most and found == most:
                break
            if (each or (candidate, kind) not in known) and self.shows(candidate, line):
                known.add((candidate, kind))
                found += 1
                yield Case(candidate, kind, line)
        for load, withs, ways, faults in () if most else loads:
            for candidate in faults:
                known = changes[candidate.words]
                line = "" if known else self._reading_changed(candidate, load, withs, ways)
                if line:
                    known.add((candidate, "reading"))
                    yield Case(candidate, "reading", line)
        count.changing = sum(map(bool, changes.values()))

    def _with_drawn(self, faults: Sequence[Candidate]) -> Iterator[Candidate]:
        for one in faults:
            yield one
            drawn = self.drawn(one)
            if drawn is not None:
                yield drawn

    def _lines(
        self, load: Part, withs: tuple[str, ...], ways: Sequence[Walk]
    ) -> Iterator[tuple[str, str]]:
        panel, name = self.panel, load.device
        fewer = [withs[:at] + withs[at + 1 :] for at in range(len(withs))]
        yield "off", _with(f"{name} is off", withs)
        yield "dim", _with(f"{name} is dim", withs)
        for some in dict.fromkeys([(), *fewer]):
            yield "on", _with(f"{name} is on", some)
        parts = [p.by for way in ways for p in way.passed if isinstance(p.by, Part)]
        protects = [p.device for p in parts if panel.devices[p.device].kind in ("fuse", "breaker")]
        coils = [
            device_of(p.mechanism.partition(" ")[0])
            for p in parts
            if p.mechanism and panel.mechanisms[p.mechanism].moved_by_coil
        ]
        for device in dict.fromkeys(protects):
            for some in dict.fromkeys([(), withs]):
                yield "trips", _with(f"{device} trips", some)
            for coil in dict.fromkeys(coils):
                yield "trips", f"{device} trips when {coil} pulls in"

    def _reading_changed(
        self, candidate: Candidate, load: Part, withs: tuple[str, ...], ways: Sequence[Walk]
    ) -> str:
        one, sound = self.put_in(candidate), unbroken(self.tries.sound)
        for some in dict.fromkeys([(), withs]):
            for red, black in pairs_of(ways):
                try:
                    reading = one.reading(red, black, some)
                    if reading.floats or reading.like(sound.reading(red, black, some), LIKE):
                        continue
                except Unsolvable:
                    return ""
                line = lines_of(red, black, reading, some, 1.0)
                if not self.shows(None, line):
                    return line
        return ""

    # ---- walked ----------------------------------------------------------------------------------

    def walked(
        self, true: Tried, off: float, *lines: str
    ) -> tuple[int, bool | None, tuple[str, ...]]:
        """Readings until none is asked for after these `lines`, whether the fault is then told, and
        what was said; None where with the fault there are no numbers to read."""
        assert true.candidate is not None
        for count in range(MOST_READINGS):
            told = self.told(lines)
            step = told.next
            if step is None:
                named = {one.fault for one in (*told.suspects, *told.also)}
                return count, true.candidate.words in named, lines
            try:
                reading = true.reading(step.red, step.black, step.withs)
            except Unsolvable:
                return count, None, lines
            lines = (*lines, lines_of(step.red, step.black, reading, step.withs, off))
        return MOST_READINGS, False, lines

    def in_words(self, true: Tried) -> str:
        """The fault, with its ohms or the share of its volts where it has some."""
        assert true.candidate is not None
        words, edits = true.candidate.words, true.candidate.edits
        if not true.candidate.is_soft:
            return words
        at = self.put_in(true.candidate).benches.index(true.benches[0])
        return f"{words} ({_value(edits[at]):.4g})"

    def _levels(
        self, suspects: Sequence[Candidate], line: str, told: Symptom | Dim | Read
    ) -> Sequence[float]:
        """Shares of its volts that a load gets: with each suspect those that are known of it, and
        some besides, so that how many volts it gets tells nothing of what is suspected."""
        found = list(LEVELS)
        if isinstance(told, Read):
            return found
        for one in sorted(suspects, key=lambda each: each.is_soft):
            for way in self.supposed(one, line, told, found):
                level = _least_level(way, told)
                room = min(LEVEL_ROOM, LEVEL_SHARE * level)
                apart = all(abs(level - other) > room for other in found)
                if apart and DIM[0] < level < DIM[1]:
                    found.append(level)
        return found

    @cached_property
    def ground(self) -> GroundAtHand:
        return GroundAtHand(self.panel)

    def _lost_ahead(
        self, suspects: Sequence[Candidate], ways: Sequence[Walk]
    ) -> Iterator[tuple[str, str]]:
        """From the pole to each wire with a joint ahead of a load: without these no tree parts a
        joint that takes little from a supply that gives a little less.  Across each wire by itself
        made no tree shorter where both were weighed, and mostly sets too many to be weighed."""
        wires = {index for one in suspects if one.is_soft for index in one.wires}
        for way in ways:
            for step in way.passed:
                if isinstance(step.by, Wire) and step.by.index in wires and step.end != way.start:
                    yield way.start, step.end

    def best(self, case: Case, every: dict[str, Candidate]) -> Tree:
        """The best tree of the first answer's suspects.  Raises NoTree."""
        first = self.told((case.line,))
        weights = {one.fault: one.weight for one in first.suspects}
        if len(weights) > MOST_IN_A_TREE or not weights.keys() <= every.keys():
            raise NoTree
        told = observation(self.panel, case.line)
        assert isinstance(told, Symptom | Dim | Read)
        withs = told.withs
        ways = [way for load, _, ways in self.loads() for way in ways]
        suspects = [every[name] for name in weights]
        levels = self._levels(suspects, case.line, told)
        ways_of = {one.words: self.supposed(one, case.line, told, levels) for one in suspects}
        absent = ", ".join(name for name, ones in ways_of.items() if not ones)
        if absent:
            raise NoTree(f"{absent} shown at no ohms: {case.line}")
        put_in = {(name, at): one for name, ones in ways_of.items() for at, one in enumerate(ones)}
        weigh = {(name, at): weights[name] / len(ways_of[name]) for name, at in put_in}
        try:
            near: list[Sequence[frozenset[Supposed]]] = []
            far: list[Sequence[frozenset[Supposed]]] = []
            for tells, pairs in (
                (groups_of, [*pairs_of(ways), *_at_hand(self.panel, ways, self.ground)]),
                (lost_or_not, list(self._lost_ahead(suspects, ways))),
            ):
                for red, black in dict.fromkeys(pairs):
                    table = tells(put_in, red, black, withs)
                    (near if self.ground.is_met(red, black) else far).append(table)
            depths = depths_of_the_best(near, weigh, MOST_SETS, itemgetter(0), far)
        except (TooManySets, Unsolvable) as error:
            raise NoTree from error
        return Tree(put_in, weigh, depths)


def _value(edit: Edit) -> float:
    """Ohms of a joint, the share of its volts of a supply."""
    return edit.joints[0][2] if edit.joints else edit.volts[0][1]


def _least_level(one: Tried, told: Symptom | Dim) -> float:
    """The least share of its volts that a load of the device gets; nought where nobody knows."""
    try:
        return min(one.benches[0].levels(Dim("", told.device, told.withs)))
    except Unsolvable:
        return 0.0


def _with_value(edit: Edit, value: float) -> Edit:
    if edit.joints:
        return replace(edit, joints=tuple((a, b, value) for a, b, _ in edit.joints))
    return replace(edit, volts=tuple((index, value) for index, _ in edit.volts))


def _with(words: str, withs: Sequence[str]) -> str:
    return f"{words} with {' and '.join(withs)}" if withs else words


def pairs_of(ways: Sequence[Walk]) -> list[tuple[str, str]]:
    pairs = [(s.start, w.end) for w in ways for s in w.passed if s.start != w.end]
    return list(dict.fromkeys([*pairs, *((way.entered, way.left) for way in ways)]))


def lost_or_not(
    put_in: Mapping[Supposed, Tried], red: str, black: str, withs: tuple[str, ...]
) -> list[frozenset[Supposed]]:
    """The suspects, those together of which something is lost between two points, and the others:
    how much is lost tells the ohms, which are no tree's to know."""
    reads = {name: one.reading(red, black, withs) for name, one in put_in.items()}
    lost = {name for name, reading in reads.items() if not reading.like(NOTHING)}
    return [frozenset(some) for some in (lost, put_in.keys() - lost) if some]


def count_of(
    panel: Panel,
    offs: Sequence[float],
    each: bool,
    most: int = 0,
    seed: int = SEED,
    part: slice = WHOLE,
) -> Count:
    """`most`: of so many cases, drawn, if not none."""
    count, bench = Count(), Bench(panel, seed, part)
    cases = list(dict.fromkeys(bench.cases(count, each, most)))
    for case in cases:
        count.cases[case.kind] += 1
        for off in offs:
            true = bench.true(case.candidate, case.line) or bench.put_in(case.candidate)
            if walked(bench, count, true, case.line, off) is None:
                break
    every = {one.words: one for _, _, ways in bench.loads() for one in bench.faults(ways)}
    for case in {case.line: case for case in cases if case.kind != "trips"}.values():
        try:
            tree = bench.best(case, every)
        except NoTree as why:
            count.without += 1
            count.notes += [f"NO TREE {one}" for one in why.args]
        else:
            held_against(bench, count, tree, case.line)
    count.answers_s = bench.answers_s
    for took_s, lines in bench.slow:
        count.alone_s.append(bench.alone_s(lines))
        alone = f"SLOW {took_s:.2f} s, by itself {count.alone_s[-1]:.2f} s"
        count.notes.append(f"{alone}: {'; '.join(lines)}")
    return count


def walked(bench: Bench, count: Count, true: Tried, line: str, off: float) -> int | None:
    """How many readings it took, counted with what came of them; None without numbers."""
    took, kept, lines = bench.walked(true, off, line)
    said = f"{bench.in_words(true)}, {off:.0%}: {'; '.join(lines)}"
    if kept is None:
        count.unread += 1
        count.notes.append(f"WITHOUT NUMBERS {said}")
        return None
    count.walked[off] += 1
    if not kept:
        count.lost[off] += 1
        count.notes.append(f"LOST {said}")
    return took


def held_against(bench: Bench, count: Count, tree: Tree, line: str) -> None:
    took_of: dict[Supposed, int] = {}
    both: dict[str, list[tuple[int, int]]] = {}
    for key, depth in tree.depths.items():
        took = walked(bench, count, tree.put_in[key], line, 1.0)
        if took is None:
            continue
        took_of[key] = took
        if not depth:
            count.needless += bool(took)
            continue
        both.setdefault(key[0], []).append((took, depth))
        if tree.is_soft:
            count.soft_ratios.append(took / depth)
        if took > 2 * depth:
            words = bench.in_words(tree.put_in[key])
            count.notes.append(f"OVER {words}, {took} not {depth}: {line}")
    for name, pairs in both.items():
        ratio = sum(took for took, _ in pairs) / sum(depth for _, depth in pairs)
        (count.soft_faults if tree.is_soft else count.ratios).append(ratio)
        if ratio > 2:
            count.notes.append(f"OVER AT ALL OHMS {name}, {ratio:.2f}: {line}")
    least = sum(tree.weights[key] * tree.depths[key] for key in took_of)
    if least:
        mean = sum(tree.weights[key] * took for key, took in took_of.items()) / least
        (count.soft if tree.is_soft else count.means).append(mean)


def say(name: str, count: Count, seconds: float) -> None:
    print(
        f"{name:14} {count.faults} faults, {count.changing} change something; "
        f"cases {', '.join(f'{n} {kind}' for kind, n in count.cases.items())}; "
        f"lost {sum(count.lost.values())} of {sum(count.walked.values())} walks, "
        f"without numbers {count.unread}; {len(count.means)} symptoms small, {len(count.soft)} "
        f"small and soft, {count.without} without a tree; "
        f"{_spread('each fault', count.ratios)}; {_spread('each symptom', count.means)}; "
        f"{_spread('each soft fault', count.soft_faults)}; "
        f"{_spread('at each of its ohms', count.soft_ratios)}; "
        f"{_spread('each soft symptom', count.soft)}"
        f"{f'; {count.needless} read in vain' if count.needless else ''}; "
        f"{_answers(count)} ({seconds:.0f} s)",
        flush=True,
    )
    for note in count.notes:
        print(f"{'':14} {note}", flush=True)


def _answers(count: Count) -> str:
    """Of the dialogues, in which what faults do is kept from one answer to the next."""
    seconds = count.answers_s
    if not seconds:
        return "no answers"
    found = f"{len(seconds)} answers, median {statistics.median(seconds):.2f} s"
    if not count.alone_s:
        return f"{found}, at most {max(seconds):.2f}, none over {ANSWER_S:g}"
    over = sum(one > ANSWER_S for one in count.alone_s)
    return (
        f"{found}, {len(count.alone_s)} over {ANSWER_S:g}, in dialogues by themselves {over} of "
        f"these and at most {max(count.alone_s):.2f}"
    )


def _spread(what: str, ratios: Sequence[float]) -> str:
    if not ratios:
        return f"{what}: no tree"
    over = sum(ratio > 2 for ratio in ratios)
    return (
        f"{what}: median {statistics.median(ratios):.2f}, at most {max(ratios):.2f}, "
        f"{over} of {len(ratios)} over 2"
    )


def part_of(words: str) -> slice:
    """Of `K/N` every Nth from the Kth."""
    first, _, every = words.partition("/")
    if not 1 <= int(first) <= int(every):
        raise ValueError
    return slice(int(first) - 1, None, int(every))


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--only", default="", help="panels whose name holds this")
    arguments.add_argument("--exact", action="store_true", help="no readings that are off")
    arguments.add_argument("--each", action="store_true", help="each symptom that a fault changes")
    arguments.add_argument("--sample", type=int, default=0, help="so many cases of each panel")
    arguments.add_argument("--seed", type=int, default=SEED, help="what is drawn is drawn with")
    arguments.add_argument("--part", type=part_of, default=WHOLE, help="K/N: every Nth load")
    asked = arguments.parse_args()
    print(
        f"seed {asked.seed}; small: a symptom of at most {MOST_IN_A_TREE} suspects whose best tree "
        f"weighs at most {MOST_SETS} sets of them; soft: nobody knows the ohms of a bad joint or "
        "the volts of a low supply"
    )
    total = Count()
    for path in sorted(Path(SAMPLES).glob("*.panel")):
        if asked.only in path.stem:
            start = time.process_time()
            offs = (1.0,) if asked.exact else OFF
            panel = sample(path)
            count = count_of(panel, offs, asked.each, asked.sample, asked.seed, asked.part)
            total.add(count)
            say(path.stem, count, time.process_time() - start)
    for off, walks in total.walked.items():
        kept, reach = 1 - total.lost[off] / walks, 1.0 if off == 1.0 else 0.99
        print(f"the fault is told at the end, readings {off:.0%}: {kept:.2%} of {walks}, "
              f"reach {reach:.0%}: {'met' if kept >= reach else 'NOT MET'}")  # fmt: skip
    for what, ratios in (
        ("each fault", total.ratios),
        ("each symptom", total.means),
        ("each soft fault", total.soft_faults),
        ("each soft fault at each of its ohms", total.soft_ratios),
        ("each soft symptom", total.soft),
    ):
        if ratios:
            median, most = statistics.median(ratios), max(ratios)
            print(
                f"readings against the best tree, {_spread(what, ratios)}: "
                f"reach 1.25 {'met' if median <= 1.25 else 'NOT MET'}, "
                f"2 {'met' if most <= 2 else 'NOT MET'}"
            )


if __name__ == "__main__":
    main()
