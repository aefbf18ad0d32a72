"""A load runs on, in some state, while a stop that should stop it is held.

An emergency stop should stop every motor and whatever is marked `hazardous`.  A button said
to be `for stopping`, or whose contacts all open as it is pressed, should stop what it has a
say in, if that moves or heats: what it stops in one state and not in another has a path
around it, and the state that opens the path is told.  One that is said to be `for stopping`
and stops nothing in any state is held to all that moves or heats and hangs on it.

Where one contact, wire or bridge leads past it, and without that the stop would stop and
every load still have its feed, the finding stands there (`facts/stop_bypasses.py`); else at
the stop.

It keeps silent on loads marked `always on` or `not hazardous`, on what is on only while
relays are still moving, and on what only the outputs of a `safety-rated` controller that reads
the stop keep on: those are trusted to be off.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import CertainBehaviour
from netcheck.facts.stop_bypasses import StopBypasses
from netcheck.facts.trusted_outputs import TrustedOutputs
from netcheck.facts.unstopped_loads import UnstoppedLoad, UnstoppedLoads
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell_path
from netcheck.telling import span_of


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DANGER,
    summary="a load runs on while a stop is held that should stop it",
    why="whoever pushes it believes that the machine stands still",
    source="IEC 60204-1 9.2.3, NFPA 79: a stop overrides starts, in every mode",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(CertainBehaviour, StopBypasses, TrustedOutputs, UnstoppedLoads),
)
def find(view: View) -> Iterator[Outcome]:
    by_stop: dict[str, list[UnstoppedLoad]] = {}
    trusted = view[TrustedOutputs].trusted
    for one in view[UnstoppedLoads].loads:
        if one in trusted:
            continue
        by_stop.setdefault(one.stop.mechanism.name, []).append(one)
    for group in by_stop.values():
        certain = [one for one in group if isinstance(one.answer, Reached)]
        if certain:
            yield _finding(view, certain)
            continue
        for one in group:
            if isinstance(one.answer, Undecided):
                reason = f"whether `{one.stop.device.name}` stops `{one.load.name}`: "
                place = Place(one.stop.device.span)
                yield NotDecided(reason + one.answer.reason, place, (one.stop.device.name,))


def _finding(view: View, group: list[UnstoppedLoad]) -> Finding:
    panel, first = view.panel, group[0]
    assert isinstance(first.answer, Reached)
    path = first.path(view[CertainBehaviour].behaviour)
    witness = tell_path(panel, first.answer, path)
    others = len(group) - 1
    also = f" and {others} more load{'s' if others > 1 else ''}" if others else ""
    held = first.stop.mechanism.positions[first.stop.stopping]
    stop = first.stop.device
    message = f"`{first.load.name}`{also} can run while `{stop.name}` is {held}"
    place = Place(stop.span, "does not stop it")
    others_told: list[Place] = []
    bypass = view[StopBypasses].by_stop.get(first.stop.mechanism.name)
    if bypass is not None:
        message += f": {_in_words(panel, bypass)} leads past it"
        others_told = [place]
        place = Place(span_of(panel, bypass), "leads past the stop")
    return Finding(
        message,
        place,
        devices=(stop.name, *dict.fromkeys(one.load.device for one in group)),
        condition=first.stop.mechanism.name,
        related=(
            *others_told,
            *(Place(panel.devices[one.load.device].span, "can run on") for one in group),
        ),
        state=dict(witness.state),
        steps=witness.steps,
        path=told(panel, list(path), first.load.parts[0]),
        help="bring every way of feeding it past the stop, or mark the load `always on` or "
        "`not hazardous`",
    )


def _in_words(panel: Panel, by: Wire | Part) -> str:
    return f"`{panel.wire_name(by) if isinstance(by, Wire) else by.label}`"
