"""A breaker or fuse cannot interrupt the short-circuit current that can flow through it.

It passes where its rating is at least what the source says is available, for wire only
lowers that.  It is a fault where the rating is below what flows at the very least, with
the impedance of source and wire.  Between the two it is not checked until the current is
computed; so it is where the source or the device does not say.

Behind a current-limited supply the limit counts, behind a transformer its impedance.
Series ratings (NEC 240.86) are not known here and need an acceptance; the fuses of a
fused disconnect are not judged, for a text cannot say their rating.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.fault_currents import FaultCurrent, FaultCurrents
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DANGER,
    summary="a breaker or fuse cannot interrupt the current that can flow at its place",
    why="it bursts, or its arc goes on, when it should clear a short-circuit",
    source="NEC 110.9",
    kind=ReferenceKind.STANDARD,
    requires=(FaultCurrents,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    unrated: list[str] = []
    unsaid: dict[str, list[str]] = {}
    between: list[FaultCurrent] = []
    for fault in view[FaultCurrents].devices:
        rating_a = fault.device.number("interrupting_a")
        if rating_a is None:
            unrated.append(fault.device.name)
        elif fault.least_a > rating_a:
            yield _finding(panel, fault, rating_a)
        elif fault.most_a is None:
            for source in fault.unsaid:
                unsaid.setdefault(source, []).append(fault.device.name)
        elif fault.most_a > rating_a:
            between.append(fault)
    if unrated:
        reason = f"{_listed(unrated)} {_say(unrated)} not say what {_it(unrated)} can interrupt"
        yield NotChecked(reason, Place(panel.devices[unrated[0]].span), tuple(unrated))
    for source, names in unsaid.items():
        reason = f"{source} does not say what short-circuit current is available"
        yield NotChecked(reason, Place(panel.devices[source].span), (source, *names))
    for fault in between:
        most, rating = figure(fault.most_a or 0.0, "A"), fault.device.number("interrupting_a")
        reason = (
            f"{fault.device.name} can interrupt {figure(rating or 0.0, 'A')}, up to {most} is "
            "available: what flows at its place is not computed yet"
        )
        yield NotChecked(reason, Place(fault.device.span), (fault.device.name,))


def _finding(panel: Panel, fault: FaultCurrent, rating_a: float) -> Finding:
    rating, least = figure(rating_a, "A"), figure(fault.least_a, "A")
    return Finding(
        f"`{fault.device.name}` can interrupt {rating}, and a short-circuit there draws {least} "
        "or more",
        Place(fault.device.span, rating),
        devices=(fault.device.name,),
        condition="interrupting rating",
        path=told(panel, list(fault.path)),
        working=fault.working,
        help=f"fit a device that can interrupt {figure(fault.most_a or fault.least_a, 'A')}",
    )


def _listed(names: list[str]) -> str:
    shown = names if len(names) < 6 else [*names[:4], f"{len(names) - 4} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def _say(names: list[str]) -> str:
    return "does" if len(names) == 1 else "do"


def _it(names: list[str]) -> str:
    return "it" if len(names) == 1 else "they"
