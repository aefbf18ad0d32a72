"""A load that comes home through two disconnects, or through one and around it.

The rule speaks where a state of settled operation joins, with no load between, the
conductors that lead home through the poles of two devices, or through one and beside it:
opening one then leaves the way home closed, and the current divides between them as it
likes.  It is the ground dome, or inverted Y, of sneak-circuit handbooks.

It keeps silent where conductors join ahead of the devices, at the neutral bar or the
supply, on devices with tied handles, interlocked or one behind the other, on contacts side
by side in a return (their logic may be meant), on returns of different sources, and on
fuses and breakers in a grounded conductor: where returns meet behind them they open it by
themselves, and `protection in the grounded conductor` says so.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.meeting_feeds import Feed, Meeting, MeetingFeeds
from netcheck.facts.sections import is_protective
from netcheck.finding import Family, Finding, NotDecided, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.network.traces import name_of, told
from netcheck.rule import rule
from netcheck.telling import listed, span_of, when, wires_on


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.QUERY,
    summary="a load comes home through two disconnects at once",
    why="opening one leaves the return closed; the current divides, and one may be overloaded",
    source="sneak-circuit handbooks: ground dome, clue ground-to-ground; read second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(MeetingFeeds,),
)
def find(view: View) -> Iterator[Outcome]:
    meeting = view[MeetingFeeds]
    for found in meeting.found:
        if found.home and not _told_elsewhere(view.panel, found.one, found.other):
            yield _finding(view.panel, found)
    for one, other, home, reason in meeting.undecided:
        if home and not _told_elsewhere(view.panel, one, other):
            devices = tuple(dict.fromkeys((one.device, other.device)))
            place = Place(view.panel.devices[other.device].span)
            yield NotDecided(f"whether returns meet behind {listed(devices)}: {reason}", place)


def _told_elsewhere(panel: Panel, *feeds: Feed) -> bool:
    """Whether one is a fuse or breaker in a grounded conductor: that is a finding of its own."""
    grounded = any(
        panel.sources[index].grounded_pole == mark for feed in feeds for index, mark in feed.poles
    )
    protective = any(
        is_protective(panel.devices[feed.device], feed.part) for feed in feeds if feed.part
    )
    return grounded and protective


def _finding(panel: Panel, found: Meeting) -> Finding:
    state = dict(found.witness.state)
    behind = [feed.device for feed in (found.one, found.other) if feed.part is not None]
    through = f"through {listed(behind)}" + ("" if len(behind) == 2 else " and around it")
    what = listed(found.loads)
    verb = "come" if len(found.loads) > 1 else "comes"
    cause = name_of(panel, found.cause)
    return Finding(
        f"{what} {verb} home {through}{when(panel, found.path, state)}",
        Place(span_of(panel, found.cause), f"{cause} joins them"),
        devices=tuple(behind),
        wires=wires_on(panel, tuple(p for p in found.path if p.by is found.cause)),
        condition=f"through {cause}",
        related=tuple(Place(panel.devices[name].span, "opens the return") for name in behind),
        state=state,
        steps=found.witness.steps,
        path=told(panel, list(found.path), found.cause),
        help="bring each circuit home through its own device alone",
    )
