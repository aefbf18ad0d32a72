"""What switches a load off that is energised: a contact in some state, or only a handle."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import (
    Condition,
    LoadFeed,
    LoadFeeds,
    Verdict,
    ask,
    energised,
    never,
)
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Conducts, Drive, Part
from netcheck.model.panel import Panel
from netcheck.network.traces import Passed, reached, walk
from netcheck.record import record
from netcheck.states.answers import Undecided


@record
class AlwaysOn:
    """A load on in every settled state with its sources present and no overload tripped.

    `handles` are disconnects and breakers that cut it off; `meant_to_be_switched` where a
    contact stands in its feed, or would if it were not bridged.  `path` is one of its feeds.
    """

    load: LoadFeed
    handles: tuple[str, ...]
    meant_to_be_switched: bool
    path: tuple[Passed, ...]


@record
class WaysOff:
    always_on: tuple[AlwaysOn, ...]
    undecided: tuple[tuple[LoadFeed, str], ...]


@concludes(Behaviour, CertainBehaviour, SeenStates, LoadFeeds)
def find_ways_off(view: View) -> WaysOff:
    """Asked of the loads that move or heat; others may well be on for good."""
    wide, certain = view[Behaviour], view[CertainBehaviour].behaviour
    always_on: list[AlwaysOn] = []
    undecided: list[tuple[LoadFeed, str]] = []
    for load in view[LoadFeeds].loads:
        part = load.parts[0]
        if part.load is None or not part.load.moves_or_heats:
            continue
        if load.verdict is not Verdict.ENERGISED:
            continue
        if view[SeenStates].happen(_off(load)(certain)):
            continue
        answer = ask(wide, certain, _off(load), "settled")
        if isinstance(answer, Undecided):
            undecided.append((load, answer.reason))
        elif never(answer):
            always_on.append(_always_on(wide, load))
    return WaysOff(tuple(always_on), tuple(undecided))


def _off(load: LoadFeed) -> Condition:
    """Off though every source it depends on is present and no overload has tripped."""

    def condition(behaviour: Behaviour) -> int:
        panel, on = behaviour.panel, energised(load.parts)(behaviour)
        held = [on ^ 1]
        for name in behaviour.prover.depends_on(on):
            mechanism = panel.mechanisms[name]
            if mechanism.drive is Drive.SOURCE:
                held.append(behaviour.in_positions(name, frozenset((1,))))
            elif panel.devices[mechanism.device].kind == "overload":
                held.append(behaviour.in_positions(name, frozenset((0,))))
        return behaviour.logic.all_of(held)

    return condition


def _always_on(behaviour: Behaviour, load: LoadFeed) -> AlwaysOn:
    panel = behaviour.panel
    ends = [end for part in load.parts for end in (part.a, part.b)]
    return AlwaysOn(
        load,
        tuple(_handles(panel, ends)),
        any(_behind_a_contact(behaviour, end) for end in ends),
        tuple(_feed(panel, load.parts[0])),
    )


def _conducts(part: Part, forwards: bool = True) -> bool:
    return part.conducts in (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)


def _poles(panel: Panel) -> list[str]:
    return [f"{source.device}:{mark}" for source in panel.sources for mark in source.poles]


def _handles(panel: Panel, ends: list[str]) -> Iterator[str]:
    """Disconnects and breakers without which an end of the load meets no pole."""
    poles = _poles(panel)
    for device in panel.devices.values():
        if device.kind not in ("disconnect", "breaker"):
            continue

        def passable(part: Part, forwards: bool, name: str = device.name) -> bool:
            return _conducts(part) and part.device != name

        if any(walk(panel, [end], poles, passable) is None for end in dict.fromkeys(ends)):
            yield device.name


def _behind_a_contact(behaviour: Behaviour, end: str) -> bool:
    """Whether a contact stands between the end and the poles, or is bridged near by."""
    if behaviour.node(end) not in behaviour.rails:
        return True
    panel = behaviour.panel

    def unswitched(part: Part, forwards: bool) -> bool:
        return part.conducts is Conducts.JOINS and not part.mechanism

    near = reached(panel, [end], unswitched)
    on_the_way = {passed.end for passed in walk(panel, [end], _poles(panel), _conducts) or []}
    return any(
        part.a in near and part.b in near and not on_the_way.isdisjoint((part.a, part.b))
        for part in panel.parts
        if part.conducts is Conducts.CONTACT
    )


def _feed(panel: Panel, part: Part) -> Iterator[Passed]:
    """From a pole to the load, through it, and home."""
    poles = _poles(panel)
    out, back = (walk(panel, [end], poles, _conducts) for end in (part.a, part.b))
    for passed in reversed(out or []):
        yield Passed(passed.end, passed.start, passed.by)
    yield Passed(part.a, part.b, part)
    yield from back or []
