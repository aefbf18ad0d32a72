"""A supplementary breaker or fuse is all that protects a circuit of power.

It speaks of a device that says `supplementary` where, were it wire, something it feeds would
have no breaker or fuse ahead of it, or one larger than its conductors or motors allow.

It keeps silent where a branch-circuit device that fits stands ahead or behind, on circuits
of control alone, for which supplementary devices are usual (UL 508A), behind class 2 and
supplies that give no more than the wire carries, and on devices that do not say what they
are listed for.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.protection import Holds
from netcheck.facts.weak_devices import SUPPLEMENTARY, Weak, WeakDevices
from netcheck.facts.wire_groups import called
from netcheck.figure import figure
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DEFECT,
    summary="a supplementary device stands where a branch-circuit device is required",
    why="it is not made to open a short circuit of a branch, and may burst instead",
    source="NEC 240.10; UL 1077 against UL 489 (second-hand)",
    kind=ReferenceKind.STANDARD,
    requires=(WeakDevices,),
)
def find(view: View) -> Iterator[Outcome]:
    for weak in view[WeakDevices].found[SUPPLEMENTARY]:
        yield _finding(view.panel, weak)


def _finding(panel: Panel, weak: Weak) -> Finding:
    name, verb = weak.device.name, "has" if len(weak.loads) == 1 else "have"
    return Finding(
        f"{listed(weak.loads)} {verb} no branch-circuit device but `{name}`, which is "
        f"supplementary: {_ahead(panel, weak)}",
        Place(weak.device.span, "a supplementary device"),
        devices=(name, *weak.loads),
        wires=called(panel, weak.wires),
        condition="supplementary",
        related=(Place(weak.wires[0].span, "protected by nothing else"),),
        working=weak.fault.allowed.working if weak.fault.allowed else (),
        help="put a branch-circuit breaker or fuse in its place, or one that fits ahead of it",
    )


def _ahead(panel: Panel, weak: Weak) -> str:
    ahead, allowed = weak.ahead, weak.fault.allowed
    if ahead.holds is Holds.NOTHING or allowed is None:
        return "nothing stands ahead of it"
    rating, most = figure(ahead.amperes, "A"), figure(allowed.amperes, "A")
    wire = panel.wire_name(weak.wires[0])
    return f"`{ahead.by}` ahead of it is {rating}, and `{wire}` allows {most}"
