"""A DC source that a diode keeps from feeding anything, because one of the two stands turned.

Two sources share a load through a diode each: a battery beside a supply.  If the battery is
connected the wrong way round, or its diode is, nothing shows it: the other feeds the load
alone, and there is nothing behind it.  It speaks of a source that feeds no load in any
state, where a load that another one feeds could be reached from both its poles if diodes
passed both ways.

It keeps silent where no load is fed at all (`load never energised`), and on a diode through
which the other source feeds into this one (`paralleled sources`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.paralleled import Paralleled
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Part, SourcePart
from netcheck.model.panel import Panel
from netcheck.network.traces import Passed, told, walk
from netcheck.rule import rule
from netcheck.states.behaviour import Behaviour as States
from netcheck.states.expressions import FALSE
from netcheck.telling import span_of


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DEFECT,
    summary="a diode keeps a source from feeding anything: one of the two stands turned",
    why="the load runs on the other source, and on the day that fails nothing takes its place",
    source="common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour, Paralleled),
)
def find(view: View) -> Iterator[Outcome]:
    states = view[Behaviour]
    if not any(part.conducts is Conducts.ONE_WAY for part in states.panel.parts):
        return
    feeding = _feeding(states)
    told_of = {name for pair in view[Paralleled].found for name in (*pair.one, *pair.other)}
    for index, source in enumerate(states.panel.sources):
        feeds = index in feeding or source.device in told_of
        if source.kind == "DC" and len(source.poles) == 2 and not feeds:
            blocked = _blocked(states, source)
            if blocked is not None:
                yield _finding(states.panel, source, *blocked)


def _feeding(states: States) -> set[int]:
    """The sources that feed some load in some state."""
    return {
        source
        for part in states.panel.parts
        if part.load is not None
        for feed in states.feeds(part)
        for way in states.ways(feed.rail_b, feed.rail_a)
        for source in way.sources
    }


def _blocked(states: States, source: SourcePart) -> tuple[list[Passed], Part] | None:
    """The way from a pole to a load that another source feeds, and the diode against it there."""

    def passable(part: Part, forwards: bool) -> bool:
        return part.conducts in _CARRIES and states.closed(part) != FALSE

    upper, lower = sorted(source.poles, key=lambda mark: -source.poles[mark].real)
    for part in states.panel.parts:
        if part.load is None or not states.feeds(part):
            continue
        for near, far in ((part.a, part.b), (part.b, part.a)):
            out = walk(states.panel, (f"{source.device}:{upper}",), (near,), passable)
            home = walk(states.panel, (f"{source.device}:{lower}",), (far,), passable)
            if out is not None and home is not None:
                for path, forwards in ((out, True), (home, False)):
                    for passed in path:
                        if _against(states, passed, forwards) and isinstance(passed.by, Part):
                            return path, passed.by
    return None


_CARRIES = frozenset((Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY))


def _against(states: States, passed: Passed, forwards: bool) -> bool:
    """Whether current that leaves the upper pole, or comes home to the lower, meets a diode
    against it."""
    by = passed.by
    return isinstance(by, Part) and states.one_way(by) and (passed.start == by.a) != forwards


def _finding(panel: Panel, source: SourcePart, path: list[Passed], diode: Part) -> Finding:
    return Finding(
        f"`{source.device}` feeds nothing: `{diode.label}` stands against its current",
        Place(span_of(panel, diode), "no current passes this way"),
        devices=(source.device, diode.device),
        condition=diode.label,
        related=(Place(panel.devices[source.device].span, "feeds nothing"),),
        live=f"{source.volts:g} V DC",
        path=told(panel, path, diode),
        help=f"turn `{diode.device}` round, or change over the poles of `{source.device}`",
    )
