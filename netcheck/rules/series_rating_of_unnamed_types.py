"""A series rating is leaned on, and a text does not say which types the two devices are.

Two devices interrupt more together than the lower one alone only as they were tested: of those
types, and no others may take their place.  It speaks of a breaker whose rating behind the
device ahead is more than it interrupts alone, where one of the two says no `type`.  Whoever
fits the next one must find it on a label too (NEC 110.22(C)).

It keeps silent where both say their type, and where the device named is not the one ahead:
there the rating does not count at all.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.series_ratings import SeriesRating, SeriesRatings
from netcheck.figure import figure
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity, Working
from netcheck.rounding import exceeds
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.QUERY,
    summary="a series rating does not say for which types of device it was tested",
    why="a breaker of another type that fits the same rail makes the rating void unseen",
    source="NEC 240.86(B), 110.22(C): tested combinations, and a label that says so; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(SeriesRatings,),
)
def find(view: View) -> Iterator[Outcome]:
    for one in view[SeriesRatings].of.values():
        unnamed = [d.name for d in (one.lower, one.upper) if "type" not in d.values]
        if one.is_ahead and exceeds(one.together_a, one.alone_a) and unnamed:
            yield _finding(one, unnamed)


def _finding(one: SeriesRating, unnamed: list[str]) -> Finding:
    together = figure(one.together_a, "A")
    verb = "does" if len(unnamed) == 1 else "do"
    return Finding(
        f"`{one.lower.name}` interrupts {together} only as it was tested with "
        f"`{one.upper.name}`, and {listed(unnamed)} {verb} not say which type",
        Place(one.lower.span, f"{figure(one.alone_a, 'A')} alone"),
        devices=(one.lower.name, one.upper.name),
        condition=f"behind {one.upper.name}",
        related=(Place(one.upper.span, "ahead of it"),),
        working=(
            Working("interrupts alone", one.alone_a, "A", "as described"),
            Working(f"behind {one.upper.name}", one.together_a, "A", "as described"),
        ),
        help='say `type "..."` of both, and put the label on the panel',
    )
