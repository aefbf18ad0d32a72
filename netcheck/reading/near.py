"""Near names: what a misspelt word was probably meant to be."""

from __future__ import annotations

from collections.abc import Iterable

MOST_COMPARED = 300
"""Comparing is slow; among more words than these only those of like length and start are tried."""


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """The known word most like `word`, or nothing.  One that differs only in case comes first."""
    words = list(known)
    folded = word.casefold()
    for candidate in words:
        if candidate.casefold() == folded and candidate != word:
            return candidate
    if len(words) > MOST_COMPARED:
        words = [other for other in words if abs(len(other) - len(word)) < 2]
        words = [other for other in words if other[:1] == word[:1]][:MOST_COMPARED]
    import difflib  # only for a mistake: it costs a millisecond of every start

    close = difflib.get_close_matches(word[:80], words, 1, cutoff)
    return close[0] if close else ""


def did_you_mean(word: str, known: Iterable[str], otherwise: str, cutoff: float = 0.6) -> str:
    close = nearest(word, known, cutoff)
    return f"did you mean `{close}`?" if close else otherwise
