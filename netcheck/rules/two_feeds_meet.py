"""One point fed through two breakers, fuses or disconnects at once, or through one and around it.

The rule speaks where a state of settled operation joins, with no load between, what two
such devices feed from one pole of a source: each then feeds what hangs on the other, so
that pulling one makes nothing dead, and each carries what the other should.  A way around
a single device counts too.  It is the power dome, or Y, of sneak-circuit handbooks.

It keeps silent on the poles of one device, on devices with tied handles or interlocked
mechanically, on devices one behind the other, where diodes keep the two apart, on what
meets only in a race, where no load hangs on them, and on feeds of different sources: these
are a missing load or paralleled sources, or a change-over if they never meet.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.meeting_feeds import Meeting, MeetingFeeds
from netcheck.finding import Family, Finding, NotDecided, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.network.traces import name_of, told
from netcheck.rule import rule
from netcheck.telling import listed, span_of, when, wires_on


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.QUERY,
    summary="one point is fed through two fuses, breakers or disconnects at once",
    why="pulling one leaves it live from the other, and neither sees the whole current",
    source="sneak-circuit handbooks: power dome (Y), clue power-to-power; read second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(MeetingFeeds,),
)
def find(view: View) -> Iterator[Outcome]:
    meeting = view[MeetingFeeds]
    for found in meeting.found:
        if not found.home:
            yield _finding(view.panel, found)
    for one, other, home, reason in meeting.undecided:
        if not home:
            devices = tuple(dict.fromkeys((one.device, other.device)))
            place = Place(view.panel.devices[other.device].span)
            yield NotDecided(f"whether {listed(devices)} feed one point: {reason}", place, devices)


def _finding(panel: Panel, found: Meeting) -> Finding:
    state = dict(found.witness.state)
    what = listed(found.loads)
    behind = [feed for feed in (found.one, found.other) if feed.part is not None]
    at = when(panel, found.path, state)
    if len(behind) == 2:
        message = f"`{behind[0].device}` and `{behind[1].device}` both feed {what}{at}"
    else:
        verb = "are" if len(found.loads) > 1 else "is"
        message = f"{what} {verb} fed through `{behind[0].device}` and around it{at}"
    cause = name_of(panel, found.cause)
    return Finding(
        message,
        Place(span_of(panel, found.cause), f"{cause} joins them"),
        devices=tuple(feed.device for feed in behind),
        wires=wires_on(panel, tuple(p for p in found.path if p.by is found.cause)),
        condition=f"through {cause}",
        related=tuple(Place(panel.devices[feed.device].span, "feeds it") for feed in behind),
        state=state,
        steps=found.witness.steps,
        path=told(panel, list(found.path), found.cause),
        help="part the two, or mark both: opening one does not make the circuit dead",
    )
