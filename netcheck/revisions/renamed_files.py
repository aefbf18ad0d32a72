"""Which file of a project is which of an earlier one, under another name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

MOST_TRIED = 10_000
"""Pairs of a file gone and one come that are looked at."""

LEAST_ALIKE = 0.5
"""Of the lines of both, how many must be in either: what version control takes for a rename."""


def renamed_files(gone: Mapping[str, str], come: Mapping[str, str]) -> dict[str, str]:
    """By its new name the old name of every file that is most like one that is gone.

    Given are texts by name.  The likest are paired first; of equally like ones the first by name.
    """
    if len(gone) * len(come) > MOST_TRIED:
        return {}
    before, now = ({name: _lines(text) for name, text in found.items()} for found in (gone, come))
    alike = sorted(
        (-share, new, old)
        for new, lines in now.items()
        for old, others in before.items()
        if (share := _shared(lines, others)) >= LEAST_ALIKE
    )
    found: dict[str, str] = {}
    for _, new, old in alike:
        if new not in found and old not in found.values():
            found[new] = old
    return found


def _lines(text: str) -> Counter[str]:
    return Counter(line for line in map(str.strip, text.splitlines()) if line)


def _shared(one: Counter[str], other: Counter[str]) -> float:
    """Share of their lines that both have, from 0 to 1; 0 where there are none."""
    return 2 * (one & other).total() / ((one.total() + other.total()) or 1)
