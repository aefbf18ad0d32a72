"""What reaches a coil, an input or a starting motor is less than it needs to pull in or start.

Counted with the inrush that the text gives (`inrush` of a coil, `locked rotor` of a motor)
and the other loads of a reachable state on, from what the source gives: a coil needs the
lower end of its band, 85 % where none is said, and a motor 85 % of its voltage to start.

It keeps silent where the source itself gives too little: that is another fault.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.component_values import ohm_is_confirmed
from netcheck.facts.load_currents import LoadCurrent, Sort
from netcheck.facts.low_voltages import LowVoltage, LowVoltages
from netcheck.facts.wire_groups import by_cause, called, from_default
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
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import lag_assumed, lagging

MOST_CONDUCTORS = 4


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DEFECT,
    summary="too little voltage reaches a coil, an input or a starting motor",
    why="a coil chatters and its contacts weld or burn; a motor stalls",
    source="IEC 60947-4-1: coils pull in from 85 % of their voltage, second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(LowVoltages,),
)
def find(view: View) -> Iterator[Outcome]:
    for group in by_cause(view[LowVoltages].loads, _marks):
        worst = min(group, key=lambda one: one.left_v / one.needed_v)
        place = Place(view.panel.devices[worst.drop.load.device].span)
        if isinstance(worst.drop.answer, Undecided):
            reason = f"what reaches `{worst.drop.load.name}`: {worst.drop.answer.reason}"
            yield NotDecided(reason, place, (worst.drop.load.device,))
        else:
            yield _finding(view, worst, group)
    left = view[LowVoltages].left
    if left:
        first = view.panel.devices[left[0].device]
        reason = f"what reaches {len(left)} more loads: not looked at after so many"
        yield NotDecided(reason, Place(first.span), (first.name,))


def _marks(low: LowVoltage) -> Iterator[int]:
    if low.drop.conductors:
        yield low.drop.conductors[0].wire.index


def _finding(view: View, worst: LowVoltage, group: list[LowVoltage]) -> Finding:
    panel, drop = view.panel, worst.drop
    wire = drop.conductors[0].wire
    left, needed = figures_apart("V", worst.left_v, worst.needed_v)
    witness = tell(panel, drop.answer) if isinstance(drop.answer, Reached) else None
    others = [one.drop.load for one in group if one is not worst]
    count = f" and {len(others)} more load{'s' if len(others) > 1 else ''}" if others else ""
    doing = "as it starts" if worst.starting else "while it works"
    return Finding(
        f"`{drop.load.name}`{count} {'get' if others else 'gets'} {left} {doing}, and "
        f"{'need' if others else 'needs'} {needed}: most is lost in "
        f"`{panel.wire_name(wire)}`",
        Place(wire.span, f"{figure(drop.conductors[0].volts, 'V')} lost here"),
        related=(Place(panel.devices[drop.load.device].span, f"needs {needed}"),),
        devices=(drop.load.device, *dict.fromkeys(load.device for load in others)),
        wires=called(panel, [one.wire for one in drop.conductors[:MOST_CONDUCTORS]]),
        condition=drop.load.name,
        state=witness.state if witness else {},
        steps=witness.steps if witness else (),
        working=tuple(_working(view, worst)),
        assumed=(
            "conductors at 75 degC",
            *lag_assumed(drop),
            *from_default(wire, "size", "material", "length_m"),
        ),
        help=_help(drop.load),
    )


def _help(load: LoadCurrent) -> str:
    if load.sort is Sort.MOTOR:
        return "a larger size or a shorter way, or a softer start"
    return "a larger size or a shorter way, or a relay near the load that takes less"


def _working(view: View, worst: LowVoltage) -> Iterator[Working]:
    drop = worst.drop
    yield Working("its source gives", drop.supplied_v, "V", "nominal")
    taken = "inrush, as described" if worst.starting else drop.load.working.source
    yield Working(f"{drop.load.name} takes", worst.own_a, "A", taken)
    yield from lagging(drop)
    for one in drop.conductors[:MOST_CONDUCTORS]:
        name = view.panel.wire_name(one.wire)
        how = f"{figure(one.current_a, 'A')} x {figure(one.ohm, 'ohm')}"
        yield Working(f"lost in {name}", one.volts, "V", how, ohm_is_confirmed(one.wire))
    how = "solved in this state" if drop.exact else "the sum of rated currents"
    yield Working("lost in all", drop.volts, "V", how)
