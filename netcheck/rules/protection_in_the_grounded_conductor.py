"""A fuse or breaker pole stands in a grounded conductor and can open it alone.

What it opens looks dead and stays live.  Linked poles are lawful: a breaker of several
poles that opens every ungrounded conductor of the same loads with it.  A source that does
not say how it is grounded, and has devices on more than one pole, is not checked.

It keeps silent where a grounded phase conductor of three-phase motors is fused, as their
overload protection asks for (NEC 430.36).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.grounded_devices import GroundedDevices
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.rule import rule
from netcheck.telling import span_of


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DANGER,
    summary="a fuse or breaker pole can open a grounded conductor by itself",
    why="when it opens, the circuit looks dead and every wire of it is still live",
    source="46 CFR 111.05-37 (ships), CEC 14-016, read second-hand; NEC 240.22 from memory",
    kind=ReferenceKind.STANDARD,
    requires=(GroundedDevices,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, named = view.panel, set()
    for pole, home in view[GroundedDevices].alone:
        name = pole.device.name
        if name in named:
            continue
        named.add(name)
        yield Finding(
            f"`{name}` can open the grounded conductor of `{home}` by itself",
            Place(span_of(panel, pole.part), "in the grounded conductor"),
            devices=(name,),
            condition=f"{pole.part.a} to {pole.part.b}",
            related=(Place(panel.devices[home.partition(":")[0]].span, "grounded here"),),
            help="put it in the ungrounded conductor, or let one breaker open all poles at once",
        )
    for source in view[GroundedDevices].unsaid:
        device = panel.sources[source].device
        reason = f"{device} does not say how it is grounded: is one of these devices in it?"
        yield NotChecked(reason, Place(panel.devices[device].span), (device,))
