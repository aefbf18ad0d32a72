"""Text to statements, one statement at a time.

A bad statement costs only itself: reading goes on at the next one, so that one
run shows every mistake.  No tree is built; the callbacks below make the statements
as the parser ends rules (measured twice as fast, a fifth of the memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from typing import Any, cast

from netcheck.finding import Mistake
from netcheck.reading import statements as say
from netcheck.reading.characters import HIDDEN, odd_in
from netcheck.reading.parse_tables import tables_of
from netcheck.reading.parser import Parser, Refused
from netcheck.reading.token import Token
from netcheck.reading.told import MOST_MISTAKES
from netcheck.reading.unread import Unread
from netcheck.reading.words import grammar_text
from netcheck.record import draft, fresh
from netcheck.text import Source

LONGEST_STATEMENT = 20_000
"""Characters; past it a statement is refused rather than read."""
DEEPEST_CONDITION = 32
"""Brackets and denials inside one another; past it a condition is refused."""


@draft
class Reading:
    """What one source says, every mistake in it, and what its bad statements would have named."""

    statements: list[say.Statement] = fresh(factory=list)
    mistakes: list[Mistake] = fresh(factory=list)
    unread: Unread = fresh(factory=Unread)


def read_statements(source: Source) -> Reading:
    """All statements of one source in order."""
    read = Reading()
    hidden = _hidden_lines(source, read.mistakes)
    for first_line, text in logical_lines(source.lines):
        statement = _read(say.Origin(source.path, first_line), text, hidden, read.mistakes)
        if statement is None:
            read.unread.note(text)
            statement = _stand_in(say.Origin(source.path, first_line), text)
        if statement is not None:
            read.statements.append(statement)
        if len(read.mistakes) > MOST_MISTAKES:
            read.unread.files = True
            break
    return read


def _read(
    origin: say.Origin, text: str, hidden: frozenset[int], mistakes: list[Mistake]
) -> say.Statement | None:
    """The statement, or None and its mistake told."""
    if hidden and not hidden.isdisjoint(_lines_of(origin, text)):
        return None
    parser, maker = _reader()
    maker.origin = origin
    refused: Refused | _TooDeep | None = None
    if len(text) <= LONGEST_STATEMENT and (text.isascii() or odd_in(text) is None):
        try:
            return cast(say.Statement, parser.parse(text))
        except (Refused, _TooDeep) as error:
            refused = error
    mistakes.append(_mistake(origin, text, refused))
    return None


def _mistake(origin: say.Origin, text: str, refused: Refused | _TooDeep | None) -> Mistake:
    """What is wrong with a statement.  The sentences are loaded with the first one that is
    needed, for a sound text needs none."""
    from netcheck.reading.mistakes import explain, odd_character, too_deep, too_long

    if len(text) > LONGEST_STATEMENT:
        return too_long(origin, len(text), LONGEST_STATEMENT)
    if isinstance(refused, Refused):
        return explain(refused, text, origin)
    if isinstance(refused, _TooDeep):
        return too_deep(origin, refused.token, DEEPEST_CONDITION)
    odd = odd_character(origin, text)
    assert odd is not None
    return odd


def _hidden_lines(source: Source, mistakes: list[Mistake]) -> frozenset[int]:
    """Numbers of the lines with characters that cannot be seen, each told."""
    if HIDDEN.search(source.text) is None:
        return frozenset()
    from netcheck.reading.mistakes import hidden_character

    numbers = [number for number, line in enumerate(source.lines, 1) if HIDDEN.search(line)]
    mistakes += [
        hidden_character(say.Origin(source.path, number), source.line(number)) for number in numbers
    ]
    return frozenset(numbers)


def _lines_of(origin: say.Origin, text: str) -> range:
    return range(origin.first_line, origin.first_line + text.count("\n") + 1)


def _stand_in(origin: say.Origin, text: str) -> say.Statement | None:
    """An unreadable `assembly` still opens one, so that its statements stay inside."""
    opening = re.match(r"\s*(assembly)\b[ \t]*(\w*)", text)
    if opening is None:
        return None
    at = opening.start(1)
    name = Token("NAME", opening[2], column=at + 1, end_column=at + 9)
    return say.Assembly(origin, name, None)


# ---- lines -----------------------------------------------------------------------------


def logical_lines(lines: Iterable[str]) -> Iterator[tuple[int, str]]:
    """Each statement's text with the number of its first line, remarks left off.

    A line that ends in `,` or `;` goes on in the next one, and a line that begins
    with a wire goes on from the one before.  A remark's own line changes nothing,
    an empty one ends the statement.
    """
    start, remarks = 0, 0
    held: list[str] = []
    for number, line in enumerate(lines, 1):
        code = _without_remark(line)
        bare = code.strip(" \t")
        if not bare:
            remarks += 1
            if held and code is line:
                yield start, "\n".join(held)
                held = []
        elif held and (bare.startswith("--") or held[-1].endswith((",", ";"))):
            held += [""] * remarks + [code.rstrip(" \t")]
            remarks = 0
        else:
            if held:
                yield start, "\n".join(held)
            start, held, remarks = number, [code.rstrip(" \t")], 0
    if held:
        yield start, "\n".join(held)


_QUOTED_OR_REMARK = re.compile(r'"[^"]*"|#')


def _without_remark(line: str) -> str:
    """The line up to the first `#` outside double quotes."""
    if "#" not in line:
        return line
    for found in _QUOTED_OR_REMARK.finditer(line):
        if found.group() == "#":
            return line[: found.start()]
    return line


# ---- the parser ------------------------------------------------------------------------


@cache
def _reader() -> tuple[Parser, _Maker]:
    maker = _Maker()
    return Parser(tables_of(grammar_text()), maker), maker


def grammar_terminals() -> tuple[str, ...]:
    """The names of the grammar's terminals, which no message may show."""
    return tuple(sorted(tables_of(grammar_text()).terminals))


