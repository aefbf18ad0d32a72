"""Contacts in series that no reachable state closes at once.

A series is what stands between two nodes with nothing branching off: a node where
just two parts meet, and no source, continues it.  Relays that are never energised are
taken as free to move, for what keeps them dead is told elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from netcheck.case import View, concludes
from netcheck.facts.freed import Freed
from netcheck.facts.load_feeds import Condition, LoadFeeds, ask
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.nodes import Nodes
from netcheck.network.traces import Passed, walk
from netcheck.states.answers import Never, Reached, Undecided, Value

WITNESSES_TRIED = 8
"""States already known are tried first: most series are seen closed in one of them."""


@dataclass(frozen=True, slots=True)
class Series:
    """One series as it is walked, and the fewest contacts of it that exclude one another."""

    path: tuple[Passed, ...]
    excluded: tuple[Part, ...]


@dataclass(frozen=True)
class SeriesContacts:
    never_closed: tuple[Series, ...]
    undecided: tuple[tuple[Series, str], ...]


@concludes(Freed, LoadFeeds)
def find_series_contacts(view: View) -> SeriesContacts:
    freed = view[Freed]
    witnesses = _by_mechanism(view[LoadFeeds])
    never: list[Series] = []
    undecided: list[tuple[Series, str]] = []
    for parts in _series(freed.behaviour.panel, freed.behaviour.nodes):
        contacts = [part for part in parts if part.mechanism in freed.behaviour.panel.mechanisms]
        if len(contacts) < 2 or _seen_closed(freed.behaviour.panel, contacts, witnesses):
            continue
        answer = ask(freed.behaviour, freed.certain, _closed(contacts), "any instant")
        if isinstance(answer, Undecided):
            undecided.append((Series((), tuple(contacts)), answer.reason))
        elif isinstance(answer, Never) and answer.how != "assumptions contradict":
            path = _walked(freed.behaviour.panel, freed.behaviour.nodes, parts)
            never.append(Series(path, _fewest(freed, contacts)))
    return SeriesContacts(tuple(never), tuple(undecided))


def _series(panel: Panel, nodes: Nodes) -> Iterator[tuple[Part, ...]]:
    """Every series of two parts or more, each once, that leads on at both its ends."""
    at: dict[int, list[Part]] = {}
    for part in panel.parts:
        if part.conducts not in (Conducts.BOND, Conducts.NOTHING):
            for end in {nodes.of[part.a], nodes.of[part.b]}:
                at.setdefault(end, []).append(part)
    poles = {nodes.of[f"{s.device}:{mark}"] for s in panel.sources for mark in s.poles}

    def onwards(part: Part, end: int) -> Part | None:
        met = at[end]
        if end in poles or len(met) != 2 or any(one.load is not None for one in met):
            return None
        if met[0].device == met[1].device and len(nodes.members[end]) == 1:
            return None  # two throws of a change-over, of which the common is not wired
        return met[0] if met[1] is part else met[1]

    def follow(part: Part, end: int) -> tuple[list[Part], int]:
        found: list[Part] = []
        while (after := onwards(part, end)) is not None and after not in (*found, first):
            found.append(after)
            a, b = nodes.of[after.a], nodes.of[after.b]
            part, end = after, b if end == a else a
        return found, end

    done: set[int] = set()
    for first in panel.parts:
        if first.index in done or first.load is not None or not first.mechanism:
            continue
        before, start = follow(first, nodes.of[first.a])
        after, end = follow(first, nodes.of[first.b])
        parts = (*reversed(before), first, *after)
        done.update(part.index for part in parts)
        if all(len(at[node]) > 1 or node in poles for node in (start, end)):
            yield parts


def _walked(panel: Panel, nodes: Nodes, parts: tuple[Part, ...]) -> tuple[Passed, ...]:
    """From the outer end of the first part to that of the last."""
    start, end = _outer(nodes, parts[0], parts[1]), _outer(nodes, parts[-1], parts[-2])
    return tuple(walk(panel, [start], [end], lambda part, _: part in parts) or [])


def _outer(nodes: Nodes, part: Part, neighbour: Part) -> str:
    met = (nodes.of[neighbour.a], nodes.of[neighbour.b])
    return part.b if nodes.of[part.a] in met else part.a


def _by_mechanism(feeds: LoadFeeds) -> Mapping[str, list[Mapping[str, Value]]]:
    found: dict[str, list[Mapping[str, Value]]] = {}
    for load in feeds.loads:
        if isinstance(load.answer, Reached):
            for name in load.answer.state:
                found.setdefault(name, []).append(load.answer.state)
    return found


def _seen_closed(
    panel: Panel, contacts: Sequence[Part], witnesses: Mapping[str, list[Mapping[str, Value]]]
) -> bool:
    known = witnesses.get(contacts[-1].mechanism, [])[:WITNESSES_TRIED]
    return any(all(_is_closed(panel, one, state) for one in contacts) for state in known)


def _is_closed(panel: Panel, part: Part, state: Mapping[str, Value]) -> bool:
    value = state.get(part.mechanism)
    if value is None:
        return False
    positions = panel.mechanisms[part.mechanism].positions
    return (positions.index(value) if isinstance(value, str) else int(value)) in part.closed


def _closed(contacts: Sequence[Part]) -> Condition:
    return lambda behaviour: behaviour.logic.all_of([behaviour.closed(part) for part in contacts])


def _fewest(freed: Freed, contacts: Sequence[Part]) -> tuple[Part, ...]:
    kept = list(contacts)
    for contact in contacts:
        fewer = [one for one in kept if one is not contact]
        if isinstance(ask(freed.behaviour, freed.certain, _closed(fewer), "any instant"), Never):
            kept = fewer
    return tuple(kept)
