"""A load of a safety function of category 3 or 4 that one contactor alone takes off, or one
whose weld nobody would notice.

Asked only where a safety relay says its `safety category 3` or 4: of motors, and of what heats
or is marked `hazardous`, whose current passes a contactor of which the coil draws through the
relay's contacts.  Two causes, each its own finding:

- no second contactor of that kind stands in the load's line;
- a contactor has no normally closed contact in the relay's feedback way, or one that need
  not tell of a weld: it is neither a `mirror contact` nor `force-guided`.

It keeps silent on lower categories and where none is said, on a load the relay's own contacts
switch, on a contactor marked `spare`, and on what a bridged feedback way leaves unwatched
(`feedback that a wire closes`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.safety_contactors import SafetyContactors, carries, contacts_of, must_stop
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device, Part
from netcheck.rule import rule
from netcheck.telling import in_words

NEEDS_TWO = 3
"""From this category on a single fault must not lose the function (ISO 13849-1)."""


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="a load of a safety function has one contactor alone, or one that nothing watches",
    why="a contactor that welds then keeps the load running, or waits unseen for the second fault",
    source="ISO 13849-1 categories 3 and 4, from memory; feedback by mirror or force-guided "
    "contacts, second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(CurrentPaths, SafetyContactors),
)
def find(view: View) -> Iterator[Outcome]:
    for device in view.panel.devices.values():
        category = device.number("safety_category")
        if device.kind == "safety relay" and category is not None and category >= NEEDS_TWO:
            yield from _of(view, device, int(category))


def _of(view: View, relay: Device, category: int) -> Iterator[Finding]:
    dropped = view[SafetyContactors].dropped[relay.name]
    final: dict[str, None] = {}
    for number, load in enumerate(view[CurrentPaths].loads):
        if not must_stop(view.panel, load) or carries(view, relay, number):
            continue
        own = [device for device in dropped if carries(view, device, number)]
        final.update((device.name, None) for device in own)
        if len(own) == 1:
            yield _alone(view, relay, own[0], load, category)
    if relay.name in view[SafetyContactors].bridged:
        return
    for name in final:
        contactor = view.panel.devices[name]
        watching = _watching(view, relay, contactor)
        if not any(_tells_of_a_weld(contactor, part) for part in watching):
            yield _unwatched(relay, contactor, watching)


def _watching(view: View, relay: Device, contactor: Device) -> list[Part]:
    """Its closed contacts through which the safety relay's own coil is fed."""
    panel, paths = view.panel, view[CurrentPaths]
    coils = {i for i in relay.parts if panel.parts[i].role == "coil"}
    own = {n for n, load in enumerate(paths.loads) if {p.index for p in load.parts} & coils}
    closed = [part for part in contacts_of(panel, contactor) if 0 in part.closed]
    return [part for part in closed if own & set(paths.loads_through(part))]


def _tells_of_a_weld(contactor: Device, part: Part) -> bool:
    return part.value("mirror") is not None or bool(contactor.values.get("forced"))


def _alone(
    view: View, relay: Device, contactor: Device, load: LoadCurrent, category: int
) -> Finding:
    return Finding(
        f"`{contactor.name}` alone takes `{load.name}` off, in a safety function of category "
        f"{category}",
        Place(contactor.span, "no second one in series"),
        devices=(relay.name, contactor.name, load.device),
        condition=f"alone before {load.name}",
        related=(Place(view.panel.devices[load.device].span, "runs on if it welds"),),
        help="put a second contactor in series, dropped out by a contact of its own",
    )


def _unwatched(relay: Device, contactor: Device, watching: list[Part]) -> Finding:
    if watching:
        labels = in_words(f"`{part.label}`" for part in watching)
        said = f"{labels} is not said to be a mirror contact, nor `{contactor.name}` force-guided"
    else:
        said = f"none of its closed contacts stands in the feedback way of `{relay.name}`"
    return Finding(
        f"nothing notices that `{contactor.name}` welds: {said}",
        Place(contactor.span, "not watched"),
        devices=(relay.name, contactor.name),
        condition=f"{contactor.name} not watched",
        help="put a mirror contact of it, normally closed, into the relay's feedback way",
    )
