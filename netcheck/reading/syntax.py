"""Text to statements, one statement at a time.

A bad statement costs only itself: reading goes on at the next one, so that one
run shows every mistake.  Lark builds no tree; the callbacks below make the
statements as the parser reduces (measured twice as fast, a fifth of the memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

from lark import Lark, Token, Transformer, UnexpectedInput

from netcheck.data import package_text
from netcheck.finding import Mistake
from netcheck.reading import statements as say
from netcheck.reading.mistakes import explain, too_long
from netcheck.reading.units import UNITS
from netcheck.text import Source

LONGEST_STATEMENT = 20_000
"""Characters; past it a statement is refused rather than read."""


def read_statements(source: Source) -> tuple[list[say.Statement], list[Mistake]]:
    """All statements of one source in order, and every mistake in it."""
    parser, maker = _reader()
    read: list[say.Statement] = []
    mistakes: list[Mistake] = []
    for first_line, text in logical_lines(source.lines):
        maker.origin = say.Origin(source.path, first_line)
        if len(text) > LONGEST_STATEMENT:
            mistakes.append(too_long(maker.origin, len(text), LONGEST_STATEMENT))
            continue
        try:
            read.append(parser.parse(text))  # type: ignore[arg-type]
        except UnexpectedInput as error:
            mistakes.append(explain(error, text, maker.origin))
    return read, mistakes


def logical_lines(lines: Iterable[str]) -> Iterator[tuple[int, str]]:
    """Each statement's text with the number of its first line.

    A line that ends in `,` or `;` goes on in the next one, and a line that begins
    with a wire goes on from the one before.
    """
    start, held = 0, ""
    for number, line in enumerate(lines, 1):
        code = _without_remark(line)
        bare = code.strip()
        if not bare:
            if held:
                yield start, held
                held = ""
            continue
        if held and (bare.startswith("--") or held.rstrip().endswith((",", ";"))):
            held = f"{held}\n{code}"
            continue
        if held:
            yield start, held
        start, held = number, code
    if held:
        yield start, held


def _without_remark(line: str) -> str:
    if "#" not in line:
        return line
    if '"' not in line:
        return line[: line.index("#")]
    quoted = False
    for position, character in enumerate(line):
        if character == '"':
            quoted = not quoted
        elif character == "#" and not quoted:
            return line[:position]
    return line


@cache
def grammar_text() -> str:
    """The grammar with the unit names, which pint decides, put in their place."""
    return package_text("grammar", "panel.lark").replace("UNITS", "|".join(UNITS))


@cache
def _reader() -> tuple[Lark, _Maker]:
    maker = _Maker()
    parser = Lark(
        grammar_text(),
        parser="lalr",
        lexer="contextual",
        transformer=maker,
        maybe_placeholders=False,
    )
    return parser, maker


def _kind_words(token: Token) -> Token:
    """Blanks inside a keyword of several words count once."""
    return token.update(value=" ".join(token.split())) if len(token.split()) > 1 else token


class _Maker(Transformer[Token, say.Statement]):
    """One callback a grammar rule, named after it."""

    origin = say.Origin("", 1)

    def item(self, found: list[Token]) -> say.Item:
        return tuple(found)

    def facet(self, found: list[say.Item]) -> say.Facet:
        return tuple(found)

    own = facet

    def facets(self, found: list[say.Facet]) -> say.Facets:
        return tuple(found)

    def panel(self, found: list[Token]) -> say.Panel:
        return say.Panel(self.origin, found[0], found[1] if len(found) > 2 else None, found[-1])

    def setting(self, found: list) -> say.Setting:  # type: ignore[type-arg]
        return say.Setting(self.origin, _kind_words(found[0]), tuple(found[1:]))

    def location(self, found: list) -> say.Location:  # type: ignore[type-arg]
        return say.Location(self.origin, tuple(found[1:-1]), found[-1])

    def include(self, found: list[Token]) -> say.Include:
        return say.Include(self.origin, found[1])

    def device(self, found: list) -> say.Device:  # type: ignore[type-arg]
        facets = found[2] if len(found) > 2 else ()
        return say.Device(self.origin, _kind_words(found[0]), found[1], facets)

    def wire_kind(self, found: list) -> say.WireKind:  # type: ignore[type-arg]
        return say.WireKind(self.origin, found[1], found[2])

    def wire(self, found: list) -> say.Wire:  # type: ignore[type-arg]
        ends = (found[2], found[4]) if len(found) > 3 else None
        return say.Wire(self.origin, found[1], ends, found[-1])

    def cable(self, found: list) -> say.Cable:  # type: ignore[type-arg]
        return say.Cable(self.origin, found[1], found[2])

    def circuit(self, found: list) -> say.Circuit:  # type: ignore[type-arg]
        return say.Circuit(self.origin, found[0], found[1])

    def chain(self, found: list) -> say.Chain:  # type: ignore[type-arg]
        stops = [found[0]]
        wires: list[Token] = []
        own: list[say.Facet] = []
        for piece in found[1:]:
            if type(piece) is tuple:
                own[-1] = piece
            elif piece.type == "WIRE":
                wires.append(piece)
                own.append(())
            else:
                stops.append(piece)
        return say.Chain(self.origin, tuple(stops), tuple(wires), tuple(own))

    def assembly(self, found: list[Token]) -> say.Assembly:
        return say.Assembly(self.origin, found[1], found[2] if len(found) > 2 else None)

    def taken(self, found: list[Token]) -> say.Connections:
        return say.Connections(self.origin, tuple(found[1:]))

    def given(self, found: list) -> say.Given:  # type: ignore[type-arg]
        return say.Given(self.origin, found[1], found[2])

    def named(self, found: list) -> tuple[Token, say.Item]:  # type: ignore[type-arg]
        return (found[0], found[1])

    def use(self, found: list) -> say.Use:  # type: ignore[type-arg]
        return say.Use(self.origin, found[1], found[3], tuple(found[5:]))

    def end(self, found: list[Token]) -> say.End:
        return say.End(self.origin, found[0])

    def interlock(self, found: list[Token]) -> say.Interlock:
        return say.Interlock(self.origin, tuple(t for t in found[1:] if t.type == "NAME"))

    def pair(self, found: list[Token]) -> say.Opposing:
        return say.Opposing(self.origin, (found[1], found[3]))

    def state(self, found: list[Token]) -> Token:
        return found[0]

    def is_so(self, found: list[Token]) -> say.IsSo:
        return say.IsSo(found[0], len(found) > 3, found[-1])

    def deny(self, found: list) -> say.Deny:  # type: ignore[type-arg]
        return say.Deny(found[-1])

    def both(self, found: list) -> say.Condition:  # type: ignore[type-arg]
        parts = tuple(part for part in found if not isinstance(part, Token))
        return parts[0] if len(parts) == 1 else say.Both(parts)

    def either(self, found: list) -> say.Condition:  # type: ignore[type-arg]
        parts = tuple(part for part in found if not isinstance(part, Token))
        return parts[0] if len(parts) == 1 else say.Either(parts)

    def whenever(self, found: list) -> say.Claim:  # type: ignore[type-arg]
        return say.Claim("whenever", found[0], found[2])

    def never(self, found: list) -> say.Claim:  # type: ignore[type-arg]
        return say.Claim("never", found[1])

    def always(self, found: list) -> say.Claim:  # type: ignore[type-arg]
        return say.Claim("always", found[1])

    def sometimes(self, found: list) -> say.Claim:  # type: ignore[type-arg]
        return say.Claim("sometimes", found[1])

    def proviso(self, found: list[Token]) -> Token:
        return _kind_words(found[0])

    def order(self, found: list[Token]) -> say.Order:
        return say.Order(found[0], found[2])

    def apart(self, found: list[Token]) -> say.Apart:
        names = tuple(t for t in found[:-3] if t.type == "NAME")
        return say.Apart(names, found[-2])

    def assume(self, found: list) -> say.Assume:  # type: ignore[type-arg]
        title = found[1] if isinstance(found[1], Token) else None
        return say.Assume(self.origin, found[0], title, found[-1])

    def intent(self, found: list) -> say.Intent:  # type: ignore[type-arg]
        proviso = str(found[3]) if len(found) > 3 else ""
        return say.Intent(self.origin, found[1], found[2], proviso)

    def about(self, found: list[Token]) -> Token:
        if len(found) > 1:
            return found[1].update(type="WIRE")
        return found[0]

    def accept(self, found: list[Token]) -> say.Accept:
        words = tuple(t for t in found[1:] if t.type == "WORD")
        until = found[-1] if found[-1].type == "DATE" else None
        reason = found[-3] if until is not None else found[-1]
        middle = found[found.index(next(t for t in found if t.type == "ON")) + 1 :]
        return say.Accept(
            self.origin,
            words,
            tuple(t for t in middle if t.type == "NAME"),
            tuple(t for t in middle if t.type == "WIRE"),
            reason,
            until,
        )
