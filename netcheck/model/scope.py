"""What every part of building shares: the names known so far, and where mistakes are told."""

from __future__ import annotations

import re

from netcheck.model.names import NameMistake, Names, ToldAlready
from netcheck.model.wires import Place
from netcheck.reading import statements as say
from netcheck.reading.near import did_you_mean
from netcheck.reading.project import Gathered
from netcheck.reading.token import Token
from netcheck.reading.told import Told
from netcheck.reading.values import PhraseMistake
from netcheck.record import draft, fresh
from netcheck.text import Span

USUAL_PLACES = {
    name: Place(name, inside=True, ambient_c=None) for name in ("panel", "door", "plate")
}
"""Places every panel has; all are inside it."""


@draft
class Scope:
    gathered: Gathered
    names: Names
    told: Told
    places: dict[str, Place] = fresh(factory=lambda: dict(USUAL_PLACES))
    prefix: str = ""
    """That of the statement being built."""

    def tell(self, span: Span, message: str, help: str = "", label: str = "") -> None:
        """Tell a mistake, with names as they are called from where its statement stands.

        So the same mistake in every use of an assembly has the same words.
        """
        if self.prefix:
            own = re.compile(rf"(?<![\w.]){re.escape(self.prefix)}")
            message, help = own.sub("", message), own.sub("", help)
        self.told.tell(span, message, help, label)

    def name_mistake(self, span: Span, mistake: NameMistake) -> None:
        if not isinstance(mistake, ToldAlready):
            self.tell(span, mistake.message, mistake.help)

    def phrase_mistake(self, statement: say.Statement, mistake: PhraseMistake) -> None:
        token = mistake.at if isinstance(mistake.at, Token) else _find(statement, mistake.at)
        self.tell(statement.origin.span(token), mistake.message, mistake.help)

    def known_place(self, name: str, span: Span) -> None:
        unread = self.gathered.unread
        if name in self.places or name in unread.places or unread.files:
            return
        begun = [place for place in self.places if name.startswith(f"{place} ")]
        help = (
            f"did you mean `{begun[0]}`? put a comma after it"
            if begun
            else did_you_mean(name, self.places, f"describe it: `location {name}: outside`")
        )
        self.tell(span, f"there is no location {name}", help)


def described_twice(scope: Scope, what: str, span: Span, first: Span) -> None:
    where = f" of {first.path}" if first.path != span.path else ""
    scope.tell(
        span, f"{what} is described twice", f"the first is in line {first.line}{where}; keep one"
    )


def _find(statement: say.Statement, text: str) -> Token:
    """The token of `statement` that says `text`, or the one the statement is about."""
    facets: say.Facets = getattr(statement, "facets", ())
    if isinstance(statement, say.Chain):
        facets = statement.own
    tokens = [token for facet in facets for item in facet for token in item]
    for token in tokens:
        if text and (token == text or text in token.split("-")):
            return token
    for name in ("name", "number", "keyword", "words", "stops"):
        found = getattr(statement, name, None)
        if isinstance(found, tuple):
            return Token("NAME", "", line=found[0].line, column=found[0].column,
                         end_column=found[0].end_column)  # fmt: skip
        if isinstance(found, Token):
            return found
    return Token("NAME", "", line=1, column=1, end_column=2)
