"""A source that is said to float, and a conductor of it that is joined to ground.

It speaks where a source is declared floating, ungrounded or watched, and one of its poles
stands on a conductor that a bond joins to ground, or that another source declares grounded.
One finding for each such source.

It keeps silent on sources that declare nothing, on poles joined only through loads or
contacts, on sources stacked for a higher voltage, where another pole than the grounded one
is joined, and where a missing load passes that conductor.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.drawn_bonds import Conductor, DrawnBonds
from netcheck.facts.shorts import Short, Shorts
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import SourcePart, device_of
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import span_of


@rule(
    family=Family.GROUNDING,
    severity=Severity.QUERY,
    summary="a source is said to be ungrounded, and one of its conductors is joined to ground",
    why="what a ground fault does, and which side must be switched, turns on which of them holds",
    source="grounding is declared, never guessed: common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(DrawnBonds, Shorts),
)
def find(view: View) -> Iterator[Outcome]:
    told: set[str] = set()
    shorted = {device for short in view[Shorts].found for device in _sources_of(short)}
    for conductor in view[DrawnBonds].conductors:
        if any(source.device in shorted for source, _ in conductor.poles):
            continue
        for source, mark in conductor.poles:
            says_not = source.grounding in ("floating", "watched")
            if says_not and source.device not in told and _is_grounded(conductor, mark):
                told.add(source.device)
                yield _finding(view.panel, conductor, source, mark)


def _sources_of(short: Short) -> tuple[str, ...]:
    return (*short.sources, device_of(short.start), device_of(short.end))


def _is_grounded(conductor: Conductor, mark: str) -> bool:
    return bool(conductor.bonds) or any(
        source.grounded_pole == mark for source in conductor.declared
    )


def _finding(panel: Panel, conductor: Conductor, source: SourcePart, mark: str) -> Finding:
    said = "watched and not grounded" if source.grounding == "watched" else "ungrounded"
    if any(one.grounded_pole == mark for one in conductor.declared):
        other = next(one for one in conductor.declared if one.grounded_pole == mark)
        how = f"stands on `{other.device}:{other.grounded_pole}`, which is grounded"
        place = Place(panel.devices[source.device].span, f"said to be {said}")
        related = Place(panel.devices[other.device].span, "said to be grounded")
    else:
        bond = conductor.bonds[0]
        how = f"is joined to ground at `{bond.terminal}`"
        place = Place(span_of(panel, bond.by), "joined to ground here")
        related = Place(panel.devices[source.device].span, f"said to be {said}")
    return Finding(
        f"`{source.device}` is said to be {said}, and its `{mark}` {how}",
        place,
        devices=(source.device,),
        condition=mark,
        related=(related,),
        help="say how it stands to ground, or take the joint out",
    )
