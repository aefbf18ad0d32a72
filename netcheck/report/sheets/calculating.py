"""The calculation sheet as a table: required, allowed, and where either is from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from netcheck.facts.calculations import Calculations
from netcheck.figure import figure, figures_apart
from netcheck.finding import Calculation, Working
from netcheck.report.calculations import HOLDS
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Cell, Table

SOURCES = "sources"
SHORT = 20
"""What is no longer stands where it is used."""


def calculation_sheet(bench: Bench) -> Table:
    """What `netcheck review --working` prints, line by line."""
    lines = bench.fact(Calculations).lines
    sources = _numbered(lines)
    rows: list[tuple[Cell, ...]] = [_row(line, sources) for line in lines]
    rows += [(SOURCES, "", "", "", "", f"[{number}] {said}") for said, number in sources.items()]
    columns = ("about", "of", "required", "allowed", "verdict", "worked out from")
    notes = (
        "What holds stands here too.  `Not known` is no pass.",
        f"Numbers in square brackets are those of `{SOURCES}`, at the end.",
    )
    return Table("calculations", "Calculations", columns, tuple(rows), notes,
                 "nothing to work out", grouped=True)  # fmt: skip


def _numbered(lines: Sequence[Calculation]) -> dict[str, int]:
    """Each long source that several steps lean on, once, in the order in which they first do."""
    found = Counter(_source(step) for line in lines for step in line.working)
    shared = [said for said, steps in found.items() if len(said) > SHORT and steps > 1]
    return {source: number for number, source in enumerate(shared, 1)}


def _source(step: Working) -> str:
    memory = "" if step.confirmed else ", from memory"
    return f"{step.source}{memory}".removeprefix(", ")


def _row(one: Calculation, sources: Mapping[str, int]) -> tuple[Cell, ...]:
    needed, allowed = _figures(one)
    held = one.allowed is not None or bool(one.why)
    verdict = HOLDS[one.holds] if held else ""
    verdict = f"{verdict}: {one.why}" if one.why else verdict
    told = "; ".join(_working(step, sources) for step in one.working)
    return one.about, one.what, needed, allowed, verdict, told


def _figures(one: Calculation) -> Iterator[str]:
    if one.needed is not None and one.allowed is not None:
        yield from figures_apart(one.unit, one.needed, one.allowed)
        return
    for value in (one.needed, one.allowed):
        yield "" if value is None else figure(value, one.unit)


def _working(step: Working, sources: Mapping[str, int]) -> str:
    source = _source(step)
    number = sources.get(source)
    told = f" [{number}]" if number else f" ({source})" if source else ""
    return f"{step.what} {figure(step.value, step.unit)}{told}"
