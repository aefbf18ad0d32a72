"""The nameplate says another supply, another full-load or another largest motor than the text.

It speaks where no source from outside has the voltage and the kind of current that the plate
bears; where loads that a reachable state has on together draw more through one pole of a
source of that voltage than the full-load current it bears; and where the largest motor, or
the largest load where there is no motor, is more than a tenth away from what it bears.
Motors count by the current on their own plate, where that is said (NEC 430.6(A)(2) is for
overloads; a panel's plate bears what its loads bear).

It keeps silent on what the plate does not say, on a plate that bears more than the loads
draw, for spare capacity is lawful, and on its short-circuit rating, which another rule holds
against the weakest part.
"""

from collections.abc import Iterator, Mapping

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import heaviest_set
from netcheck.facts.load_currents import LoadCurrent, Sort, in_short
from netcheck.facts.loads_at_once import LoadsAtOnce
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
from netcheck.model.devices import SourcePart
from netcheck.model.panel import Panel
from netcheck.rounding import with_slack
from netcheck.rule import rule
from netcheck.states.answers import Undecided
from netcheck.text import Span

WITHIN = 0.1
"""Of the nominal voltage, which goes by several numbers, and of the largest motor's current."""


@rule(
    family=Family.DRAWING,
    severity=Severity.DEFECT,
    summary="the nameplate says another supply or current than the description comes to",
    why="the feeder, its device and the disconnect are chosen by the nameplate",
    source="NEC 409.110, 670.3(A); IEC 60204-1 16.4: what a nameplate bears; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(CurrentPaths, LoadsAtOnce),
)
def find(view: View) -> Iterator[Outcome]:
    panel, span = view.panel, view.panel.settings.span
    if span is None:
        return
    plate = {key: said for key, said in panel.settings.nameplate if isinstance(said, float | int)}
    outside = [source for source in panel.sources if source.mechanism]
    volts = plate.get("rating")
    feeding = [one for one in outside if volts is None or _near(_highest_v(one), volts)]
    if volts is not None and outside and not feeding:
        yield _another_supply(outside[0], volts, span)
        return
    if "full_load_a" in plate:
        for source in feeding:
            yield from _full_load(view, source, plate["full_load_a"], span)
    if "largest_motor_a" in plate:
        yield from _largest(view, plate["largest_motor_a"], span)


def _near(has: float, said: float) -> bool:
    return abs(has - said) <= WITHIN * said


def _highest_v(source: SourcePart) -> float:
    poles = list(source.poles.values())
    return max((abs(one - other) for one in poles for other in poles), default=source.volts)


def _another_supply(source: SourcePart, volts: float, span: Span) -> Finding:
    has = _highest_v(source)
    return Finding(
        f"the nameplate says {figure(volts, 'V')}, and `{source.device}` feeds the panel "
        f"with {figure(has, 'V')}",
        Place(span, f"{figure(volts, 'V')} here"),
        devices=(source.device,),
        condition="supply",
        working=(
            Working("nameplate", volts, "V", "as described"),
            Working(f"{source.device}", has, "V", "between its poles, as described"),
        ),
        help="write the supply of the panel on its nameplate",
    )


def _full_load(view: View, source: SourcePart, said_a: float, span: Span) -> Iterator[Outcome]:
    """The pole that must give most, where that is more than the plate bears."""
    paths = view[CurrentPaths]
    allowed_a = with_slack(said_a)
    for pole, potential in source.poles.items():
        if not potential:
            continue
        wires = view.panel.wires_at.get(f"{source.device}:{pole}", ())
        amperes = {
            number: _plate_a(view.panel, paths.loads[number])
            for wire in wires
            for number in paths.loads_on(wire.index)
        }
        if sum(amperes.values()) <= allowed_a:
            continue
        ranked = sorted(amperes, key=lambda number: (-amperes[number], number))
        found = heaviest_set(
            ranked,
            view[LoadsAtOnce],
            lambda some: sum(amperes[number] for number in some),  # noqa: B023 (used at once)
            allowed_a,
            weights=amperes,
        )
        if found is None:
            continue
        place = Place(span, f"{figure(said_a, 'A')} here")
        if isinstance(found.answer, Undecided):
            reason = f"whether the loads on `{source.device}:{pole}` stay within the nameplate"
            yield NotDecided(f"{reason}: {found.answer.reason}", place, (source.device,))
            return
        yield _too_much(
            f"{source.device}:{pole}",
            {paths.loads[number].name: amperes[number] for number in found.loads},
            said_a,
            place,
        )
        return


def _too_much(pole: str, on: Mapping[str, float], said_a: float, place: Place) -> Finding:
    needed, said = figures_apart("A", sum(on.values()), said_a)
    return Finding(
        f"the nameplate says {said} at full load, and loads that can be on together draw "
        f"{needed} from `{pole}`",
        place,
        devices=(pole.partition(":")[0],),
        condition="full load",
        working=(
            Working("nameplate", said_a, "A", "as described"),
            *in_short([Working(name, a, "A", "its current") for name, a in on.items()]),
        ),
        help=f"write at least {needed} on the nameplate",
    )


def _largest(view: View, said_a: float, span: Span) -> Iterator[Outcome]:
    loads = [one for one in view[CurrentPaths].loads if not one.unknown]
    motors = [one for one in loads if one.sort is Sort.MOTOR]
    amperes = {one: _plate_a(view.panel, one) for one in motors or loads}
    largest = max(amperes, key=lambda one: amperes[one], default=None)
    if largest is None or _near(amperes[largest], said_a):
        return
    draws, said = figures_apart("A", amperes[largest], said_a)
    yield Finding(
        f"the nameplate says {said} for the largest {'motor' if motors else 'load'}, and that is "
        f"`{largest.name}` with {draws}",
        Place(span, f"{said} here"),
        devices=(largest.device,),
        condition="largest",
        related=(Place(view.panel.devices[largest.device].span, draws),),
        working=(
            Working("nameplate", said_a, "A", "as described"),
            Working(largest.name, amperes[largest], "A", "its current"),
        ),
        help=f"write {draws} on the nameplate",
    )


def _plate_a(panel: Panel, load: LoadCurrent) -> float:
    """What a load bears on its own plate, else what it is sized by."""
    own_a = panel.devices[load.device].number("full_load_a")
    return own_a if own_a and load.sort is Sort.MOTOR else load.current_a
