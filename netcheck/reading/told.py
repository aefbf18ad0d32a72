"""Mistakes told once each, and not without end."""

from __future__ import annotations

from netcheck.finding import Mistake, Place
from netcheck.record import draft, fresh, replace
from netcheck.text import Span

MOST_MISTAKES = 1_000
"""Far above what anyone reads in one run; beyond it a text is no panel's."""
LONGEST_SENTENCE = 400


@draft
class Told:
    """What an assembly used fifty times has wrong is one mistake, not fifty."""

    mistakes: list[Mistake] = fresh(factory=list)
    _known: set[tuple[Span, str]] = fresh(factory=set)

    def add(self, mistake: Mistake) -> None:
        key = mistake.place.span, mistake.message
        if key in self._known or len(self.mistakes) > MOST_MISTAKES:
            return
        self._known.add(key)
        self.mistakes.append(
            _readable(mistake)
            if len(self.mistakes) < MOST_MISTAKES
            else too_many(mistake.place.span)
        )

    def tell(self, span: Span, message: str, help: str = "", label: str = "") -> None:
        self.add(Mistake(message, Place(span, label), help))


def _readable(mistake: Mistake) -> Mistake:
    """What it quotes of a hostile text may be endless, or hold what no screen shows."""
    place = replace(mistake.place, label=_plain(mistake.place.label))
    return replace(mistake, message=_plain(mistake.message), help=_plain(mistake.help), place=place)


def _plain(sentence: str) -> str:
    if not sentence.isprintable():
        sentence = "".join(
            letter if letter.isprintable() else f"(U+{ord(letter):04X})" for letter in sentence
        )
    return sentence if len(sentence) <= LONGEST_SENTENCE else f"{sentence[:LONGEST_SENTENCE]}..."


def too_many(span: Span) -> Mistake:
    return Mistake(
        f"more than {MOST_MISTAKES:,} mistakes; no further ones are told",
        Place(span),
        "is this the text of a panel?",
    )
