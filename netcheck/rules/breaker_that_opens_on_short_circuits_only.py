"""A breaker with an instantaneous trip only is all that protects something against overload.

Such a breaker, a motor circuit protector, is made for a motor that has an overload of its
own.  It speaks where one feeds anything else, and no other device that fits stands ahead or
behind.

It keeps silent on motors, which `motor without overload` asks about, and on circuits of
control alone.  Whether the breaker and the starter are listed together (NEC 430.52(C)(3)) it
does not ask: a text cannot say that.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.weak_devices import SHORTS_ONLY, Weak, WeakDevices
from netcheck.facts.wire_groups import called
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DANGER,
    summary="a breaker that opens on short circuits only is all that stands ahead of a load",
    why="on an overload it never opens, and the conductors burn",
    source="NEC 430.52(C)(3), 240.4; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(WeakDevices,),
)
def find(view: View) -> Iterator[Outcome]:
    for weak in view[WeakDevices].found[SHORTS_ONLY]:
        yield _finding(view.panel, weak)


def _finding(panel: Panel, weak: Weak) -> Finding:
    name, verb = weak.device.name, "has" if len(weak.loads) == 1 else "have"
    return Finding(
        f"{listed(weak.loads)} {verb} nothing against overload: `{name}` opens on short circuits "
        "only",
        Place(weak.device.span, "instantaneous trip only"),
        devices=(name, *weak.loads),
        wires=called(panel, weak.wires),
        condition="overload",
        related=(Place(weak.wires[0].span, "an overload of this is seen by nothing"),),
        working=weak.fault.allowed.working if weak.fault.allowed else (),
        help="use a breaker with an inverse-time trip, or a fuse, that fits the conductors",
    )
