"""A wire by the words that name it: `wire 204`, or with its ends where several bear the number."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from netcheck.model.names import NameMistake
from netcheck.model.wires import Wire
from netcheck.reading.near import did_you_mean

MOST_LISTED = 8

_WORDS = r"wire(?: (?P<number>[^\s:]+))?(?: (?P<a>[^\s:]+:\S+) to (?P<b>[^\s:]+:\S+))?"


def wire_called(wires: Sequence[Wire], number: str, ends: tuple[str, str] | None = None) -> Wire:
    """The one of `wires` that `number` and `ends` mean.

    Ends are full names of terminals, in either order; without a number they name the wire
    alone.  Raises NameMistake where no wire is meant, and where several are: it lists them.
    """
    bearing = [wire for wire in wires if wire.number == number] if number else list(wires)
    if not bearing or not (number or ends):
        numbers = {wire.number for wire in wires if wire.number}
        raise NameMistake(
            f"there is no wire {number}".rstrip(),
            did_you_mean(number, numbers, "no circuit line draws it"),
        )
    if ends is None:
        if len(bearing) == 1:
            return bearing[0]
        raise NameMistake(
            f"{len(bearing)} wires bear the number {number}", f"say which: {_listed(bearing)}"
        )
    between = [wire for wire in bearing if {wire.a, wire.b} == set(ends)]
    if len(between) == 1:
        return between[0]
    if between:
        raise NameMistake(
            f"{len(between)} wires go from {ends[0]} to {ends[1]}",
            f"say which: {_listed(between)}",
        )
    if not number:
        raise NameMistake(
            f"there is no wire from {ends[0]} to {ends[1]}", "no circuit line draws it"
        )
    raise NameMistake(
        f"wire {number} does not go from {ends[0]} to {ends[1]}",
        f"what bears the number: {_listed(bearing)}",
    )


def wire_in_words(wires: Sequence[Wire], words: str) -> Wire:
    """The wire that `wire 204`, `wire 204 S1:12 to S2:13` or `wire S1:12 to S2:13` means.

    Raises NameMistake as `wire_called` does, and where the words are none of these.
    """
    found = re.fullmatch(_WORDS, " ".join(words.split()))
    if found is None or (found["number"] is None and found["a"] is None):
        raise NameMistake(
            f"`{words}` names no wire", "write `wire 204`, or `wire 204 S1:12 to S2:13`"
        )
    ends = (found["a"], found["b"]) if found["a"] else None
    return wire_called(wires, found["number"] or "", ends)


def shared_numbers(wires: Iterable[Wire]) -> frozenset[str]:
    """Wire numbers that several wires bear: such a wire is named with its ends."""
    seen: set[str] = set()
    shared: set[str] = set()
    for wire in wires:
        (shared if wire.number in seen else seen).add(wire.number)
    return frozenset(shared)


def _listed(wires: Sequence[Wire]) -> str:
    shown = ", ".join(f"`{wire.full_label}`" for wire in wires[:MOST_LISTED])
    more = len(wires) - MOST_LISTED
    return f"{shown} and {more} more" if more > 0 else shown
