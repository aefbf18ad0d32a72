"""Mistakes told once each, and not without end."""

from __future__ import annotations

from dataclasses import dataclass, field

from netcheck.finding import Mistake, Place
from netcheck.text import Span

MOST_MISTAKES = 1_000
"""Far above what anyone reads in one run; beyond it a text is no panel's."""


@dataclass(slots=True)
class Told:
    """What an assembly used fifty times has wrong is one mistake, not fifty."""

    mistakes: list[Mistake] = field(default_factory=list)
    _known: set[tuple[Span, str]] = field(default_factory=set)

    def add(self, mistake: Mistake) -> None:
        key = mistake.place.span, mistake.message
        if key in self._known or len(self.mistakes) > MOST_MISTAKES:
            return
        self._known.add(key)
        self.mistakes.append(
            mistake if len(self.mistakes) < MOST_MISTAKES else too_many(mistake.place.span)
        )

    def tell(self, span: Span, message: str, help: str = "", label: str = "") -> None:
        self.add(Mistake(message, Place(span, label), help))


def too_many(span: Span) -> Mistake:
    return Mistake(
        f"more than {MOST_MISTAKES:,} mistakes; no further ones are told",
        Place(span),
        "is this the text of a panel?",
    )
