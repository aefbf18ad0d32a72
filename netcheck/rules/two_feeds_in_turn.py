"""A load that contacts give now to one fuse or breaker, now to another of the same source.

The rule speaks of loads that one state of settled operation energises through one device
that isolates and another state through another, or around it, where the two never meet:
pulling the one that fed it in HAND leaves it to the other in AUTO.

It keeps silent where both ways stand behind one device, on devices that are interlocked
mechanically, on feeds of different sources (a change-over from the service to a generator
is made for it), on feeds that each have a diode, on returns, and where they meet: that is
`two feeds meet`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.meeting_feeds import Feed, InTurn, MeetingFeeds
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.telling import listed, span_of, when


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.QUERY,
    summary="a load is fed through one fuse in one state and through another in another",
    why="pulling the fuse that fed it does not keep it dead: a switch or relay gives it the other",
    source="sneak-circuit handbooks: power dome (Y), clue power-to-power; read second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(MeetingFeeds,),
)
def find(view: View) -> Iterator[Outcome]:
    for pair in view[MeetingFeeds].in_turn:
        yield _finding(view.panel, pair)


def _finding(panel: Panel, pair: InTurn) -> Finding:
    names = list(dict.fromkeys(part.device for part in pair.loads))
    states = [dict(witness.state) for witness in (pair.witness_one, pair.witness_other)]
    at = [
        when(panel, path, state)
        for path, state in zip((pair.path_one, pair.path_other), states, strict=True)
    ]
    one, other = _by(pair.one), _by(pair.other)
    behind = [feed.device for feed in (pair.one, pair.other) if feed.part is not None]
    verb = "are" if len(names) > 1 else "is"
    return Finding(
        f"{listed(names)} {verb} fed {one}{at[0]}, and {other}{at[1]}",
        Place(span_of(panel, pair.cause), "here the second feed comes in"),
        devices=tuple(dict.fromkeys((*behind, *names))),
        related=tuple(Place(panel.devices[name].span, "feeds it") for name in behind),
        state=states[1],
        steps=pair.witness_other.steps,
        path=told(panel, list(pair.path_other), pair.cause),
        help="feed both ways from one fuse, or mark both fuses on the load's sheet",
    )


def _by(feed: Feed) -> str:
    return f"straight from `{feed.terminal}`" if feed.part is None else f"through `{feed.device}`"
