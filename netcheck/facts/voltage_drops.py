"""Loads whose conductors take more of their voltage than the drop limit allows."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.component_values import ComponentValues, why_no_ohm
from netcheck.facts.conductor_drops import Asked, DropFinder, VoltageDrop
from netcheck.facts.load_currents import LoadCurrent
from netcheck.model.defaults import DROP_LIMIT
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.rounding import exceeds


@record
class VoltageDrops:
    """`drops` are above their limit, or in doubt; `missing` are wires of which too little is
    said to tell, each with the reason; `shares` is the bound of every load."""

    drops: tuple[VoltageDrop, ...]
    missing: tuple[tuple[Wire, str], ...]
    shares: tuple[tuple[LoadCurrent, float], ...]
    left: tuple[LoadCurrent, ...]
    """Loads in doubt that were not looked at, after so many."""


@concludes(DropFinder, ComponentValues)
def find_voltage_drops(view: View) -> VoltageDrops:
    finder = view[DropFinder]
    said = view.panel.settings.drop_limit
    limit = DROP_LIMIT if said is None else said
    bounds = finder.bounds()
    judged = finder.judge(
        Asked(number, bound, limit) for number, bound in bounds.items() if exceeds(bound, limit)
    )
    shares = tuple((finder.loads[number], bound) for number, bound in bounds.items())
    missing = tuple(_missing(finder, frozenset(view[ComponentValues].wires_unsaid)))
    drops = tuple(drop for _, drop in judged.drops)
    return VoltageDrops(drops, missing, shares, judged.left)


def _missing(finder: DropFinder, unsaid: frozenset[int]) -> Iterator[tuple[Wire, str]]:
    carrying = finder.paths.bounds_a([1.0] * len(finder.loads))
    for wire in finder.panel.wires:
        if wire.index in unsaid and wire.index in carrying:
            yield wire, why_no_ohm(wire)
