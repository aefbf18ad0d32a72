"""The lines of the calculation sheet about conductors: what they carry, what protects them,
and what grounds the equipment.

What a wire must be good for is added up as the trade does on paper: every load that may draw
through it once, continuous loads at 125 % against what it carries before correction, and all as
they are, the largest motor at 125 %, against what it carries after (NEC 210.19(A)(1), 430.24).
Of the two the line shows the one that comes nearer to its limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.case import View
from netcheck.facts.beyond_wires import Beyond, BeyondWires
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.device_limits import DeviceLimit
from netcheck.facts.equipment_protection import EquipmentProtection
from netcheck.facts.grounding_conductors import GroundingConductors
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort, in_short
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.facts.sections import Sections
from netcheck.facts.wire_currents import SHARE, Overload, WireCurrents, counted_a
from netcheck.facts.wire_limits import WireLimit, WireLimits
from netcheck.facts.wire_protection import Judge, WireProtection
from netcheck.finding import Calculation, Working
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rounding import exceeds
from netcheck.states.answers import Reached

WIRES = "conductors"
BEHIND = "breakers and fuses, against their conductors"
EQUIPMENT = "breakers and fuses, against their motors and transformers"
GROUNDING = "grounding conductors"
BOUND = "all its loads at once"
MOST_NAMED = 6
"""Wires or loads named in one line of the sheet."""


def listed(names: Sequence[str]) -> str:
    shown = names if len(names) <= MOST_NAMED else names[: MOST_NAMED - 1]
    more = f" and {len(names) - len(shown)} more" if len(shown) < len(names) else ""
    return ", ".join(shown) + more


def called(panel: Panel, wires: Sequence[Wire]) -> str:
    return listed(list(dict.fromkeys(panel.wire_name(wire) for wire in wires)))


def unsaid(paths: CurrentPaths, numbers: Sequence[int]) -> str:
    """Of loads whose current is not known: what stands for them is less than they draw."""
    return next((paths.loads[n].unknown for n in numbers if paths.loads[n].unknown), "")


# ---- what they carry -----------------------------------------------------------------------------


def wire_lines(view: View) -> Iterator[Calculation]:
    """Wires of one size, one limit and the same loads stand in one line."""
    panel, currents, paths = view.panel, view[WireCurrents], view[CurrentPaths]
    over = {overload.wire.index: overload for overload in currents.overloads}
    missing = {wire.index: reason for wire, reason in currents.missing}
    missing |= {wire.index: "not looked at, after so many others" for wire in currents.left}
    carrying = paths.bounds_a([1.0] * len(paths.loads))
    groups: dict[object, list[Wire]] = {}
    for wire in panel.wires:
        if wire.index in carrying:
            limit = view[WireLimits].of(wire)
            told = limit if isinstance(limit, str) else (limit.size.text, limit.steady)
            reason, loads = missing.get(wire.index, ""), paths.loads_on(wire.index)
            key = told, loads, wire.index if wire.index in over else reason
            groups.setdefault(key, []).append(wire)
    for wires in groups.values():
        first = wires[0]
        why = missing.get(first.index, "") or unsaid(paths, paths.loads_on(first.index))
        yield _carries(view, wires, over.get(first.index), why)


def _carries(view: View, wires: Sequence[Wire], overload: Overload | None, why: str) -> Calculation:
    first, paths = wires[0], view[CurrentPaths]
    loads = [paths.loads[number] for number in paths.loads_on(first.index)]
    limit, iec = view[WireLimits].of(first), view[LoadCurrents].iec
    what = called(view.panel, wires)
    if isinstance(limit, str):
        steady_a = counted_a(loads, 1.0 if iec else SHARE, continuous=False)
        return Calculation(WIRES, what, steady_a, None, "A", None, (), why or limit)
    if overload is None:
        needed_a, continuous = _nearest(limit, loads, iec)
    else:
        needed_a, continuous, loads = overload.needed_a, overload.continuous, [*overload.loads]
        limit = overload.limit
    allowed = limit.continuous if continuous else limit.steady
    decided = overload is None or isinstance(overload.answer, Reached)
    if overload is None and exceeds(needed_a, allowed.current_a) and not why:
        why = "less in every state that can be"
    on = BOUND if overload is None else "on together"
    steps = (
        *_counted(loads, continuous, iec),
        Working(f"required, {on}", needed_a, "A", "the sum of these"),
        *allowed.working,
        Working("it may carry", allowed.current_a, "A", allowed.governed_by),
    )
    holds = overload is None if decided and (not why or why.startswith("less")) else None
    return Calculation(
        WIRES, f"{what}, {limit.size.text}", needed_a, allowed.current_a, "A", holds, steps, why
    )


def _nearest(limit: WireLimit, loads: Sequence[LoadCurrent], iec: bool) -> tuple[float, bool]:
    """The larger demand, measured by its limit, and whether it is the continuous one."""
    share = 1.0 if iec else SHARE
    counts = [
        (counted_a(loads, share, continuous), continuous, allowed.current_a)
        for continuous, allowed in ((True, limit.continuous), (False, limit.steady))
    ]
    needed_a, continuous, _ = max(counts, key=lambda one: one[0] / one[2])
    return needed_a, continuous


def _counted(loads: Sequence[LoadCurrent], continuous: bool, iec: bool) -> Iterator[Working]:
    """The terms of the sum, the largest motor's part by itself."""
    yield from in_short([_term(load, continuous and not iec) for load in loads])
    motors = [load for load in loads if load.sort is Sort.MOTOR]
    if motors and not iec:
        largest = max(motors, key=lambda load: load.current_a)
        part_a = largest.current_a * (SHARE - 1)
        rule = "NEC 430.22" if len(loads) == 1 else "NEC 430.24"
        sure = len(loads) == 1  # 430.24 is from memory
        yield Working(f"a quarter more for {largest.name}", part_a, "A", rule, sure)


