"""What is not decided for one and the same reason, told once.

A coil on the wrong voltage leaves open whether its relay pulls in, and with it everything
that hangs on the relay: whether its loads are ever on, whether its contacts matter, what an
intent comes to.  That is one cause, and one line says all that waits for it.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.finding import NotDecided
from netcheck.record import replace

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