class _TooDeep(Exception):
    def __init__(self, token: Token) -> None:
        super().__init__()
        self.token = token


def _one_blank(token: Token) -> Token:
    """Blanks inside a keyword of several words count once."""
    return token.saying(" ".join(token.split())) if len(token.split()) > 1 else token


def _names(found: Iterable[Any]) -> tuple[Token, ...]:
    return tuple(token for token in found if token.type in ("NAME", "TERMINAL"))


Found = list[Any]
"""What the parser hands a callback: tokens, and what other callbacks made."""


class _Maker:
    """One callback a grammar rule, named after it."""

    origin = say.Origin("", 1)

    def item(self, found: Found) -> say.Item:
        return tuple(found)

    def facet(self, found: Found) -> say.Facet:
        return tuple(found)

    own = facet
    place = item

    def facets(self, found: Found) -> say.Facets:
        return tuple(found)

    def panel(self, found: Found) -> say.Panel:
        return say.Panel(self.origin, found[0], found[1] if len(found) > 2 else None, found[-1])

    def setting(self, found: Found) -> say.Setting:
        return say.Setting(self.origin, _one_blank(found[0]), tuple(found[1:]))

    def location(self, found: Found) -> say.Location:
        return say.Location(self.origin, found[1], found[2])

    def include(self, found: Found) -> say.Include:
        return say.Include(self.origin, found[1])

    def device(self, found: Found) -> say.Device:
        facets = found[2] if len(found) > 2 else ()
        return say.Device(self.origin, _one_blank(found[0]), found[1], facets)

    def wire_kind(self, found: Found) -> say.WireKind:
        return say.WireKind(self.origin, found[1], found[2])

    def ends(self, found: Found) -> tuple[Token, Token]:
        return (found[0], found[2])

    def wire(self, found: Found) -> say.Wire:
        ends = found[2] if len(found) > 3 else None
        return say.Wire(self.origin, found[1], ends, found[-1])

    def raceway(self, found: Found) -> say.Raceway:
        return say.Raceway(self.origin, found[0], found[1], found[2])

    def cable(self, found: Found) -> say.Cable:
        return say.Cable(self.origin, found[1], found[2])

    def circuit(self, found: Found) -> say.Circuit:
        return say.Circuit(self.origin, found[0], found[1])

    def chain(self, found: Found) -> say.Chain:
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

    def assembly(self, found: Found) -> say.Assembly:
        return say.Assembly(self.origin, found[1], found[2] if len(found) > 2 else None)

    def taken(self, found: Found) -> say.Connections:
        return say.Connections(self.origin, tuple(found[1:]))

    def given(self, found: Found) -> say.Given:
        return say.Given(self.origin, found[1], found[2])

    def named(self, found: Found) -> tuple[Token, say.Item]:
        return (found[0], found[1])

    def use(self, found: Found) -> say.Use:
        return say.Use(self.origin, found[1], found[3], tuple(found[5:]))

    def end(self, found: Found) -> say.End:
        return say.End(self.origin, found[0])

    def interlock(self, found: Found) -> say.Interlock:
        return say.Interlock(self.origin, _names(found[1:]))

    def pair(self, found: Found) -> say.Opposing:
        return say.Opposing(self.origin, (found[1], found[3]))

    # ---- what is claimed -----------------------------------------------------------------

    def state(self, found: Found) -> Token:
        first, last = found[0], found[-1]
        if len(found) == 1 or first.line != last.line:
            return cast(Token, first)
        return Token("WORD", " ".join(found), first.line, first.column, last.end_column)

    def is_so(self, found: Found) -> say.IsSo:
        return say.IsSo(found[0], len(found) > 3, found[-1])

    def all_so(self, found: Found) -> say.Both:
        return say.Both(tuple(say.IsSo(name, False, found[-1]) for name in found[0]))

    def any_so(self, found: Found) -> say.Either:
        return say.Either(tuple(say.IsSo(name, False, found[-1]) for name in found[0]))

    def subjects(self, found: Found) -> tuple[Token, ...]:
        return _names(found)

    choice = subjects

    def deny(self, found: Found) -> say.Deny:
        return say.Deny(found[-1])

    def both(self, found: Found) -> say.Condition:
        parts = tuple(part for part in found if not isinstance(part, Token))
        return cast(say.Condition, parts[0]) if len(parts) == 1 else say.Both(parts)

    def either(self, found: Found) -> say.Condition:
        parts = tuple(part for part in found if not isinstance(part, Token))
        return cast(say.Condition, parts[0]) if len(parts) == 1 else say.Either(parts)

    def whenever(self, found: Found) -> say.Claim:
        return say.Claim("whenever", found[0], found[2])

    def only_while(self, found: Found) -> say.Claim:
        """`M2 is on only while M1 is on` says that M1 is on whenever M2 is."""
        return say.Claim("only while", found[2], found[0])

    def never(self, found: Found) -> say.Claim:
        return say.Claim("never", found[1])

    def always(self, found: Found) -> say.Claim:
        return say.Claim("always", found[1])

    def sometimes(self, found: Found) -> say.Claim:
        return say.Claim("sometimes", found[1])

    def never_so(self, found: Found) -> say.Claim:
        return say.Claim("never", say.IsSo(found[0], False, found[2]))

    def always_so(self, found: Found) -> say.Claim:
        return say.Claim("always", say.IsSo(found[0], False, found[2]))

    def can_be(self, found: Found) -> say.Claim:
        return say.Claim("sometimes", say.IsSo(found[0], False, found[2]))

    def apart(self, found: Found) -> say.Apart:
        return say.Apart(found[0], found[2])

    def proviso(self, found: Found) -> Token:
        return _one_blank(found[0])

    def order(self, found: Found) -> say.Order:
        return say.Order(found[0], found[2])

    def assume(self, found: Found) -> say.Assume:
        title = found[1] if isinstance(found[1], Token) else None
        _refuse_too_deep(found[-1], found[0])
        return say.Assume(self.origin, found[0], title, found[-1])

    def intent(self, found: Found) -> say.Intent:
        proviso = str(found[3]) if len(found) > 3 else ""
        _refuse_too_deep(found[2], found[1])
        return say.Intent(self.origin, found[1], found[2], proviso)

    # ---- what is accepted ----------------------------------------------------------------

    def rule(self, found: Found) -> say.Item:
        return (found[0],) if len(found) == 1 else (*found[0], found[1])

    def rule_on(self, found: Found) -> say.Item:
        return (*found[0], found[1])

    def about(self, found: Found) -> Token | say.WireName:
        if len(found) == 1:
            return cast(Token, found[0])
        number = found[1] if isinstance(found[1], Token) else None
        ends = found[-1] if not isinstance(found[-1], Token) else None
        return say.WireName(found[0], number, ends)

    def accept(self, found: Found) -> say.Accept:
        until = found[-1] if found[-1].type == "DATE" else None
        about: Sequence[Token | say.WireName] = found[3:-3] if until is not None else found[3:-1]
        return say.Accept(
            self.origin,
            found[1],
            tuple(thing for thing in about if isinstance(thing, Token)),
            tuple(thing for thing in about if isinstance(thing, say.WireName)),
            found[-3] if until is not None else found[-1],
            until,
        )


def _refuse_too_deep(claim: say.Claim | say.Apart | say.Order, token: Token) -> None:
    """Walked without recursion: what is refused here is what recursion could not walk."""
    if not isinstance(claim, say.Claim):
        return
    left: list[tuple[say.Condition, int]] = [(claim.condition, 1)]
    if claim.given is not None:
        left.append((claim.given, 1))
    while left:
        condition, depth = left.pop()
        if depth > DEEPEST_CONDITION:
            raise _TooDeep(token)
        if isinstance(condition, say.Deny):
            left.append((condition.inner, depth + 1))
        elif not isinstance(condition, say.IsSo):
            left += [(part, depth + 1) for part in condition.parts]
