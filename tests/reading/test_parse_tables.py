"""The stored parse tables, and what runs them, read exactly what lark reads by the grammar."""

from __future__ import annotations

import re
import subprocess
import sys
from functools import cache, partial
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from lark import Lark, Tree, UnexpectedCharacters, UnexpectedToken

from netcheck.reading import parse_tables
from netcheck.reading.parser import END, Parser, Refused, Tables
from netcheck.reading.syntax import logical_lines
from netcheck.reading.words import grammar_text

ROOT = Path(__file__).parents[2]
TEXTS = sorted(ROOT.glob("samples/**/*.panel"))


def plain(symbol: str) -> str:
    """Without the numbers that lark gives to the rules it makes for `*` and `+`."""
    return re.sub(r"(__\w+?_(?:star|plus))_\d+", r"\1", symbol)


def automaton(tables: Tables) -> dict[tuple[str, ...], dict[str, object]]:
    """What the tables say, told without their own numbering of states and rules.

    A state is named by the first shortest run of symbols that leads to it, so that equal
    automata are told alike whatever order lark met their states in.
    """
    names: dict[int, tuple[str, ...]] = {tables.start: ()}
    queue = list(names)
    while queue:
        state = queue.pop(0)
        for symbol, target in sorted(tables.states[state].items(), key=lambda one: plain(one[0])):
            if target >= 0 and target not in names:
                names[target] = (*names[state], plain(symbol))
                queue.append(target)

    def told(target: int) -> object:
        if target >= 0:
            return names[target]
        made, by, alone, kept = tables.rules[-1 - target]
        return plain(made), by, alone, kept

    return {
        name: {plain(symbol): told(target) for symbol, target in tables.states[state].items()}
        for state, name in names.items()
    }


def test_the_stored_tables_are_those_of_the_grammar_as_it_stands() -> None:
    stored = parse_tables.stored(grammar_text())
    assert stored is not None
    made = parse_tables.worked_out(grammar_text())
    assert list(made.terminals.items()) == list(stored.terminals.items())
    assert made.blanks == stored.blanks
    assert automaton(made) == automaton(stored)
    assert len(automaton(stored)) == len(stored.states) > 100


def test_tables_of_another_grammar_are_not_used() -> None:
    assert parse_tables.stored(grammar_text() + "\n// another remark\n") is None


# ---- held to lark ------------------------------------------------------------------------


class TreeMaker:
    """Takes every rule's children as lark's own trees do."""

    def __getattr__(self, rule: str) -> Any:
        return partial(Tree, rule)


@cache
def ours() -> Parser:
    return Parser(parse_tables.tables_of(grammar_text()), TreeMaker())


@cache
def larks() -> Lark:
    return parse_tables.by_lark(grammar_text())


def told(read: Any) -> object:
    """A tree or word as plain values: types, texts and places."""
    if isinstance(read, Tree):
        return read.data, [told(child) for child in read.children]
    return read.type, str(read), read.line, read.column, read.end_column


def by_ours(text: str) -> object:
    try:
        return told(ours().parse(text))
    except Refused as error:
        met = None if error.token is None else told(error.token)
        return "refused", met, error.line, error.column, error.expected


def by_larks(text: str) -> object:
    try:
        return told(larks().parse(text))
    except UnexpectedToken as error:
        met = None if error.token.type == END else told(error.token)
        return "refused", met, 0, 0, fitting(error.expected)
    except UnexpectedCharacters as error:
        return "refused", None, error.line, error.column, fitting(error.allowed)


def fitting(names: Any) -> frozenset[str]:
    """Lark has two names for the end, and blanks fit everywhere."""
    renamed = (END if name == "<END-OF-FILE>" else name for name in names)
    return frozenset(name for name in renamed if not name.startswith("__IGNORE"))


@cache
def statements() -> tuple[str, ...]:
    """Every statement of every sample, the malformed ones too."""
    found: dict[str, None] = {}
    for path in TEXTS:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
        found.update(dict.fromkeys(text for _, text in logical_lines(lines)))
    return tuple(found)


def test_every_statement_of_the_samples_reads_as_by_lark() -> None:
    """Or is refused at the same word, for want of the same ones."""
    refused = 0
    for text in statements():
        expected = by_larks(text)
        assert expected == by_ours(text)
        refused += expected[0] == "refused"  # type: ignore[index]
    assert refused > 20
    assert len(statements()) - refused > 1000


PIECES = st.sampled_from(
    ["", " ", "\n", ",", ";", ":", "(", ")", "-", "--", "+", "/", ".", '"', "<", ">", "0", "A", "a"]
    + [" and ", " not ", " is ", " on ", " 15 A ", " K1 ", "K1:13-14", "--201--", "ß", "panel", "V"]
)


@given(st.data())
def test_a_statement_spoilt_anywhere_reads_as_by_lark(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from(statements()))
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text)))
        until = data.draw(st.integers(at, min(at + 6, len(text))))
        text = text[:at] + data.draw(PIECES) + text[until:]
    assert by_larks(text) == by_ours(text)


@given(st.text(max_size=40))
def test_any_text_at_all_reads_as_by_lark(text: str) -> None:
    assert by_larks(text) == by_ours(text)


def test_lark_is_not_imported_to_read_a_text() -> None:
    program = (
        "import sys\nfrom netcheck.cli.main import run\n"
        "run(['review', 'samples/panels/greenhouse.panel', '--quiet'])\n"
        "print('lark' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, check=True, capture_output=True, text=True
    )
    assert "False" == run.stdout.split()[-1]
