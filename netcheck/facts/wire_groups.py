"""Wires that are wrong for one cause, and what a text leaves unsaid of wires."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from typing import TypeVar

from netcheck.figure import figure
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
    """One outcome for each cause, at the first wire that lacks something.

    A wire that lacks several things has several causes; which of them have the same wires,
    here and in other rules, is found when all rules have spoken.
    """
    groups: dict[str, dict[str, Wire]] = {}
    for wire, reason in missing:
        for cause in causes_of(reason):
            groups.setdefault(cause, {}).setdefault(panel.called(wire), wire)
    for cause, wires in groups.items():
        first = next(iter(wires.values()))
        reason = lacking_in_words(cause, tuple(wires))
        yield NotChecked(reason, Place(first.span), wires=tuple(wires), cause=cause)


def from_default(wire: Wire, *names: str) -> tuple[str, ...]:
    """What of these properties only the panel-wide default says, as findings list assumptions."""
    said = wire.properties
    words = {
        "size": said.size.text if said.size else "",
        "material": said.material or "",
        "insulation_c": f"{said.insulation_c or 0.0:g} degC insulation",
        "length_m": figure(said.length_m or 0.0, "m"),
        "voltage_v": f"{figure(said.voltage_v or 0.0, 'V')} insulation",
    }
    filled = [words[name] for name in names if name in wire.by_default]
    return (f"{' '.join(filled)}, by the default wire kind",) if filled else ()


def lacking_in_words(cause: str, wires: Sequence[str]) -> str:
    """The first of the wires, named as findings list them, how many more, and what they lack."""
    return f"`wire {wires[0]}`{others_in_words(len(wires) - 1)}: {cause}"


def not_said(things: Sequence[str]) -> str:
    """`no size, no metal and no length said`."""
    *first, last = (f"no {thing}" for thing in things)
    return f"{' and '.join(filter(None, (', '.join(first), last)))} said"


def causes_of(reason: str) -> tuple[str, ...]:
    """What `not_said` puts together, each for itself; any other reason is one cause."""
    return tuple(not_said([thing]) for thing in things_in(reason)) or (reason,)


def things_in(reason: str) -> list[str]:
    """What `not_said` was given; nothing of any other reason."""
    if not (reason.startswith("no ") and reason.endswith(" said")):
        return []
    things = reason.removesuffix(" said").replace(" and no ", ", no ").split(", ")
    return [thing.removeprefix("no ") for thing in things]
