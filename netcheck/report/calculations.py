"""The calculation sheet as an engineer would write it: required, allowed, and from where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.figure import figure, figures_apart
from netcheck.finding import Calculation, Working
from netcheck.report.terminal import columns, padded, visible

Sheets = Sequence[tuple[str, Sequence[Calculation]]]

HOLDS = {True: "holds", False: "DOES NOT HOLD", None: "not known"}


def lines(sheets: Sheets) -> Iterator[str]:
    """The sheets of all panels, each with its headings."""
    for path, found in sheets:
        yield f"CALCULATIONS: {visible(path)}"
        for heading in dict.fromkeys(one.about for one in found):
            yield ""
            yield f"  {heading}"
            for one in found:
                if one.about == heading:
                    yield from _one(one)
        yield ""


def _one(one: Calculation) -> Iterator[str]:
    if one.allowed is None and len(one.working) == 1:
        (step,) = one.working
        yield f"    {visible(one.what)}: {', '.join(_row(step)[1:])}"
        return
    yield f"    {visible(one.what)}: {_verdict(one)}"
    rows = [_row(step) for step in one.working]
    widths = [max((columns(row[place]) for row in rows), default=0) for place in (0, 1)]
    for what, value, source in rows:
        yield f"      {padded(what, widths[0])}  {padded(value, widths[1])}  {source}".rstrip()


def _verdict(one: Calculation) -> str:
    why = f" ({visible(one.why)})" if one.why else ""
    if one.needed is None and one.allowed is None:
        return f"not known{why}"
    if one.needed is None:
        return f"allowed {figure(one.allowed or 0.0, one.unit)}{why}"
    if one.allowed is None:
        return f"{figure(one.needed, one.unit)}{why}"
    needed, allowed = figures_apart(one.unit, one.needed, one.allowed)
    return f"{needed}, allowed {allowed}: {HOLDS[one.holds]}{why}"


def _row(step: Working) -> tuple[str, str, str]:
    memory = "" if step.confirmed else "; from memory"
    return visible(step.what), figure(step.value, step.unit), visible(step.source) + memory
