"""A conductor is smaller than the trade lays for its job, whatever current it carries.

Inside a panel: 14 AWG for power, 18 AWG for control (UL 508A).  Outside: 14 AWG for power
(12 AWG aluminium, NEC 310.3(A)), 16 AWG for single control conductors (NFPA 79).
Conductors of electronic inputs and sensors alone, inside: 30 AWG (NFPA 79).  IEC 60204-1
table 5: 0.75 mm2 for power inside and 1 mm2 outside, 0.2 and 1 mm2 for control.

It keeps silent on the cores of cables, which may be smaller, on power supplies and control
transformers, which count as control, on class 2 wiring, on grounding conductors and on
wires that carry no load's current.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents
from netcheck.facts.wire_groups import by_cause, called, from_default, others_in_words, unsaid
from netcheck.facts.wire_limits import WireLimits
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.wires import Wire
from netcheck.rule import rule

if TYPE_CHECKING:
    from netcheck.tables.protection import SizeLookup

POWER = frozenset(("motor", "heater", "outlet", "drive", "load"))
ELECTRONIC = frozenset(("input", "electronics"))


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.QUERY,
    summary="a conductor is smaller than is laid for its job, whatever its current",
    why="thin wire breaks at its terminals, and an inspector turns it down",
    source="UL 508A, NFPA 79 12.6, NEC 310.3(A), read second-hand; "
    "IEC 60204-1 table 5, from memory",
    kind=ReferenceKind.STANDARD,
    requires=(CurrentPaths, LoadCurrents, WireLimits),
)
def find(view: View) -> Iterator[Outcome]:
    any_load, power, simple = (_fed(view, jobs) for jobs in (None, POWER, ELECTRONIC))
    small: list[tuple[Wire, str, SizeLookup]] = []
    missing: list[tuple[Wire, str]] = []
    for wire in view.panel.wires:
        if wire.index not in any_load or wire.cable or wire.properties.class_2:
            continue
        size = wire.properties.size
        if size is None:
            missing.append((wire, "no size said"))
            continue
        electronic = simple.get(wire.index) == any_load[wire.index]
        if wire.index in power and wire.properties.material is None and not _iec(view):
            missing.append((wire, "no metal said"))
            continue
        job, least = _least(view, wire, wire.index in power, electronic)
        if size.area_mm2 < least.size.area_mm2 * (1 - 1e-6):
            small.append((wire, job, least))
    for group in by_cause(small, lambda one: [(one[0].circuit, one[1], str(one[2].size))]):
        yield _finding(view, group)
    yield from unsaid(view.panel, missing)


def _fed(view: View, jobs: frozenset[str] | None) -> dict[int, float]:
    """How many loads of these sorts each wire may feed; wires that feed none have no entry."""
    loads = view[LoadCurrents].loads
    return view[CurrentPaths].bounds_a(
        [1.0 if jobs is None or _works(load) in jobs else 0.0 for load in loads]
    )


def _least(view: View, wire: Wire, power: bool, electronic: bool) -> tuple[str, SizeLookup]:
    from netcheck.tables import nec_panel_rules as nec
    from netcheck.tables import panel_minimum_sizes as sizes
    from netcheck.tables.circuits import smallest_permitted_size

    inside = view[WireLimits].is_inside(wire)
    if _iec(view):
        if power:
            rule = sizes.IEC_POWER_INSIDE if inside else sizes.IEC_POWER_OUTSIDE_SINGLE
        else:
            rule = sizes.IEC_CONTROL_INSIDE if inside else sizes.IEC_CONTROL_OUTSIDE_SINGLE
    elif power:
        aluminium = wire.properties.material != "copper"
        outside = nec.SMALLEST_ALUMINIUM if aluminium else nec.SMALLEST_COPPER
        rule = sizes.UL_POWER_INSIDE if inside else outside
    elif inside:
        rule = sizes.NFPA_79_ELECTRONIC_INSIDE if electronic else sizes.UL_CONTROL_INSIDE
    else:
        rule = sizes.NFPA_79_CONTROL_OUTSIDE
    return "power" if power else "control", smallest_permitted_size(rule)


def _iec(view: View) -> bool:
    return view[LoadCurrents].iec


def _works(load: LoadCurrent) -> str:
    assert load.parts[0].load is not None
    return load.parts[0].load.works


def _finding(view: View, group: list[tuple[Wire, str, SizeLookup]]) -> Finding:
    wire, job, least = group[0]
    others = [one[0] for one in group[1:]]
    size = wire.properties.size
    verb = "is" if not others else "are"
    return Finding(
        f"`{view.panel.wire_name(wire)}`{others_in_words(len(others))} for {job} {verb} "
        f"{size.text if size else ''}, and {least.size} is the smallest laid there",
        Place(wire.span, size.text if size else ""),
        wires=called(view.panel, [wire, *others]),
        condition=f"{wire.a} to {wire.b}",
        related=tuple(Place(other.span, "this one too") for other in others),
        working=(Working("smallest", str(least.size), "", least.source, least.confirmed),),
        assumed=from_default(wire, "size"),
        help=f"use {least.size} or larger",
    )
