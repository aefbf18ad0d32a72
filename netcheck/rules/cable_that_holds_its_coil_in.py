"""An AC coil that the capacitance of its control cable holds in, though its contact is open.

Two cores of a cable, the one that feeds a contact far away and the one that comes back from
it to the coil, shunt that contact.  It speaks where such a cable says its capacitance
(`0.26 uF each km`) and is longer than

    m / (1 + m) x P / (2 pi f C U^2)

with m the voltage the coil drops out at over its rated one, U, and P what it takes sealed.

It keeps silent on DC, on cables that say no capacitance, and on cores that carry no contact
between them.  A coil that does not say where it drops out, or what it takes, is not checked.
"""

from collections.abc import Iterator
from math import pi

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.figure import figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Part
from netcheck.model.wires import Wire
from netcheck.network.traces import reached
from netcheck.rule import rule
from netcheck.states.expressions import FALSE

USUAL_HZ = 60.0


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="the capacitance of a control cable holds an AC coil in past its open contact",
    why="the switch at the far end opens, and the contactor stays in",
    source="permissible length of control cables: a maker's note on long lines, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour, CurrentPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths = view.panel, view[CurrentPaths]
    cores: dict[str, list[Wire]] = {}
    for wire in panel.wires:
        if wire.cable and wire.properties.capacitance_f_per_km:
            cores.setdefault(wire.cable, []).append(wire)
    for cable, wires in cores.items():
        pairs = [(one, other) for one in wires for other in wires if one.index < other.index]
        told: set[str] = set()
        for one, other in pairs:
            both = set(paths.loads_on(one.index)) & set(paths.loads_on(other.index))
            for number in sorted(both):
                load = paths.loads[number]
                if load.name not in told and _shunted(view, load, one, other):
                    told.add(load.name)
                    yield from _judged(view, cable, one, load)


def longest_m(
    share: float, sealed_va: float, farad_per_km: float, frequency_hz: float, volts: float
) -> float:
    """The longest cable, m, past which a coil that drops out at `share` of its volts lets go."""
    reactive = 2 * pi * frequency_hz * farad_per_km * volts**2
    return share / (1 + share) * sealed_va / reactive * 1000


def _shunted(view: View, load: LoadCurrent, one: Wire, other: Wire) -> bool:
    """Whether the coil, on AC, has a contact between these two cores."""
    made = load.parts[0].load
    if made is None or made.works != "coil" or made.kind != "AC":
        return False
    states = view[Behaviour]
    if states.node(one.a) == states.node(other.a):
        return False

    def passable(part: Part, forwards: bool) -> bool:
        return part.load is None and states.closed(part) != FALSE

    return bool({other.a, other.b} & reached(view.panel, (one.a,), passable))


def _judged(view: View, cable: str, core: Wire, load: LoadCurrent) -> Iterator[Outcome]:
    device = view.panel.devices[load.device]
    made = load.parts[0].load
    volts = made.volts if made is not None else None
    drop_out_v, sealed_va = device.number("coil_drop_out_v"), device.number("coil_va")
    length_m, farad = core.properties.length_m, core.properties.capacitance_f_per_km
    place = Place(device.span, f"behind {cable}")
    if not (volts and drop_out_v and sealed_va and length_m and farad):
        missing = _missing(drop_out_v, sealed_va, length_m)
        reason = f"whether {cable} holds {load.name} in: {missing}"
        yield NotChecked(reason, place, (load.device, cable))
        return
    frequency_hz = _frequency_hz(view, load)
    most_m = longest_m(drop_out_v / volts, sealed_va, farad, frequency_hz, volts)
    if length_m <= most_m:
        return
    runs, lets_go = figures_apart("m", length_m, most_m)
    yield Finding(
        f"`{load.name}` can stay in past its open contact: `{cable}` runs {runs}, and from "
        f"{lets_go} on its capacitance holds it",
        place,
        devices=(load.device, cable),
        condition=load.name,
        related=(Place(core.span, "shunts the contact"),),
        working=(
            Working(f"{load.name} drops out at", drop_out_v, "V", "as described"),
            Working(f"{load.name} takes sealed", sealed_va, "VA", "as described"),
            Working(f"capacitance of {cable}", farad * 1e6, "uF/km", "as described"),
            Working("frequency", frequency_hz, "Hz", "of its source"),
            Working("longest that lets go", most_m, "m", "m/(1+m) x P/(2 pi f C U^2)"),
        ),
        help="use a DC coil or an interposing relay, a coil that takes more, or a load beside it",
    )


def _frequency_hz(view: View, load: LoadCurrent) -> float:
    made = load.parts[0].load
    said = [one.frequency_hz for one in view.panel.sources if one.frequency_hz]
    return (made.frequency_hz if made is not None else None) or max(said, default=USUAL_HZ)


def _missing(drop_out_v: float | None, sealed_va: float | None, length_m: float | None) -> str:
    if not drop_out_v:
        return "it does not say at what voltage it drops out"
    if not sealed_va:
        return "it does not say what it takes sealed"
    return "" if length_m else "the cable does not say how long it is"
