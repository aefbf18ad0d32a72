"""A breaker or fuse cannot interrupt the short-circuit current that can flow through it.

It passes where its rating is at least what the source says is available, for wire only
lowers that.  It is a fault where the rating is below what flows at the very least, with
the impedance of source and wire added up.  Between the two the short circuit is solved, as
large as the wire and the source, cold and at the worst angle to each other, let it be; where
even that leaves it open, for the source does not say its X/R, it is not checked.  So it is
where the source or the device does not say what it can give or interrupt.

Behind a current-limited supply the limit counts, behind a transformer its impedance.
A series rating, `22 kA short-circuit rating behind CB1`, counts where CB1 is the device just
ahead; the fuses of a fused disconnect are not judged, for a text cannot say their rating.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.fault_currents import FaultCurrent, FaultCurrents
from netcheck.facts.series_ratings import SeriesRatings
from netcheck.facts.solved_faults import SolvedFault, SolvedFaults
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
    source="NEC 110.9; read second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(FaultCurrents, SeriesRatings, SolvedFaults),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    unrated: list[str] = []
    unsaid: dict[str, list[str]] = {}
    between: list[FaultCurrent] = []
    for fault in view[FaultCurrents].devices:
        rating_a = view[SeriesRatings].interrupts_a(fault.device)
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
        rating_a = view[SeriesRatings].interrupts_a(fault.device) or 0.0
        yield from _doubted(fault, rating_a, view[SolvedFaults].devices.get(fault.device.name))


def _doubted(fault: FaultCurrent, rating_a: float, solved: SolvedFault | None) -> Iterator[Outcome]:
    name, place = fault.device.name, Place(fault.device.span)
    can = f"{name} can interrupt {figure(rating_a, 'A')}"
    if solved is None:
        most = figure(fault.most_a or 0.0, "A")
        reason = f"{can}, up to {most} is available, and its place has no solution in numbers"
        yield NotChecked(reason, place, (name,))
    elif solved.with_source_a > rating_a:
        least, most = figure(fault.least_a, "A"), figure(solved.with_source_a, "A")
        reason = (
            f"{can}; {least} to {most} flows there, by the X/R of its source, which is not said"
        )
        yield NotChecked(reason, place, (name,))


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
