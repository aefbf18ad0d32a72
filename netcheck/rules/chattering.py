"""A relay that can never settle: its pulling in takes away what feeds it.

Said of the relays that all have a say in one another's coils (mostly one alone, fed
through its own normally closed contact) where, in a state that can be reached, no order
of their moves comes to rest while everything else stays as it is.  Reached only by an
operation that overtakes relays still moving, it is said so.

A timer in the circle ends it: its running out is an operation of its own, and flashers and
one-shots are built so.  A buzzer made of a relay on purpose is to be accepted.  Coils
that may or may not pull in are taken as out; where a circle chatters only with them in,
or is too large to look through, it is not decided.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
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
from netcheck.network.traces import Passed, told
from netcheck.rule import rule
from netcheck.states.answers import Chattering, Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour as Behaving
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.witness import assignment, tell
from netcheck.telling import listed, span_of, when

ANOTHER_MOVES = "whichever moves makes another move"


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DEFECT,
    summary="a relay, or relays that move one another, that never settle",
    why="contacts burn within hours, and what hangs on them is neither on nor off",
    source="a relay fed through its own opening contact is a buzzer: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour, CertainBehaviour),
)
def find(view: View) -> Iterator[Outcome]:
    wide, certain = view[Behaviour], view[CertainBehaviour].behaviour
    told_of: set[str] = set()
    for knot in certain.prover.chattering():
        if isinstance(knot.answer, Reached):
            told_of.update(knot.names)
            yield _finding(certain, knot.names, knot.answer)
        elif certain is wide and isinstance(knot.answer, Undecided):
            yield _undecided(view.panel, knot, knot.answer.reason)
    for knot in wide.prover.chattering() if certain is not wide else ():
        if not told_of.intersection(knot.names) and not isinstance(knot.answer, Never):
            yield _undecided(view.panel, knot, _reason(wide, knot))


def _reason(wide: Behaving, knot: Chattering) -> str:
    if isinstance(knot.answer, Undecided):
        return knot.answer.reason
    coils = ", ".join(wide.uncertain_coils)
    return f"it depends on whether {coils} pulls in at the voltage it gets"


def _undecided(panel: Panel, knot: Chattering, reason: str) -> NotDecided:
    devices = _devices(panel, knot.names)
    place = Place(panel.devices[devices[0]].span)
    return NotDecided(f"whether {listed(devices)} can always settle: {reason}", place, devices)


def _devices(panel: Panel, names: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(panel.mechanisms[name].device for name in names))


def _finding(behaviour: Behaving, names: tuple[str, ...], reached: Reached) -> Finding:
    panel = behaviour.panel
    devices, paths = _devices(panel, names), _paths(behaviour, names, reached)
    own = [
        passed.by
        for path in paths
        for passed in path
        if isinstance(passed.by, Part) and passed.by.mechanism in names
    ]
    at = max(own, key=lambda part: span_of(panel, part).line) if own else None
    path = next((path for path in paths if any(passed.by is at for passed in path)), ())
    witness = tell(panel, reached)
    outside = {name: place for name, place in witness.state.items() if name not in names}
    verb = "chatters" if len(devices) == 1 else "chatter"
    overtaken = ", if an operation overtakes relays still moving" if reached.kind == "race" else ""
    given = tuple(dict.fromkeys(passed for path in paths for passed in path))
    span = span_of(panel, at) if at is not None else panel.devices[devices[0]].span
    return Finding(
        f"{listed(devices)} {verb}{when(panel, given, outside)}{overtaken}: {_why(devices, own)}",
        Place(span, "its moving takes away what moves it" if at is not None else ""),
        devices=devices,
        condition=" ".join(names),
        related=tuple(Place(panel.devices[name].span, "never settles") for name in devices),
        state=outside,
        steps=witness.steps,
        path=told(panel, list(path), at),
        help="take this contact out of its own coil's circuit, or use a timer to flash",
    )


def _why(devices: Sequence[str], own: Sequence[Part]) -> str:
    if not own:
        alone = len(devices) == 1
        return "its pulling in takes away what feeds it" if alone else ANOTHER_MOVES
    contacts = listed(list(dict.fromkeys(part.label for part in own)))
    if len(devices) == 1:
        return f"it is fed through its own {contacts}, which opens as it pulls in"
    return f"{ANOTHER_MOVES}, through {contacts}"


def _paths(
    behaviour: Behaving, names: Sequence[str], reached: Reached
) -> tuple[tuple[Passed, ...], ...]:
    """How the coils are fed in the state that was reached: with all of them out, or else in."""
    values = assignment(behaviour, reached)
    states = [behaviour.machine.movers[name].state for name in names]
    found = []
    for name in names:
        for coil in behaviour.panel.mechanisms[name].coils:
            for moved in (False, True):
                path = _path(behaviour, coil, {**values, **dict.fromkeys(states, moved)})
                if path is not None:
                    found.append(path)
                    break
    return tuple(found)


def _path(behaviour: Behaving, coil: int, values: dict[int, bool]) -> tuple[Passed, ...] | None:
    part = behaviour.panel.parts[coil]
    for feed in behaviour.feeds(part):
        if behaviour.logic.evaluate(feed.condition, values):
            ends = (poles_at(behaviour, feed.rail_a), poles_at(behaviour, feed.rail_b))
            return feed_path(behaviour, Circuit(part, *ends, feed.volts), values)
    return None
