"""An emergency stop that stops a load only by taking the input from a DC supply.

Asked of motors and of what is marked `hazardous`: the stop's contact, or one of a relay whose
coil it opens, stands in the input of a supply; the load, or the coil of a contactor in its
path, hangs on that supply's output; and neither the load's own current nor any such coil
passes a contact that the stop opens.

It keeps silent where the stop also opens the load's own line, or the output of the supply on
the way to one of its coils, and on loads that are `not hazardous` or `always on`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.source_loading import SourceLoading
from netcheck.facts.stop_devices import StopDevice, StopDevices
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity, Working
from netcheck.model.devices import Conducts, Device, Part
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed, span_of

MEANT = frozenset(("always on", "not hazardous"))


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="an emergency stop opens a supply's input, not its output",
    why="the supply lives on for its hold-up time, and longer the less it has to give",
    source="controller manuals: interrupt the DC side for a faster stop, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(CurrentPaths, SourceLoading, StopDevices),
)
def find(view: View) -> Iterator[Outcome]:
    for stop in view[StopDevices].stops:
        if stop.emergency:
            yield from _of(view, stop)


def _of(view: View, stop: StopDevice) -> Iterator[Finding]:
    panel, paths = view.panel, view[CurrentPaths]
    opened = _opened(view, stop)
    cut = {number: part for part in reversed(opened) for number in paths.loads_through(part)}
    for device in panel.devices.values():
        if device.kind != "supply":
            continue
        inputs = {index for one in device.sources for index in panel.sources[one].inputs}
        by = [part for number, part in cut.items() if _parts(view, number) & inputs]
        if not by:
            continue
        fed = {n for one in device.sources for n in view[SourceLoading].fed.get(one, {})}
        late = [name for name, coils in _running(view) if _is_late(coils, fed, cut)]
        if late:
            yield _finding(view, stop, device, by[0], list(dict.fromkeys(late)))


def _parts(view: View, number: int) -> set[int]:
    return {part.index for part in view[CurrentPaths].loads[number].parts}


def _opened(view: View, stop: StopDevice) -> list[Part]:
    """The contacts that open as the stop is held: its own, and those of relays it drops out."""
    panel, paths = view.panel, view[CurrentPaths]
    opened = [
        part
        for part in _contacts_of(panel, stop.mechanism.name)
        if stop.stopping not in part.closed
    ]
    moved_by: dict[int, list[str]] = {}
    for mechanism in panel.mechanisms.values():
        for coil in mechanism.coils:
            moved_by.setdefault(coil, []).append(mechanism.name)
    dropped = {stop.mechanism.name}
    for part in opened:  # which grows on the way
        coils = {i for number in paths.loads_through(part) for i in _parts(view, number)}
        drop = {name for coil in coils for name in moved_by.get(coil, ())} - dropped
        dropped |= drop
        own = [one for name in drop for one in _contacts_of(panel, name) if 0 not in one.closed]
        opened += sorted(own, key=lambda one: one.index)
    return opened


def _contacts_of(panel: Panel, mechanism: str) -> list[Part]:
    device = panel.devices[panel.mechanisms[mechanism].device]
    parts = [panel.parts[index] for index in device.parts]
    return [one for one in parts if one.mechanism == mechanism and one.conducts is Conducts.CONTACT]


def _running(view: View) -> Iterator[tuple[str, set[int]]]:
    """Each load that must stop, by name, with its own number and those of the coils whose
    contacts stand in its path, or in the path of such a coil."""
    panel, paths = view.panel, view[CurrentPaths]
    number_of = {part.index: n for n, load in enumerate(paths.loads) for part in load.parts}
    switched_by: dict[int, set[int]] = {}
    for part in panel.parts:
        if part.conducts is Conducts.CONTACT and part.mechanism and 0 not in part.closed:
            coils = panel.mechanisms[part.mechanism].coils
            numbers = {number_of[coil] for coil in coils if coil in number_of}
            for number in paths.loads_through(part) if numbers else ():
                switched_by.setdefault(number, set()).update(numbers)
    for number, load in enumerate(paths.loads):
        made, marks = load.parts[0].load, panel.devices[load.device].marks
        if marks & MEANT or made is None:
            continue
        if made.works == "motor" or "hazardous" in marks:
            needed, todo = {number}, [number]
            while todo:
                more = switched_by.get(todo.pop(), set()) - needed
                needed |= more
                todo += more
            yield load.name, needed


def _is_late(numbers: set[int], fed: set[int], cut: dict[int, Part]) -> bool:
    return bool(fed & numbers) and not cut.keys() & numbers


def _finding(view: View, stop: StopDevice, supply: Device, by: Part, late: list[str]) -> Finding:
    panel = view.panel
    holds_s = supply.number("holds_up_s")
    verb = "stops" if len(late) == 1 else "stop"
    held = stop.mechanism.positions[stop.stopping]
    return Finding(
        f"`{stop.device.name}` opens the input of `{supply.name}`, not its output: {listed(late)} "
        f"{verb} only once `{supply.name}` has run down",
        Place(span_of(panel, by), f"opens as {stop.device.name} is {held}"),
        devices=(stop.device.name, supply.name, *late),
        condition=by.label,
        related=(Place(supply.span, "lives on for a while"),),
        working=(Working(f"{supply.name} holds up", holds_s, "s", "as described"),)
        if holds_s is not None
        else (),
        help="let the stop open the output of the supply, or the coils' own feed",
    )
