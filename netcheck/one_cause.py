"""What is not decided or not checked for one and the same reason, told once.

A coil on the wrong voltage leaves open whether its relay pulls in, and with it everything
that hangs on the relay: whether its loads are ever on, whether its contacts matter, what an
intent comes to.  That is one cause, and one line says all that waits for it.

A wire kind without a size leaves five rules without an answer for every wire of the kind.
That is one cause too, and one line counts the wires and names the rules.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.facts.wire_groups import lacking_in_words, not_said, things_in
from netcheck.finding import NotChecked, NotDecided
from netcheck.record import replace
from netcheck.text import Span

WAITS = "it depends on whether "
MOST_QUESTIONS = 3
"""Named in one line; the others are counted."""


def told_once(not_decided: Iterable[NotDecided]) -> tuple[NotDecided, ...]:
    """Questions that wait for the same thing as one, at the place of the first of them."""
    groups: dict[str, list[NotDecided]] = {}
    for number, one in enumerate(not_decided):
        _, waits, cause = one.reason.partition(f": {WAITS}")
        groups.setdefault(cause.partition(";")[0] if waits else str(number), []).append(one)
    return tuple(_together(cause, group) for cause, group in groups.items())


def _together(cause: str, group: list[NotDecided]) -> NotDecided:
    first = group[0]
    if len(group) == 1:
        return first
    questions = list(dict.fromkeys(one.reason.partition(f": {WAITS}")[0] for one in group))
    shown, more = questions[:MOST_QUESTIONS], len(questions) - MOST_QUESTIONS
    words = "; ".join(shown) + (f"; and {more} more questions" if more > 0 else "")
    devices = tuple(dict.fromkeys(name for one in group for name in one.devices))
    return replace(first, reason=f"{words}: {WAITS}{cause}", devices=devices)


def unchecked_once(not_checked: Iterable[NotChecked]) -> tuple[NotChecked, ...]:
    """What lacks the same as one, with every rule that it leaves without an answer."""
    groups: dict[tuple[str, tuple[str, ...]], list[NotChecked]] = {}
    for one in not_checked:
        key = (one.cause, ()) if one.cause else (one.reason, one.devices)
        groups.setdefault(key, []).append(one)
    return _of_the_same_wires([_without_one_answer(group) for group in groups.values()])


def _without_one_answer(group: list[NotChecked]) -> NotChecked:
    """One outcome of several rules; of the first wire that is written it has the place."""
    first = min(group, key=lambda one: _written(one.place.span))
    rules = tuple(dict.fromkeys(rule for one in group for rule in one.rules))
    wires = tuple(dict.fromkeys(wire for one in (first, *group) for wire in one.wires))
    return replace(first, rule=rules[0], also=rules[1:], wires=wires)


def _written(span: Span) -> tuple[str, int, int]:
    return span.path, span.line, span.column


def _of_the_same_wires(entries: list[NotChecked]) -> tuple[NotChecked, ...]:
    """Where the very same wires lack several things, that is one cause: their kind says little."""
    groups: dict[object, list[NotChecked]] = {}
    for number, one in enumerate(entries):
        key = frozenset(one.wires) if things_in(one.cause) else number
        groups.setdefault(key, []).append(one)
    return tuple(_told(group) for group in groups.values())


def _told(group: list[NotChecked]) -> NotChecked:
    joined = _without_one_answer(group)
    if not joined.cause:
        return joined
    things = [thing for one in group for thing in things_in(one.cause)]
    cause = not_said(things) if things else joined.cause
    return replace(joined, cause=cause, reason=lacking_in_words(cause, joined.wires))
