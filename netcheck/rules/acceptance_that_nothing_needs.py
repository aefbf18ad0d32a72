"""An acceptance of a finding that is not there, or no more.

A finding of that rule that is accepted today will be accepted unseen when it comes back for
another reason.  Keeps silent where the rule left something open or a line could not be read: the
finding may be hidden there; and where something is supposed that is not drawn.

It is asked last, by the review itself, for it hangs on what every other rule found.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.record import replace
from netcheck.rule import rule
from netcheck.text import Span


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="a finding is accepted that is not there, or no more",
    why="it would accept, unseen, a fault of the same name that comes later",
    source="an exception is taken back when its cause is gone",
    kind=ReferenceKind.COMMON_PRACTICE,
)
def find(view: View) -> Iterator[Outcome]:
    yield from ()


def unneeded(accepted: str, names: tuple[str, ...], place: Span, condition: str = "") -> Finding:
    """The finding on an acceptance of the rule `accepted` about these devices and wires."""
    about = ", ".join(f"`{name}`" for name in names)
    on = f" on {about}" if about else ""
    said = Finding(
        f"`{accepted}`{on} is accepted, and is not found",
        Place(place, "nothing needs this"),
        devices=names,
        condition=condition or accepted,
        help="take the acceptance out",
    )
    return replace(
        said,
        rule=find.name,
        family=find.family,
        severity=find.severity,
        reference=find.reference,
    )
