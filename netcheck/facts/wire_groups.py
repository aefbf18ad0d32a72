"""Wires that are wrong for one cause, and what a text leaves unsaid, told once for each circuit."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import TypeVar

from netcheck.finding import NotChecked, Place
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions

Item = TypeVar("Item")


def by_cause(
    items: Iterable[Item], marks_of: Callable[[Item], Iterable[Hashable]]
) -> list[list[Item]]:
    """Groups of items that share a mark, directly or through others, in their order."""
    known = list(items)
    joined: Unions[Hashable] = Unions()
    for number, item in enumerate(known):
        joined.find(("item", number))
        for mark in marks_of(item):
            joined.join(("item", number), mark)
    groups: dict[Hashable, list[Item]] = {}
    for number, item in enumerate(known):
        groups.setdefault(joined.find(("item", number)), []).append(item)
    return list(groups.values())


def called(panel: Panel, wires: Iterable[Wire]) -> tuple[str, ...]:
    """The wires as findings list them, each once."""
    return tuple(dict.fromkeys(panel.called(wire) for wire in wires))


def others_in_words(count: int) -> str:
    """` and 5 more wires`, or nothing."""
    if count == 0:
        return ""
    return " and 1 more wire" if count == 1 else f" and {count} more wires"


def unsaid(panel: Panel, missing: Iterable[tuple[Wire, str]]) -> Iterator[NotChecked]:
    """One outcome for each circuit and reason, at the first wire that lacks something."""
    groups: dict[tuple[str, str], list[Wire]] = {}
    for wire, reason in missing:
        groups.setdefault((wire.circuit, reason), []).append(wire)
    for (circuit, reason), wires in groups.items():
        name = panel.wire_name(wires[0])
        of_circuit = f" of `{circuit}`" if circuit and len(wires) > 1 else ""
        yield NotChecked(
            f"`{name}`{others_in_words(len(wires) - 1)}{of_circuit}: {reason}",
            Place(wires[0].span),
        )
