"""The calculation sheet as a table: required, allowed, and where either is from."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.facts.calculations import Calculations
from netcheck.figure import figure, figures_apart
from netcheck.finding import Calculation, Working
from netcheck.report.calculations import HOLDS
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Cell, Table


def calculation_sheet(bench: Bench) -> Table:
    """What `netcheck review --working` prints, line by line."""
    lines = bench.fact(Calculations).lines
    columns = ("about", "of", "required", "allowed", "verdict", "worked out from")
    notes = ("What holds stands here too.  `Not known` is no pass.",)
    return Table("calculations", "Calculations", columns, tuple(map(_row, lines)), notes,
                 "nothing to work out", grouped=True)  # fmt: skip


def _row(one: Calculation) -> tuple[Cell, ...]:
    needed, allowed = _figures(one)
    held = one.allowed is not None or bool(one.why)
    verdict = HOLDS[one.holds] if held else ""
    verdict = f"{verdict}: {one.why}" if one.why else verdict
    return one.about, one.what, needed, allowed, verdict, "; ".join(map(_working, one.working))


def _figures(one: Calculation) -> Iterator[str]:
    if one.needed is not None and one.allowed is not None:
        yield from figures_apart(one.unit, one.needed, one.allowed)
        return
    for value in (one.needed, one.allowed):
        yield "" if value is None else figure(value, one.unit)


def _working(step: Working) -> str:
    memory = "" if step.confirmed else ", from memory"
    source = f" ({step.source}{memory})" if step.source else memory
    return f"{step.what} {figure(step.value, step.unit)}{source}"
