"""A conductor must carry more current, for its loads, than it may carry where it lies.

The current is counted as the trade counts it for sizing: motors by the tables of
full-load currents, the largest at 125 % (NEC 430.22, 430.24), continuous loads and
heaters at 125 % (NEC 210.19(A)(1), UL 508A), everything else as rated; in IEC practice all
loads as rated.  Only loads that a reachable state has on at the same time are added, and
on a neutral the legs take from each other.  What the conductor may carry follows from its
size, metal and insulation, its terminals, the ambient and the conductors beside it: as said,
or as they are counted in its raceway or cable.  Flexible cord has a table of its own.

It keeps silent on grounding conductors, on voltage drop, and on class 2 wiring that no
table names.  Loads that stand in series with loads, and currents that divide between
parallel wires, are not decided.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.beyond_wires import BeyondWires
from netcheck.facts.conductor_company import Company
from netcheck.facts.load_currents import Sort, in_short
from netcheck.facts.protection import Holds, Protection
from netcheck.facts.wire_currents import Overload, WireCurrents
from netcheck.facts.wire_groups import by_cause, called, others_in_words, unsaid
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed

HELD_BY = {
    "insulation column, corrected": "insulation, in this heat and company",
    "terminal column": "terminals",
    "panel wire table": "row in the panel wire table",
    "load limit of small class 1 conductors": "load limit outside a panel",
    "installation method": "way of being laid",
    "small conductor limit": "device, by 240.4(D)",
    "next standard rating above the ampacity": "device",
    "ampacity": "device",
}
"""The limits of `tables/sizing.py` in words; its smallest permitted size needs none."""

MOST_LOADS = 6
"""Named in a message; the others are counted."""
MOST_MARKS = 40
"""By so many of their heaviest loads, wires that are too small are told to have one cause."""


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.DANGER,
    summary="a conductor must carry more current than it may carry where it lies",
    why="it runs hot, its insulation fails, and its protective device need not see it",
    source="NEC 110.14(C), 210.19(A)(1), 310.14, 430.22, 430.24; IEC 60204-1 12.4",
    kind=ReferenceKind.STANDARD,
    requires=(WireCurrents, Protection, BeyondWires),
)
def find(view: View) -> Iterator[Outcome]:
    panel, currents = view.panel, view[WireCurrents]
    for group in by_cause(currents.overloads, _marks):
        worst = max(group, key=lambda one: (isinstance(one.answer, Reached), one.excess))
        if isinstance(worst.answer, Undecided):
            name = panel.wire_name(worst.wire)
            reason = f"whether `{name}` carries too much: {worst.answer.reason}"
            yield NotDecided(reason, Place(worst.wire.span))
        else:
            yield _finding(view, worst, group)
    if currents.left:
        name, others = panel.wire_name(currents.left[0]), others_in_words(len(currents.left) - 1)
        reason = f"`{name}`{others}: too many wires carry too much to look at each"
        yield NotDecided(reason, Place(currents.left[0].span))
    yield from unsaid(panel, currents.missing)
    for load in currents.unknown:
        yield NotChecked(load.unknown, Place(panel.devices[load.device].span), (load.device,))


def _marks(overload: Overload) -> Iterator[tuple[str, ...]]:
    size = overload.wire.properties.size
    heaviest = sorted(overload.loads, key=lambda load: -load.current_a)
    for load in heaviest[:MOST_MARKS]:
        yield (load.name, overload.wire.circuit, size.text if size else "")
    if (company := _crowded(overload)) is not None:
        yield (company.where, size.text if size else "")


def _crowded(overload: Overload) -> Company | None:
    """What lies together and is corrected for it, where that holds the wire down."""
    company = overload.limit.company
    held_down = overload.allowed.governed_by == "insulation column, corrected"
    return company if company is not None and company.count > 3 and held_down else None


def _finding(view: View, worst: Overload, group: list[Overload]) -> Finding:
    panel = view.panel
    certain = [one for one in group if isinstance(one.answer, Reached)]
    others = [one.wire for one in certain if one is not worst]
    names = [load.name for load in worst.loads]
    needed, allowed = figures_apart("A", worst.needed_a, worst.allowed.current_a)
    assert isinstance(worst.answer, Reached)
    witness = tell(panel, worst.answer)
    return Finding(
        f"`{panel.wire_name(worst.wire)}`{others_in_words(len(others))} must be good for {needed} "
        f"for {listed(names, most=MOST_LOADS)}, and may carry {allowed}",
        Place(worst.wire.span, f"{worst.limit.size} {worst.limit.material}"),
        devices=tuple(dict.fromkeys(load.device for load in worst.loads)),
        wires=called(panel, [worst.wire, *others]),
        condition=f"{worst.wire.a} to {worst.wire.b}",
        related=(
            *_beside(panel, worst),
            *(Place(wire.span, "this one too") for wire in others),
        ),
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(worst)),
        assumed=worst.limit.assumed,
        help=_help(view, worst),
    )


def _beside(panel: Panel, overload: Overload) -> Iterator[Place]:
    """The raceway or cable that the wire shares."""
    company = _crowded(overload)
    if company is not None:
        name = company.where.rpartition(" ")[2]
        shared = panel.raceways.get(name) or panel.cables[name]
        label = f"{company.count} conductors that carry current, {company.where}"
        yield Place(shared.span, label)


def _working(overload: Overload) -> Iterator[Working]:
    loads = sorted(overload.loads, key=lambda load: -load.current_a)
    yield from in_short([load.working for load in loads])
    nec = overload.limit.conditions.practice == "NEC"
    if nec and any(load.sort is Sort.MOTOR for load in loads):
        yield Working("largest motor counts", 125, "%", "NEC 430.22, 430.24", False)
    if nec and overload.continuous and any(load.sort is Sort.CONTINUOUS for load in loads):
        yield Working("continuous loads count", 125, "%", "NEC 210.19(A)(1); UL 508A for heaters")
    how = "the sum of these" + (", each by its angle" if overload.by_angle else "")
    yield Working("must be good for", overload.needed_a, "A", how)
    yield from overload.allowed.working


def _help(view: View, overload: Overload) -> str:
    """The smallest size that would do, with the device that stands ahead of it."""
    from netcheck.tables.lookup import NotTabulated
    from netcheck.tables.sizing import smallest_size_for
    from netcheck.tables.wire_sizes import trade_size

    device_a, fuse = _device(view, overload)
    motor = any(load.sort is Sort.MOTOR for load in overload.loads)
    sizes = []
    for needed_a, conditions in overload.demands:
        least = trade_size("1/0 AWG") if conditions.in_parallel > 1 else None
        found = smallest_size_for(needed_a, conditions, device_a, motor, least, fuse)
        if isinstance(found, NotTabulated):
            return f"divide the load: {found.reason}"
        sizes.append(found)
    largest = max(sizes, key=lambda found: found.size)
    carried = figure(largest.ampacity.current_a, "A")
    held = HELD_BY.get(largest.governed_by)
    why = f"; a smaller one is held down by its {held}" if held else ""
    count = overload.limit.conditions.in_parallel
    size = f"{count} of {largest.size}" if count > 1 else f"{largest.size}"
    return f"{size} would do: {'they' if count > 1 else 'it'} may carry {carried}{why}"


def _device(view: View, overload: Overload) -> tuple[float | None, bool]:
    """The rating ahead that the wire must fit, A, and whether it is a fuse's.

    None where there is none, or where the wire ends in a device of its own.
    """
    ahead = view[Protection].worst(overload.wire.a)
    beyond = view[BeyondWires].of.get(overload.wire.index)
    if ahead is None or (beyond is not None and beyond.ends_in_devices):
        return None, False
    if ahead.holds is Holds.DEVICE:
        return ahead.amperes, view.panel.devices[ahead.by].kind == "fuse"
    return (ahead.amperes if ahead.holds is Holds.UPSTREAM else None), False