def _term(load: LoadCurrent, raised: bool) -> Working:
    if raised and load.sort is Sort.CONTINUOUS:
        source = f"continuous, 125 % of {load.current_a:.4g} A"
        return Working(load.name, load.current_a * SHARE, "A", source)
    return Working(load.name, load.current_a, "A", load.working.source, load.working.confirmed)


# ---- what protects them --------------------------------------------------------------------------


def device_lines(view: View) -> Iterator[Calculation]:
    """Each breaker or fuse against the conductors behind it, size by size."""
    judge, faults = Judge(view), {fault.wire.index for fault in view[WireProtection].faults}
    groups: dict[object, list[Wire]] = {}
    ahead_of: dict[object, tuple[Ahead, DeviceLimit]] = {}
    for wire in view.panel.wires:
        ahead = _device_ahead(view, wire)
        limit = view[WireLimits].of(wire)
        if ahead is None or isinstance(limit, str) or wire.properties.class_2:
            continue
        device = view.panel.devices[ahead.by] if ahead.holds is Holds.DEVICE else None
        allowed = judge.allowed(limit, device, ahead)
        beyond = view[BeyondWires].of.get(wire.index, Beyond())
        tap = exceeds(ahead.amperes, allowed.amperes) and beyond.ends_in_devices
        key = ahead.by, limit.size.text, allowed.amperes, allowed.rule, tap, wire.index in faults
        groups.setdefault(key, []).append(wire)
        ahead_of[key] = ahead, allowed
    for group, wires in groups.items():
        ahead, allowed = ahead_of[group]
        too_large, faulty = exceeds(ahead.amperes, allowed.amperes), wires[0].index in faults
        why = "a tap that ends at a device" if too_large and not faulty else ""
        size = wires[0].properties.size
        yield Calculation(
            BEHIND, f"{ahead.by}, for {called(view.panel, wires)}, {size.text if size else ''}",
            ahead.amperes, allowed.amperes, "A", not (too_large and faulty),
            (*allowed.working, Working("largest device", allowed.amperes, "A", allowed.rule)), why,
        )  # fmt: skip


def equipment_lines(view: View) -> Iterator[Calculation]:
    """Each device against its motors (NEC 430.52, 430.62) or its transformer (450.3(B))."""
    for check in view[EquipmentProtection].checks:
        allowed_a = check.allowed.amperes
        last = Working("largest device", allowed_a, "A", check.allowed.rule)
        yield Calculation(
            EQUIPMENT, f"{check.ahead.by}, for {listed(check.equipment)}", check.ahead.amperes,
            allowed_a, "A", not exceeds(check.ahead.amperes, allowed_a),
            (*check.allowed.working, last),
        )  # fmt: skip


def _device_ahead(view: View, wire: Wire) -> Ahead | None:
    """What holds the wire in the way of feeding that holds it least, if a device does."""
    ways = view[Protection].ways.get(view[Sections].of.get(wire.a, -1), ())
    held = ways[0].holds in (Holds.DEVICE, Holds.UPSTREAM) if ways else False
    return ways[0] if held else None


# ---- what grounds the equipment ------------------------------------------------------------------


def grounding_lines(view: View) -> Iterator[Calculation]:
    """By equipment the thinnest of its grounding conductors against the smallest allowed, mm2."""
    thinnest: dict[str, Calculation] = {}
    for wire, needed in view[GroundingConductors].needs:
        size = wire.properties.size
        if size is None:
            continue
        line = Calculation(
            GROUNDING, f"{needed.equipment}, {view.panel.wire_name(wire)}, {size.text}",
            needed.size.area_mm2, size.area_mm2, "mm2",
            not exceeds(needed.size.area_mm2, size.area_mm2),
            (*needed.working, Working("smallest", needed.size.text, "", "of these"),
             Working("it is", size.text, "", "as described")),
        )  # fmt: skip
        known = thinnest.get(needed.equipment)
        if known is None or (known.allowed or 0.0) > size.area_mm2:
            thinnest[needed.equipment] = line
    yield from thinnest.values()
