"""Trees of readings: the one that a diagnosis walks, and the best there is, by brute force."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from math import log2
from typing import TypeVar

from netcheck.bench.candidates import distinct, plain
from netcheck.bench.diagnosing import _Search, diagnose
from netcheck.bench.fitting import Tried, tried
from netcheck.bench.likelihoods import USUAL, Likelihoods
from netcheck.bench.observations import Observation, observation
from netcheck.bench.readings import NOUGHT_V, Reading
from netcheck.bench.sound import Sound
from netcheck.model.panel import Panel

Name = TypeVar("Name", bound=Hashable)
"""Of a suspect."""

LIKE = 0.15
"""Readings are told apart by more than this share; what floats may show nought."""


def lines_of(red: str, black: str, reading: Reading, withs: Sequence[str], off: float) -> str:
    """The line that somebody writes whose meter is `off` by so great a share."""
    if reading.floats:
        shown, kind = 0.0, ""
    elif reading.ac_v >= NOUGHT_V:
        shown, kind = reading.ac_v, " AC"
    else:
        shown, kind = reading.dc_v, " DC" if reading.kind else ""
    with_ = f" with {' and '.join(withs)}" if withs else ""
    return f"{red} to {black} {shown * off:.2f} V{kind}{with_}"


def walked(
    panel: Panel,
    lines: tuple[str, ...],
    likelihoods: Likelihoods = USUAL,
    off: float = 1.0,
) -> dict[str, int]:
    """After how many readings each suspect of the first answer ends; -1 if it was lost."""
    told = diagnose(panel, [observation(panel, line) for line in lines], likelihoods)
    if told.next is None:
        return dict.fromkeys((one.fault for one in told.suspects), 0)
    found: dict[str, int] = {}
    step = told.next
    for outcome in step.outcomes:
        line = lines_of(step.red, step.black, outcome.reading, step.withs, off)
        below = walked(panel, (*lines, line), likelihoods, off)
        for fault in outcome.faults:
            found[fault] = below[fault] + 1 if below.get(fault, -1) >= 0 else -1
    return found


def best(
    panel: Panel, line: str, weights: Mapping[str, float], likelihoods: Likelihoods = USUAL
) -> float:
    """The least mean number of readings that any order comes down with to what no reading
    parts, each suspect by its weight."""
    seen = [one for one in [observation(panel, line)] if isinstance(one, Observation)]
    ways = _Search(panel, seen).ways
    sound = Sound(panel)
    every = distinct(plain(panel, ways, stays_on=False))
    suspects = {c.words: tried(sound, c) for c in every if c.words in weights}
    pairs = [(step.start, way.end) for way in ways for step in way.passed if step.start != way.end]
    pairs += [(way.entered, way.left) for way in ways]
    tables = [groups_of(suspects, red, black, seen[0].withs) for red, black in dict.fromkeys(pairs)]
    return least_mean(tables, {name: weights[name] for name in suspects})


MOST_SETS = 4_000
"""Sets of suspects that a best tree is looked for among."""


class TooManySets(Exception):
    """The best tree is not found by brute force."""


def least_mean(
    tables: Sequence[Sequence[frozenset[str]]],
    weights: Mapping[str, float],
    most: int = MOST_SETS,
) -> float:
    """The least mean number of readings, each of which parts the suspects as one of the `tables`
    does, until none parts them further.  Raises TooManySets."""
    return mean(depths_of_the_best(tables, weights, most), weights)


def depths_of_the_best(
    tables: Sequence[Sequence[frozenset[Name]]],
    weights: Mapping[Name, float],
    most: int = MOST_SETS,
    fault_of: Callable[[Name], Hashable] = lambda name: name,
    far: Sequence[Sequence[frozenset[Name]]] = (),
) -> dict[Name, int]:
    """After how many readings each suspect ends in a best tree.  Raises TooManySets.

    `fault_of` a suspect: those of one fault need not be parted.  The `far` tables are of pairs that
    are read only where none of the others parts what is left."""
    known: dict[frozenset[Name], tuple[float, Sequence[frozenset[Name]]]] = {}

    def cost(left: frozenset[Name]) -> float:
        """Readings by weight, all together."""
        if left not in known:
            if len(known) >= most:
                raise TooManySets
            if len(set(map(fault_of, left))) == 1:
                known[left] = 0.0, ()
                return 0.0
            total = sum(weights[name] for name in left)
            splits = splits_of(tables, left) or splits_of(far, left)
            costs = [(total + sum(map(cost, parts)), place) for place, parts in enumerate(splits)]
            least, place = min(costs, default=(0.0, -1))
            known[left] = least, splits[place] if splits else ()
        return known[left][0]

    def splits_of(
        some: Sequence[Sequence[frozenset[Name]]], left: frozenset[Name]
    ) -> list[tuple[frozenset[Name], ...]]:
        options = dict.fromkeys(tuple(_parts(table, left)) for table in some)
        return [parts for parts in options if len(parts) > 1]

    def depths(left: frozenset[Name], depth: int) -> Iterator[tuple[Name, int]]:
        parts = known[left][1]
        if not parts:
            yield from ((name, depth) for name in left)
        for part in parts:
            yield from depths(part, depth + 1)

    every = frozenset(weights)
    cost(every)
    return dict(depths(every, 0))


def entropy_bound(
    tables: Sequence[Sequence[frozenset[str]]], weights: Mapping[str, float]
) -> float:
    """No tree takes fewer readings in the mean: each tells at most the logarithm of its outcomes
    (Shannon, "A Mathematical Theory of Communication", 1948)."""
    classes: dict[tuple[int, ...], float] = {}
    for name, weight in weights.items():
        key = tuple(
            next(place for place, group in enumerate(table) if name in group) for table in tables
        )
        classes[key] = classes.get(key, 0.0) + weight
    total = sum(weights.values())
    entropy = -sum(weight / total * log2(weight / total) for weight in classes.values())
    most = max((len(table) for table in tables), default=1)
    return entropy / log2(most) if most > 1 else 0.0


def groups_of(
    suspects: Mapping[Name, Tried], red: str, black: str, withs: tuple[str, ...]
) -> list[frozenset[Name]]:
    """The suspects, those together that one reading does not tell apart."""
    groups: list[tuple[Reading, set[Name]]] = []
    for name, one in suspects.items():
        reading = one.reading(red, black, withs)
        shown = Reading() if reading.floats else reading
        for known, names in groups:
            if known.like(shown, within=LIKE):
                names.add(name)
                break
        else:
            groups.append((shown, {name}))
    return [frozenset(names) for _, names in groups]


def _parts(table: Sequence[frozenset[Name]], left: frozenset[Name]) -> Iterator[frozenset[Name]]:
    for group in table:
        if group & left:
            yield group & left


def mean(depths: Mapping[str, int], weights: Mapping[str, float]) -> float:
    return sum(depths[name] * weights[name] for name in depths) / sum(weights[n] for n in depths)
