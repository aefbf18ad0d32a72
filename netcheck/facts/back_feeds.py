"""Outputs that another source drives while their own input is dead.

A transformer works both ways, and gives its primary's voltage back at the ratio; the
output of a supply or a drive is not made to be driven.  Both live at once is another
matter: a missing load, or paralleled sources, which are told as such.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import permutations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import ask, is_settled
from netcheck.facts.paralleled import Paralleled, made_to_share
from netcheck.facts.shorts import Shorts
from netcheck.model.devices import Conducts, Part, SourcePart
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, walk
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.expressions import FALSE
from netcheck.states.volts import Volts, dc_volts
from netcheck.states.ways import Way
from netcheck.states.witness import Witness, assignment, tell_path


@record
class BackFeed:
    """A source whose output another drives, from pole to pole, and what joins them."""

    fed: SourcePart
    by: tuple[str, ...]
    volts: Volts
    path: tuple[Passed, ...]
    cause: Wire | Part
    witness: Witness


@record
class BackFeeds:
    """`undecided` are the devices of sources that may be fed from others, with the reason."""

    found: tuple[BackFeed, ...]
    undecided: tuple[tuple[str, str], ...]


@concludes(Behaviour, CertainBehaviour, Shorts, Paralleled)
def find_back_feeds(view: View) -> BackFeeds:
    wide, certain = view[Behaviour], view[CertainBehaviour].behaviour
    told = [set(short.sources) for short in view[Shorts].found]
    told += [{*pair.one, *pair.other} for pair in view[Paralleled].found]
    found: list[BackFeed] = []
    undecided: list[tuple[str, str]] = []
    for index, source in enumerate(wide.panel.sources):
        if not source.inputs or wide.panel.devices[source.device].values.get("decoupled"):
            continue
        if any(source.device in devices for devices in told):
            continue
        if not any(True for _ in _driving(wide, index)):
            continue

        def driven(states: Behaviour, index: int = index) -> int:
            ways = [way.condition for way in _driving(states, index)]
            return states.logic.both(states.logic.any_of(ways), states.live(index) ^ 1)

        answer = ask(wide, certain, driven, "any instant")
        if isinstance(answer, Undecided):
            undecided.append((source.device, answer.reason))
        elif isinstance(answer, Reached) and is_settled(answer):
            found.append(_back_feed(wide, index, answer))
    return BackFeeds(tuple(found), tuple(undecided))


def _driving(states: Behaviour, index: int) -> Iterator[Way]:
    """The ways from pole to pole of a source through others that drive current into it."""
    source = states.panel.sources[index]
    for low, high in permutations(source.poles, 2):
        start, end = states.pole_node(index, low), states.pole_node(index, high)
        for way in states.ways(start, end) if start != end else ():
            others = way.sources and index not in way.sources
            names = [states.panel.sources[one].device for one in (index, *way.sources)]
            if not others or made_to_share(states.panel, names):
                continue
            if way.volts and dc_volts(way.volts) >= 0 and way.condition != FALSE:
                yield way


def _back_feed(states: Behaviour, index: int, answer: Reached) -> BackFeed:
    values = assignment(states, answer)
    source = states.panel.sources[index]
    way = next(
        one for one in _driving(states, index) if states.logic.evaluate(one.condition, values)
    )
    by = tuple(dict.fromkeys(states.panel.sources[one].device for one in way.sources))
    path = _joining(states, source, way, values)
    return BackFeed(
        source,
        by,
        way.volts,
        path,
        max((passed.by for passed in path), key=lambda one: _drawn(states, one)),
        tell_path(states.panel, answer, path),
    )


def _joining(
    states: Behaviour, source: SourcePart, way: Way, values: Mapping[int, bool]
) -> tuple[Passed, ...]:
    """From the other source's pole to the driven one's, by the leg with more contacts on it."""
    panel = states.panel

    def passable(part: Part, forwards: bool) -> bool:
        if part.conducts not in (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY):
            return False
        if not forwards and states.one_way(part):
            return False
        return states.logic.evaluate(states.closed(part), values)

    own = [f"{source.device}:{mark}" for mark in source.poles]
    through = [step for step in way.steps if not step.joins]
    legs: list[list[Passed]] = [
        walk(panel, (pole,), own, passable) or []
        for pole in (through[-1].leaves, through[0].enters)
    ]
    longest: list[Passed] = max(legs, key=_switched)
    return tuple(longest)


def _switched(leg: list[Passed]) -> tuple[int, int]:
    """How many contacts there are on a leg, and how long it is."""
    contacts = [one for one in leg if isinstance(one.by, Part) and one.by.mechanism]
    return len(contacts), len(leg)


def _drawn(states: Behaviour, by: Wire | Part) -> tuple[int, bool, int]:
    if isinstance(by, Wire):
        return by.span.line, False, by.span.column
    span = states.panel.chain_spans.get(by.index, states.panel.devices[by.device].span)
    return span.line, True, span.column
