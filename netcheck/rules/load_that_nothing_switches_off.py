"""A load that moves or heats and is on in every state in which its source is present.

The mirror of a load never energised.  Losing the source and tripping an overload are no
ways of switching off.  A disconnect whose opening cuts the load off is one, always.  A
breaker is one where it is all that stands in the feed: then it is the load's switch; it
is not where a contact stands in the feed as well, or is bridged, for that contact was
meant to switch the load off and does not.

It keeps silent on loads marked `always on`.  Lamps, supplies and electronics are not
asked about.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.ways_off import AlwaysOn, WaysOff
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.telling import listed, span_of


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.QUERY,
    summary="a load that moves or heats is on whenever its source is present",
    why="nobody can stop it short of cutting off the panel, and its control does nothing",
    source="every load has a means of switching it off: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(WaysOff,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for found in view[WaysOff].always_on:
        if "always on" not in panel.devices[found.load.device].marks and not _has_a_switch(
            panel, found
        ):
            yield _finding(panel, found)
    for load, reason in view[WaysOff].undecided:
        yield NotDecided(
            f"whether anything switches `{load.name}` off: {reason}",
            Place(span_of(panel, load.parts[0])),
            (load.device,),
        )


def _has_a_switch(panel: Panel, found: AlwaysOn) -> bool:
    kinds = {panel.devices[name].kind for name in found.handles}
    return "disconnect" in kinds or ("breaker" in kinds and not found.meant_to_be_switched)


def _finding(panel: Panel, found: AlwaysOn) -> Finding:
    part = found.load.parts[0]
    but = f" but {listed(found.handles)}" if found.handles else ""
    return Finding(
        f"`{found.load.name}` is on whenever its source is present: nothing{but} switches it off",
        Place(span_of(panel, part), "on in every state"),
        devices=(found.load.device,),
        path=told(panel, list(found.path), part),
        help="look for a bridge across its contact or what holds its relay in; "
        "mark it `always on` if it is meant to be",
    )
