"""The conductors between a source and a load take more of its voltage than they should.

Both ways count, out and home, from the source, supply or transformer on, and ahead of a
transformer too.  First every load that may draw through a wire is taken to; where that is
too much, the panel is solved in the reachable state that costs this load most.  The limit
is the panel's `drop limit`, 5 % where it says none.

It keeps silent on starting currents, and on what sources and transformers lose inside.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.component_values import CONDUCTOR_C, ohm_is_confirmed, ohm_per_m
from netcheck.facts.conductor_drops import VoltageDrop
from netcheck.facts.voltage_drops import VoltageDrops
from netcheck.facts.wire_groups import by_cause, called, from_default, unsaid
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.reading.conductor_size import ConductorSize
from netcheck.rule import rule
from netcheck.solve.lags import effective_ohm
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import lag_assumed, lagging

MOST_CONDUCTORS = 4
"""Told one by one; the others are counted together."""
RESISTANCE = "NEC chapter 9 tables 8 and 9, IEC 60228"


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.QUERY,
    summary="conductors take more of a load's voltage than the drop limit allows",
    why="motors run hot, coils chatter or do not pull in, heaters heat less",
    source="NEC 210.19(A) and 215.2(A) informational notes (5 % in all), read second-hand; "
    "IEC 60204-1 12.5, from memory",
    kind=ReferenceKind.STANDARD,
    requires=(VoltageDrops,),
)
def find(view: View) -> Iterator[Outcome]:
    drops = view[VoltageDrops]
    for group in by_cause(drops.drops, _marks):
        worst = max(group, key=lambda one: one.share)
        if isinstance(worst.answer, Undecided):
            place = Place(view.panel.devices[worst.load.device].span)
            reason = f"how many volts `{worst.load.name}` loses: {worst.answer.reason}"
            yield NotDecided(reason, place, (worst.load.device,))
        else:
            yield _finding(view, worst, group)
    if drops.left:
        first = view.panel.devices[drops.left[0].device]
        reason = f"how many volts {len(drops.left)} more loads lose: not looked at after so many"
        yield NotDecided(reason, Place(first.span), (first.name,))
    yield from unsaid(view.panel, drops.missing)


def _marks(drop: VoltageDrop) -> Iterator[int]:
    """Loads that lose most in the same conductor have one cause."""
    if drop.conductors:
        yield drop.conductors[0].wire.index


def _finding(view: View, worst: VoltageDrop, group: list[VoltageDrop]) -> Finding:
    panel = view.panel
    wire = worst.conductors[0].wire
    lost, limit = figures_apart("%", worst.share * 100, worst.limit * 100)
    witness = tell(panel, worst.answer) if isinstance(worst.answer, Reached) else None
    others = [one.load for one in group if one is not worst]
    count = f" and {len(others)} more load{'s' if len(others) > 1 else ''}" if others else ""
    return Finding(
        f"`{worst.load.name}`{count} {'lose' if others else 'loses'} {lost} of "
        f"{figure(worst.supplied_v, 'V')} in {'their' if others else 'its'} conductors, most of it "
        f"in `{panel.wire_name(wire)}`; the limit is {limit}",
        Place(wire.span, _described(wire)),
        devices=(worst.load.device, *dict.fromkeys(load.device for load in others)),
        wires=called(panel, [one.wire for one in worst.conductors[:MOST_CONDUCTORS]]),
        condition=worst.load.name,
        state=witness.state if witness else {},
        steps=witness.steps if witness else (),
        working=tuple(_working(panel, worst)),
        assumed=(
            "conductors at 75 degC",
            *lag_assumed(worst),
            *(() if panel.settings.drop_limit is not None else (f"drop limit {limit}",)),
            *from_default(wire, "size", "material", "length_m"),
        ),
        help=_help(panel, worst),
    )


def _described(wire: Wire) -> str:
    size, length_m = wire.properties.size, wire.properties.length_m
    return f"{size.text if size else ''}, {figure(length_m or 0.0, 'm')}"


def _working(panel: Panel, drop: VoltageDrop) -> Iterator[Working]:
    yield drop.load.working
    yield from lagging(drop)
    shown, rest = drop.conductors[:MOST_CONDUCTORS], drop.conductors[MOST_CONDUCTORS:]
    for one in shown:
        what = f"{figure(one.current_a, 'A')} x {figure(one.ohm, 'ohm')}, {_described(one.wire)}"
        name, sure = panel.wire_name(one.wire), ohm_is_confirmed(one.wire)
        yield Working(f"lost in {name}", one.volts, "V", what, sure)
    if rest:
        rest_v = sum(one.volts for one in rest)
        yield Working("lost in its other conductors", rest_v, "V", f"{len(rest)} of them")
    if drop.ahead_v:
        yield Working("lost ahead of its transformer", drop.ahead_v, "V", "through its ratio")
    how = "solved in this state" if drop.exact else "the sum of these, at rated currents"
    yield Working("lost in all", drop.volts, "V", f"{how}; ohms from {RESISTANCE}")


def _help(panel: Panel, drop: VoltageDrop) -> str:
    """The smallest size for the conductors that lose most that brings it within the limit."""
    from netcheck.tables.ampacity import iec_sizes, nec_sizes

    def per_m(size: ConductorSize) -> float | None:
        ohm = ohm_per_m(size, material, CONDUCTOR_C)
        if ohm is None:
            return None
        return effective_ohm(ohm, drop.lag) if drop.exact else abs(ohm)

    properties = drop.conductors[0].wire.properties
    size, material = properties.size, properties.material or ""
    most = [one for one in drop.conductors if one.volts * 4 > drop.conductors[0].volts]
    same = [one for one in most if one.wire.properties.size == size]
    lost_v, allowed_v = sum(one.volts for one in same), drop.limit * drop.supplied_v
    sizes = iec_sizes("C") if panel.settings.practice.iec else nec_sizes(material)
    now = per_m(size) if size else None
    for larger in sizes:
        then = per_m(larger)
        if not now or then is None:
            continue
        if drop.volts - lost_v * (1 - then / now) <= allowed_v:
            names = [f"`{panel.wire_name(one.wire)}`" for one in same[:MOST_CONDUCTORS]]
            return f"{larger.text} would do for {', '.join(names)}"
    return "a shorter way, or a higher voltage: no larger size alone would do"
