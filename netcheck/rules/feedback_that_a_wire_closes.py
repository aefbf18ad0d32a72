"""The feedback way of a safety relay closed by wires alone, while it drops out contactors.

It speaks where wires and strips join the two marks of the feedback way, whatever contacts lie
beside them, and the safety relay drops out a contactor that takes off a motor, heat, or what
is marked `hazardous`.

It keeps silent where the safety relay's own contacts switch the load, or the safe inputs of a
drive: then nothing else can weld, and the link belongs there.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.safety_contactors import SafetyContactors
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, told
from netcheck.rule import rule
from netcheck.telling import listed, wires_on


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DEFECT,
    summary="a wire closes the feedback way of a safety relay that drops out contactors",
    why="the relay comes in although a contactor has welded, and the next stop stops nothing",
    source="makers' instructions: linked only where the relay's own contacts switch the load; "
    "from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(SafetyContactors,),
)
def find(view: View) -> Iterator[Outcome]:
    contactors = view[SafetyContactors]
    for name, way in contactors.bridged.items():
        if contactors.final[name]:
            yield _finding(view.panel, view.panel.devices[name], contactors.final[name], way)


def _finding(
    panel: Panel, relay: Device, dropped: tuple[Device, ...], way: tuple[Passed, ...]
) -> Finding:
    wires = [passed.by for passed in way if isinstance(passed.by, Wire)]
    last = max(wires, key=lambda wire: (wire.span.line, wire.span.column))
    names = [device.name for device in dropped]
    return Finding(
        f"{panel.wire_name(last)} closes the feedback way of `{relay.name}`, so that nothing "
        f"notices when {listed(names)} {'weld' if len(names) > 1 else 'welds'}",
        Place(last.span, "closes the feedback way"),
        devices=(relay.name,),
        wires=wires_on(panel, way),
        condition="feedback way",
        related=tuple(Place(device.span, "not watched") for device in dropped),
        path=told(panel, list(way), last),
        help="take the wire out, and put a mirror contact of each contactor, normally closed, in "
        "its place",
    )
