"""A coil that no reachable state energises, and what its contacts then never do.

Also of timers, of the set and reset coils of latching relays, and of inputs that turn
a solid-state relay or soft starter on.  A coil is judged in passing states too: to pull
in for an instant is to pull in.  Nominal, and traced as `load never energised`, which
speaks instead where the same break cuts off anything but coils.  Where other relays keep
it out for good it is a `contradictory interlock`.

Two more never pull in though the coil is energised: a relay that what is assumed, or a
mechanical interlock, keeps out in every state, and a timer fed only while relays are on
their way, whose time never runs out.  Where a load is dead for it, that is `load never energised`.

It keeps silent on coils fed only at another voltage, through other loads or by ground, as
`load never energised` does, and on spares.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.dead_circuits import DeadCircuits, Speaker
from netcheck.facts.load_feeds import LoadFeed, LoadFeeds, Verdict, ask, never
from netcheck.facts.seen_states import SeenStates
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.devices import Drive, Mechanism
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.states.answers import Undecided
from netcheck.states.behaviour import Behaviour as Behaving
from netcheck.telling import dead_relays, listed, open_path_finding, open_path_undecided


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DEFECT,
    summary="no reachable state energises a coil: its relay never pulls in",
    why="all that its contacts were to switch stays as it is at rest",
    source="a coil that never moves freezes what its contacts feed: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(DeadCircuits, LoadFeeds, SeenStates, Behaviour, CertainBehaviour),
)
def find(view: View) -> Iterator[Outcome]:
    panel, circuits = view.panel, view[DeadCircuits]
    for path in circuits.of(Speaker.RELAY):
        said = dead_relays(panel, path)
        yield open_path_finding(panel, path, said, "its coil is never energised")
    for question in circuits.left_open(Speaker.RELAY):
        yield open_path_undecided(panel, question, "ever pulls in")
    told = {part.mechanism for _, path in circuits.found for part in path.broken.parts}
    for load in view[LoadFeeds].loads:
        for mechanism in _moved_by(panel, load):
            if mechanism.name not in told:
                yield from _kept_out(view, mechanism)


def _moved_by(panel: Panel, load: LoadFeed) -> Iterator[Mechanism]:
    """The mechanisms of a coil that is energised; a latching relay may have been in at first."""
    if load.verdict is Verdict.ENERGISED:
        for name in panel.devices[load.device].mechanisms:
            mechanism = panel.mechanisms[name]
            if load.parts[0].index in mechanism.coils and mechanism.drive is not Drive.LATCH:
                yield mechanism


def _kept_out(view: View, mechanism: Mechanism) -> Iterator[Outcome]:
    def moved(behaviour: Behaving) -> int:
        return behaviour.in_positions(mechanism.name, frozenset((1,)))

    certain = view[CertainBehaviour].behaviour
    if view[SeenStates].happen(moved(certain)):
        return
    device = view.panel.devices[mechanism.device]
    place = Place(device.span, "never pulls in")
    answer = ask(view[Behaviour], certain, moved, "any instant")
    if isinstance(answer, Undecided):
        reason = f"whether `{device.name}` ever pulls in: {answer.reason}"
        yield NotDecided(reason, place, (device.name,))
    elif never(answer):
        timed = mechanism.drive is Drive.ON_DELAY
        why = (
            "it is fed only while relays are on their way, and its time never runs out"
            if timed
            else "its coil is energised, but what is assumed of it never lets it move"
        )
        yield Finding(
            f"{listed([device.name])} never pulls in: {why}",
            place,
            devices=(device.name,),
            condition=f"{mechanism.name} kept out",
            help="feed it until its time has run out"
            if timed
            else "see which assumption or mechanical interlock holds it",
        )
