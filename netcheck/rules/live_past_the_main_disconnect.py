"""Something that carries more than 50 V to ground with every disconnect of its panel open.

Asked of a panel that has a main disconnect: one in the enclosure or on its door through
which two loads or more draw.  All disconnects are then taken to be open, breakers, fuses and
contacts to be closed, and everything is followed that the hot poles of each source come to.
Loads and contacts met there are told, for each source: what is tapped ahead of the main,
comes from another panel, or hangs on a pole that the disconnect does not open.

It keeps silent on wires, terminals, fuses and breakers on the line side, on a source, a load
or a contact marked `live with the main off`, and on one whose wire there is marked so; on up
to 50 V; and where no disconnect is described, or only those at machines.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.current_paths import CurrentPaths
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Device, Part, SourcePart, device_of
from netcheck.model.panel import Panel
from netcheck.network.traces import reached, told, walk
from netcheck.rule import rule
from netcheck.states.expressions import FALSE
from netcheck.states.volts import Volts, magnitude
from netcheck.telling import in_words, listed, volts_in_words

EXPOSES_V = 50.0
"""29 CFR 1910.333(a)(1) has parts of 50 V and more made dead before work on or near them."""
MARK = "live with the main off"
IN_THE_PANEL = frozenset(("", "panel", "door", "plate"))


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DANGER,
    summary="something is live though every disconnect is open, and no mark says so",
    why="whoever opens the main believes that the panel is dead, and reaches in",
    source="29 CFR 1910.333(a)(1), NFPA 79 and IEC 60204-1 5.3.5 excepted circuits, second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(Behaviour, CircuitVolts, CurrentPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    mains = [one for one in panel.devices.values() if _is_main(view, one)]
    if not mains:
        return
    guarded = {_panel_of(panel, main.name) for main in mains}
    told_of: set[str] = set()
    for index, source in enumerate(panel.sources):
        if source.inputs or MARK in panel.devices[source.device].marks:
            continue
        for pole in _hot_poles(view, index, source):
            met = [
                part
                for part in _live(view, pole)
                if _panel_of(panel, part.device) in guarded and part.device not in told_of
            ]
            if met:
                told_of.update(part.device for part in met)
                there = {_panel_of(panel, part.device) for part in met}
                here = [main for main in mains if _panel_of(panel, main.name) in there]
                yield _finding(view, here, pole, met)


def _is_main(view: View, device: Device) -> bool:
    if device.kind != "disconnect" or device.location not in IN_THE_PANEL:
        return False
    poles = [view.panel.parts[index] for index in device.parts]
    loads = view[CurrentPaths].loads
    behind = {
        loads[number].device
        for pole in poles
        if pole.role == "pole"
        for number in view[CurrentPaths].loads_through(pole)
    }
    return len(behind) > 1


def _panel_of(panel: Panel, device: str) -> str:
    """The name of the panel a device stands in; empty for one without."""
    first = device.partition(".")[0]
    return first if first in panel.titles else ""


def _hot_poles(view: View, index: int, source: SourcePart) -> Iterator[str]:
    for mark in source.poles:
        volts = _to_ground(view, index, mark)
        if (source.volts if volts is None else magnitude(volts)) > EXPOSES_V:
            yield f"{source.device}:{mark}"


def _to_ground(view: View, index: int, mark: str) -> Volts | None:
    return view[CircuitVolts].to_ground(view[Behaviour].pole_node(index, mark))


def _live(view: View, pole: str) -> list[Part]:
    """The loads and contacts that a pole comes to past closed contacts, but no disconnect."""
    panel, starts, seen = view.panel, {pole}, set[str]()
    passable = _Passable(view)
    while not starts <= seen:
        seen = reached(panel, starts, passable)
        for index, source in enumerate(panel.sources):
            ends = [panel.parts[part] for part in source.inputs]
            if any({part.a, part.b} & seen for part in ends):
                starts |= set(_hot_poles(view, index, source))
    return [
        part
        for part in panel.parts
        if (part.load is not None or (part.conducts is Conducts.CONTACT and part.mechanism))
        and not part.spare
        and panel.devices[part.device].kind not in ("disconnect", "breaker", "fuse")
        and any(_exposed(panel, part, end) for end in {part.a, part.b} & seen)
    ]


def _exposed(panel: Panel, part: Part, end: str) -> bool:
    wires = panel.wires_at.get(end, ())
    marked = MARK in panel.devices[part.device].marks or any(
        wire.properties.live_with_main_off for wire in wires
    )
    return bool(wires) and not marked


class _Passable:
    def __init__(self, view: View) -> None:
        self._view = view

    def __call__(self, part: Part, forwards: bool) -> bool:
        states = self._view[Behaviour]
        if part.conducts is Conducts.BOND or part.load is not None:
            return False
        if self._view.panel.devices[part.device].kind == "disconnect" and part.role == "pole":
            return False
        return states.closed(part) != FALSE and (forwards or not states.one_way(part))


def _finding(view: View, mains: list[Device], pole: str, met: list[Part]) -> Finding:
    panel = view.panel
    names = list(dict.fromkeys(part.device for part in met))
    first = panel.devices[names[0]]
    ends = {end for part in met if part.device == names[0] for end in (part.a, part.b)}
    path = walk(panel, (pole,), ends, _Passable(view)) or []
    index = next(i for i, s in enumerate(panel.sources) if s.device == device_of(pole))
    volts = _to_ground(view, index, pole.partition(":")[2])
    live = volts_in_words(volts) if volts else ""
    at = f" at {live} to ground" if live else ""
    opened = in_words(f"`{main.name}`" for main in mains)
    return Finding(
        f"{listed(names)} {'is' if len(names) == 1 else 'are'} live{at} from `{pole}` "
        f"with {opened} open",
        Place(first.span, "live with the main off"),
        devices=(*names, *(main.name for main in mains)),
        condition=pole,
        related=tuple(Place(panel.devices[name].span, "live too") for name in names[1:]),
        live=live,
        state={main.name: "open" for main in mains},
        path=told(panel, path),
        help="feed it from behind the main disconnect, open its pole too, or mark it "
        "`live with the main off` and its wires with it",
    )
