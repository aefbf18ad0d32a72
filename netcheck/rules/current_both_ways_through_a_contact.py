"""A contact that carries one load's current one way, and in another state another's back.

The rule speaks of a contact between two branches, the tie of an H: in one state of settled
operation a pole reaches a load through it from its one side, in another state a load
through it from its other side, each time by no way around it.  So what hangs on one
branch can be fed through the other, past its own switch: a lamp of HAND is lit in AUTO
through the seal-in contact.

It keeps silent on a contact with a pole at one of its ends, on diodes and transistor
outputs, on a load that is itself fed the other way round (a motor that reverses), on
branches joined by wire, which are one, on what only a race brings about, and on what also
joins two fuses (`two feeds meet`).  What stands in series with the contact or beside it is
told with it.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.contacts_both_ways import BothWays, ContactsBothWays, OneWayThrough
from netcheck.facts.meeting_feeds import MeetingFeeds
from netcheck.finding import Family, Finding, NotDecided, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.telling import span_of, when


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.QUERY,
    summary="current passes a contact one way in one state and the other way in another",
    why="what hangs on one branch is fed through the other, with its own switch open",
    source="sneak-circuit handbooks: H pattern, clue reversed current; read second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(ContactsBothWays, MeetingFeeds),
)
def find(view: View) -> Iterator[Outcome]:
    both_ways = view[ContactsBothWays]
    meetings = view[MeetingFeeds].found
    joining = {id(passed.by) for meeting in meetings for passed in meeting.path}
    for found in both_ways.found:
        if id(found.contact) not in joining:
            yield _finding(view.panel, found)
    for contact, reason in both_ways.undecided:
        place = Place(span_of(view.panel, contact))
        told_of = f"whether current passes `{contact.label}` both ways: {reason}"
        yield NotDecided(told_of, place, (contact.device,))


def _finding(panel: Panel, found: BothWays) -> Finding:
    contact, other = found.contact, found.other
    one, back = (_passing(panel, way) for way in (found.one, other))
    return Finding(
        f"`{contact.label}` carries the current {one}, and {back}",
        Place(span_of(panel, contact), "passed both ways"),
        devices=(contact.device,),
        condition=contact.label.partition(" ")[2],
        related=tuple(
            Place(span_of(panel, way.load), f"its current enters by {way.enters}")
            for way in (found.one, other)
        ),
        state=dict(other.witness.state),
        steps=other.witness.steps,
        path=told(panel, list(other.path), contact),
        help="use a contact of its own for each branch, or a diode that lets the meant way by",
    )


def _passing(panel: Panel, way: OneWayThrough) -> str:
    at = when(panel, way.path, dict(way.witness.state))
    return f"of `{way.load.device}` from `{way.enters}` to `{way.leaves}`{at}"
