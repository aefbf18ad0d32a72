"""A load that current reaches through another load while its own feed or return is open.

The rule speaks of a load that has a feed of its own in some state, and in another, settled
one is left in series with others, at more than what it lets go at: the volts it drops out
at, or a tenth of its own.  A dead circuit then reads volts, a relay hums or holds, a lamp
glows.  How the voltage divides is worked out from the loads' ratings; where one does not
say what it draws, it is *not decided*, with the path.

It keeps silent on a load that only others ever feed (`loads in series`), on heaters and
resistors, which may be switched in series on purpose, on a load behind nothing but a
resistor without a voltage of its own, on LED lamps passed backwards, on what gets less
than that in the state found, and on the windings of one three-phase load.
Loads left together are told once.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.through_other_loads import FedThrough, OpenThrough, ThroughOtherLoads
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Drive, Part
from netcheck.model.maker import AT_REST
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.telling import listed, span_of, written_at

MOST_TOLD = 3
DIVIDED = "the state solved, loads at the ohms of their ratings"


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.QUERY,
    summary="a load is fed through another load while its own feed or return is open",
    why="what is switched off reads volts: a relay hums or holds, a lamp glows",
    source="voltage divides between loads in series: circuit theory; sneak paths: NASA PD-AP-1314",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(ThroughOtherLoads,),
)
def find(view: View) -> Iterator[Outcome]:
    through = view[ThroughOtherLoads]
    for found in through.found:
        yield _finding(view.panel, found)
    for left_open in through.undecided:
        yield _not_decided(view.panel, left_open)


def _finding(panel: Panel, found: FedThrough) -> Finding:
    state = dict(found.witness.state)
    chain = [passed.by for passed in found.path if isinstance(passed.by, Part) and passed.by.load]
    last = max(chain, key=lambda part: written_at(panel, part))
    names = list(dict.fromkeys(part.device for part in chain))
    gets = [
        f"`{part.device}` gets {figure(found.share_v[part.index], 'V')}" for part in found.loads
    ]
    return Finding(
        f"{listed(names)} are left in series{_when(panel, state)}: {', '.join(gets[:MOST_TOLD])}",
        Place(span_of(panel, last), "in series with another load"),
        devices=tuple(names),
        related=tuple(
            Place(span_of(panel, part), "in series with it") for part in chain if part is not last
        ),
        state=state,
        steps=found.witness.steps,
        path=told(panel, list(found.path), last),
        working=tuple(
            Working(f"{part.label} gets", round(found.share_v[part.index], 2), "V", DIVIDED)
            for part in chain
            if part.index in found.share_v
        ),
        help="bring each load home by a conductor of its own, or open both its ends at once",
    )


def _when(panel: Panel, state: dict[str, str]) -> str:
    """What is operated, whether it stands in the path or opens one that is missing."""
    said = [
        f"{name} is {position}"
        for name, position in state.items()
        if position not in AT_REST and panel.mechanisms[name].drive is not Drive.SOURCE
    ]
    return f" when {' and '.join(said)}" if said else ""


def _not_decided(panel: Panel, left_open: OpenThrough) -> NotDecided:
    load = left_open.load
    return NotDecided(
        f"what `{load.device}` gets through other loads: {left_open.reason}",
        Place(span_of(panel, load), "fed through another load"),
        (load.device,),
        told(panel, list(left_open.path), load),
    )
