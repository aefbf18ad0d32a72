"""Motors stand between the two devices of a series rating, and feed a fault behind the lower one.

A running motor turns into a source when there is a short circuit, and what it gives goes
through the lower breaker without the upper one seeing it.  It speaks of a breaker that says
`22 kA short-circuit rating behind CB1` with more than it interrupts alone, where motors that
CB1 feeds past it draw more than 1 % of what it interrupts alone.

It keeps silent where the breaker does without the series rating, and on motors behind the
lower breaker: the upper one sees what feeds a fault ahead of both.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.series_ratings import MOTORS, SeriesRating, SeriesRatings
from netcheck.figure import figure, figures_apart
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity, Working
from netcheck.model.panel import Panel
from netcheck.rounding import exceeds
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DEFECT,
    summary="motors past the lower device of a series rating make it void",
    why="what they feed into a fault goes through the lower breaker alone, and it may burst",
    source="NEC 240.86(C): no more than 1 % of the lower device's interrupting rating; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(SeriesRatings,),
)
def find(view: View) -> Iterator[Outcome]:
    for one in view[SeriesRatings].of.values():
        is_used = one.is_ahead and exceeds(one.together_a, one.alone_a)
        if is_used and exceeds(one.motors_a, one.alone_a * MOTORS):
            yield _finding(view.panel, one)


def _finding(panel: Panel, one: SeriesRating) -> Finding:
    names = [motor.name for motor in one.motors]
    draw, most = figures_apart("A", one.motors_a, one.alone_a * MOTORS)
    verb = "draws" if len(names) == 1 else "draw"
    return Finding(
        f"{listed(names)} {verb} {draw} past `{one.lower.name}`, whose rating behind "
        f"`{one.upper.name}` allows motors of {most} there",
        Place(one.lower.span, f"{figure(one.together_a, 'A')} behind {one.upper.name} alone"),
        devices=(one.lower.name, one.upper.name, *(motor.device for motor in one.motors)),
        condition=f"behind {one.upper.name}",
        related=tuple(
            Place(panel.devices[motor.device].span, "fed past it") for motor in one.motors[:4]
        ),
        working=(
            *(motor.working for motor in one.motors),
            Working("interrupts alone", one.alone_a, "A", "as described"),
            Working("motors may draw", one.alone_a * MOTORS, "A", "1 %, NEC 240.86(C)", False),
        ),
        help="a breaker that interrupts what is available alone, or motors from another feeder",
    )
