"""One statement's text to what it says, by the parse tables.

The tables are lark's; what runs them is written here, because importing lark costs as much
as half a review.  The tests hold both to the same words and the same refusals.

The state of the parser says which terminals may come next.  They are tried in the tables'
order, and blanks are passed over before.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from netcheck.reading.token import Token
from netcheck.record import record

END = "$END"
"""What stands behind a statement's last word."""

Take = Callable[[list[Any]], Any]
Match = Callable[[str, int], "re.Match[str] | None"]


@record
class Tables:
    """How a grammar is read.

    `terminals` are regular expressions by name, in the order in which they are tried.  Of a
    state's symbols each has a number: that of the state to go to, or, below zero, that of the
    rule that ends there, counted from -1 down.  Of a rule there is the symbol it makes; the
    name of who takes its children, if anybody; whether an only child stands for itself; and
    for each child whether it is kept (`+`), dropped (`-`), or its own children stand in its
    place (`*`).
    """

    terminals: Mapping[str, str]
    blanks: str
    states: tuple[Mapping[str, int], ...]
    rules: tuple[tuple[str, str, bool, str], ...]
    start: int
    end: int


class Refused(Exception):
    """A statement that the grammar refuses: where, and which terminals would have fitted.

    `token` is what does not fit; without one, no word could be read at `line` and `column`,
    or, where these are 0, the statement ends too soon.
    """

    def __init__(
        self, expected: frozenset[str], token: Token | None = None, line: int = 0, column: int = 0
    ) -> None:
        super().__init__()
        self.expected = expected
        self.token = token
        self.line = line
        self.column = column


class Parser:
    """Reads statements, and hands what belongs together to `maker`, a method for each rule."""

    def __init__(self, tables: Tables, maker: object) -> None:
        self._tables = tables
        self._blanks = re.compile(f"(?:{tables.blanks})*").match
        self._rules = [
            (made, len(kept), _taker(kept, alone, getattr(maker, by) if by else list))
            for made, by, alone, kept in tables.rules
        ]
        self._tried: dict[int, list[tuple[str, Match]]] = {}

    def parse(self, text: str) -> Any:
        """What the start symbol's rule makes of the statement.  Raises Refused."""
        tried, blanks = self._tried, self._blanks
        states, values = [self._tables.start], list[Any]()
        at, line, line_start = 0, 1, 0
        while True:
            if blank := blanks(text, at):
                before, at = at, blank.end()
                if newlines := text.count("\n", before, at):
                    line += newlines
                    line_start = text.rindex("\n", before, at) + 1
            if at == len(text):
                self._end_rules(states, values, END, None)
                return values[0]
            state = states[-1]
            for type_, match in tried.get(state) or self._terminals(state):
                if found := match(text, at):
                    token = Token(type_, found[0], line, at - line_start + 1)
                    break
            else:
                raise self._unread(text, at, line, at - line_start + 1, state)
            at = found.end()
            states.append(self._end_rules(states, values, token.type, token))
            values.append(token)

    def _end_rules(
        self, states: list[int], values: list[Any], type_: str, token: Token | None
    ) -> int:
        """Ends rules for as long as `type_` ends one; the state it leads to then."""
        table = self._tables.states
        while True:
            action = table[states[-1]].get(type_)
            if action is None:
                raise Refused(frozenset(filter(str.isupper, table[states[-1]])), token)
            if action >= 0:
                return action
            made, size, take = self._rules[-1 - action]
            first = len(values) - size
            value = take(values[first:])
            values[first:] = [value]
            states[first + 1 :] = [table[states[first]][made]]
            if token is None and states[-1] == self._tables.end:
                return self._tables.end

    def _terminals(self, state: int) -> list[tuple[str, Match]]:
        """What is tried in a state, in its order."""
        wanted = self._tables.states[state]
        found = [(n, _match(p)) for n, p in self._tables.terminals.items() if n in wanted]
        self._tried[state] = found
        return found

    def _unread(self, text: str, at: int, line: int, column: int, state: int) -> Refused:
        """No terminal of this state: one of another state, or none at all."""
        expected = frozenset(name for name, _ in self._terminals(state)) or frozenset((END,))
        for name, pattern in self._tables.terminals.items():
            if found := _match(pattern)(text, at):
                return Refused(expected, Token(name, found[0], line, column))
        return Refused(expected, None, line, column)


@cache
def _match(pattern: str) -> Match:
    return re.compile(pattern).match


def _taker(kept: str, alone: bool, take: Take) -> Take:
    """Hands on the children that are kept."""
    whole = _unless_alone(take) if alone else take
    if "*" in kept:
        return lambda children: whole(_kept(kept, children))
    if "-" in kept:
        places = [place for place, how in enumerate(kept) if how == "+"]
        return lambda children: whole([children[place] for place in places])
    return whole


def _unless_alone(take: Take) -> Take:
    return lambda children: children[0] if len(children) == 1 else take(children)


def _kept(kept: str, children: list[Any]) -> list[Any]:
    found: list[Any] = []
    for how, child in zip(kept, children, strict=True):
        if how == "*":
            found += child
        elif how == "+":
            found.append(child)
    return found
