"""The calculation sheet as a table: required, allowed, and where either is from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from netcheck.facts.calculations import Calculations
from netcheck.figure import figure, figures_apart
from netcheck.finding import Calculation, Working
from netcheck.report.calculations import HOLDS
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Cell, Table

SOURCES = "sources"
LOADS = "loads"
ALL_AT_ONCE = "required, all its loads at once"
SHORT = 20
"""What is no longer stands where it is used."""
LEAST_STEPS = 3
"""How many steps in a row are worth a number of their own."""


def calculation_sheet(bench: Bench) -> Table:
    """What `netcheck review --working` prints, line by line."""
    lines = bench.fact(Calculations).lines
    key = _Key(lines)
    rows: list[tuple[Cell, ...]] = [_row(line, key) for line in lines]
    rows += [(SOURCES, "", "", "", "", said) for said in key.entries]
    columns = ("about", "of", "required", "allowed", "verdict", "worked out from")
    notes = (
        "What holds stands here too.  `Not known` is no pass.  Loads are all on at once where "
        "nothing else is said.",
        f"Numbers in square brackets are those of `{SOURCES}`, at the end.",
    )
    return Table("calculations", "Calculations", columns, tuple(rows), notes,
                 "nothing to work out", grouped=True, joined=1, key=SOURCES)  # fmt: skip


class _Key:
    """What several lines lean on, told once and numbered: long sources, and last steps alike."""

    def __init__(self, lines: Sequence[Calculation]) -> None:
        found = Counter(_source(step) for line in lines for step in line.working)
        shared = [said for said, steps in found.items() if len(said) > SHORT and steps > 1]
        self._sources = {source: number for number, source in enumerate(shared, 1)}
        self.entries = [f"[{number}] {said}" for said, number in self._sources.items()]
        self._ends = Counter(end for line in lines for end in _ends(line))
        self._loads = {(line.what, line.needed) for line in lines if line.about == LOADS}
        self._numbered: dict[tuple[Working, ...], int] = {}

    def told(self, line: Calculation) -> str:
        """The steps; not the sum of all loads, which has a column of its own, nor where a load's
        current is from, which its own line tells."""
        end = next((one for one in _ends(line) if self._ends[one] > 1), ())
        steps = line.working[: len(line.working) - len(end)]
        if line.about == LOADS and len(line.working) == 1:  # its current has a column of its own
            return self._from(steps[0])
        said = [self._step(step) for step in steps if not _is_told(line, step)]
        if end:
            last = f"{end[-1].what} {figure(end[-1].value, end[-1].unit)}"
            said.append(f"{last} [{self._number(end)}]")
        return "; ".join(said)

    def _number(self, end: tuple[Working, ...]) -> int:
        if end not in self._numbered:
            self._numbered[end] = len(self.entries) + 1
            steps = "; ".join(map(self._step, end))
            self.entries.append(f"[{self._numbered[end]}] {steps}")
        return self._numbered[end]

    def _step(self, step: Working) -> str:
        source = "" if (step.what, step.value) in self._loads else self._from(step)
        told = f" ({source})" if source and not source.startswith("[") else f" {source}"
        return f"{step.what} {figure(step.value, step.unit)}{told}".rstrip()

    def _from(self, step: Working) -> str:
        source = _source(step)
        number = self._sources.get(source)
        return f"[{number}]" if number else source


def _ends(line: Calculation) -> Iterator[tuple[Working, ...]]:
    """The last steps of a working, from behind what is required down to as few as are worth a
    number."""
    steps = line.working
    required = [number for number, step in enumerate(steps, 1) if step.value == line.needed]
    for start in range(max(required, default=len(steps)), len(steps) - LEAST_STEPS + 1):
        yield tuple(steps[start:])


def _is_told(line: Calculation, step: Working) -> bool:
    return step.value == line.needed and step.what == ALL_AT_ONCE and len(line.working) > 1


def _source(step: Working) -> str:
    memory = "" if step.confirmed else ", from memory"
    return f"{step.source}{memory}".removeprefix(", ")


def _row(one: Calculation, key: _Key) -> tuple[Cell, ...]:
    needed, allowed = _figures(one)
    held = one.allowed is not None or bool(one.why)
    verdict = HOLDS[one.holds] if held else ""
    verdict = f"{verdict}: {one.why}" if one.why else verdict
    of = one.what.replace(", wire ", ", ")
    return one.about, of, needed, allowed, verdict, key.told(one)


def _figures(one: Calculation) -> Iterator[str]:
    if one.needed is not None and one.allowed is not None:
        yield from figures_apart(one.unit, one.needed, one.allowed)
        return
    for value in (one.needed, one.allowed):
        yield "" if value is None else figure(value, one.unit)
