"""Contacts in series that no reachable state closes at once.

A series is what stands between two nodes with nothing branching off: a node where
just two parts meet, and no source, continues it.  Relays that are never energised are
taken as free to move, for what keeps them dead is told elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.case import View, concludes
from netcheck.facts.freed import Freed
from netcheck.facts.load_feeds import Condition, ask
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.nodes import Nodes
from netcheck.network.traces import Passed, walk
from netcheck.record import record
from netcheck.states.answers import Never, Undecided


@record
class Series:
    """One series as it is walked, and the fewest contacts of it that exclude one another."""

    path: tuple[Passed, ...]
    excluded: tuple[Part, ...]


@record
class SeriesContacts:
    never_closed: tuple[Series, ...]
    undecided: tuple[tuple[Series, str], ...]


@concludes(Freed, SeenStates)
def find_series_contacts(view: View) -> SeriesContacts:
    freed, seen = view[Freed], view[SeenStates]
    never: list[Series] = []
    undecided: list[tuple[Series, str]] = []
    panel, nodes = freed.behaviour.panel, freed.behaviour.nodes
    for parts in _series(panel, nodes):
        contacts = [part for part in parts if part.mechanism in panel.mechanisms]
        if len(contacts) < 2 or seen.happen(_closed(contacts)(seen.behaviour)):
            continue
        if _from_pole_to_pole(freed, parts):
            continue
        answer = ask(freed.behaviour, freed.certain, _closed(contacts), "any instant")
        if isinstance(answer, Undecided):
            undecided.append((Series((), tuple(contacts)), answer.reason))
        elif isinstance(answer, Never) and answer.how != "assumptions contradict":
            path = _walked(panel, nodes, parts)
            never.append(Series(path, _fewest(freed, contacts)))
    return SeriesContacts(tuple(never), tuple(undecided))


def _series(panel: Panel, nodes: Nodes) -> Iterator[tuple[Part, ...]]:
    """Every series of two parts or more, each once, that leads on at both its ends."""
    at: dict[int, list[Part]] = {}
    carrying = [
        part for part in panel.parts if part.conducts not in (Conducts.BOND, Conducts.NOTHING)
    ]
    for part in carrying:
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
    for first in carrying:
        if first.index in done or first.load is not None or not first.mechanism:
            continue
        if nodes.of[first.a] == nodes.of[first.b]:
            continue  # bridged
        before, start = follow(first, nodes.of[first.a])
        after, end = follow(first, nodes.of[first.b])
        parts = (*reversed(before), first, *after)
        done.update(part.index for part in parts)
        if before and before[0] in after:
            continue  # a ring that nothing leads to
        if start != end and all(len(at[node]) > 1 or node in poles for node in (start, end)):
            yield parts


def _walked(panel: Panel, nodes: Nodes, parts: tuple[Part, ...]) -> tuple[Passed, ...]:
    """From the outer end of the first part to that of the last."""
    start, end = _outer(nodes, parts[0], parts[1]), _outer(nodes, parts[-1], parts[-2])
    return tuple(walk(panel, [start], [end], lambda part, _: part in parts) or [])


def _from_pole_to_pole(freed: Freed, parts: tuple[Part, ...]) -> bool:
    """Whether the series would close a short: such contacts are meant to exclude one another."""
    nodes, behaviour = freed.behaviour.nodes, freed.behaviour
    ends = (_outer(nodes, parts[0], parts[1]), _outer(nodes, parts[-1], parts[-2]))
    return all(behaviour.node(end) in behaviour.rails for end in ends)


def _outer(nodes: Nodes, part: Part, neighbour: Part) -> str:
    met = (nodes.of[neighbour.a], nodes.of[neighbour.b])
    return part.b if nodes.of[part.a] in met else part.a


def _closed(contacts: Sequence[Part]) -> Condition:
    return lambda behaviour: behaviour.logic.all_of([behaviour.closed(part) for part in contacts])


def _fewest(freed: Freed, contacts: Sequence[Part]) -> tuple[Part, ...]:
    kept = list(contacts)
    for contact in contacts:
        fewer = [one for one in kept if one is not contact]
        if isinstance(ask(freed.behaviour, freed.certain, _closed(fewer), "any instant"), Never):
            kept = fewer
    return tuple(kept)
