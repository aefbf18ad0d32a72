"""The stored parse tables read exactly what the grammar reads."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from lark import UnexpectedInput
from lark.parsers.lalr_analysis import Shift

from netcheck.reading import parse_tables
from netcheck.reading.syntax import logical_lines
from netcheck.reading.words import grammar_text

ROOT = Path(__file__).parents[2]
TEXTS = sorted(ROOT.glob("samples/**/*.panel"))


def plain(text: str) -> str:
    """Without the numbers that lark gives to the rules it makes for `*` and `+`."""
    return re.sub(r"(__\w+?_(?:star|plus))_\d+", r"\1", text)


def _plainly(symbol: tuple[str, object]) -> str:
    return plain(symbol[0])


def automaton(parser: Any) -> dict[tuple[str, ...], dict[str, str]]:
    """What a parser does, told without its own numbering of states.

    A state is named by the first shortest run of symbols that leads to it, so that equal
    automata are told alike whatever order lark met their states in.
    """
    table = parser.parser.parser._parse_table
    names: dict[int, tuple[str, ...]] = {table.start_states["start"]: ()}
    queue = list(names)
    while queue:
        state = queue.pop(0)
        for symbol, (action, target) in sorted(table.states[state].items(), key=_plainly):
            if action is Shift and target not in names:
                names[target] = (*names[state], plain(symbol))
                queue.append(target)
    return {
        name: {
            plain(symbol): plain(str(names[target] if action is Shift else target))
            for symbol, (action, target) in table.states[state].items()
        }
        for state, name in names.items()
    }


def test_the_stored_tables_are_those_of_the_grammar_as_it_stands() -> None:
    kept = automaton(parse_tables.reader(grammar_text(), None))
    assert automaton(parse_tables.worked_out(grammar_text(), None)) == kept
    assert len(kept) > 100


def test_tables_of_another_grammar_are_not_used() -> None:
    other = grammar_text() + "\n// another remark\n"
    assert parse_tables.stored(grammar_text()) is not None
    assert parse_tables.stored(other) is None


def test_a_text_reads_the_same_by_stored_tables_and_by_the_grammar() -> None:
    """Every statement of every sample, malformed ones with the same refusal."""
    by_tables = parse_tables.reader(grammar_text(), None)
    by_grammar = parse_tables.worked_out(grammar_text(), None)
    read = 0
    refused = []
    for path in TEXTS:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
        for _, text in logical_lines(lines):
            try:
                expected = by_grammar.parse(text)
            except UnexpectedInput as refusal:
                where = refusal.line, refusal.column
                with pytest.raises(UnexpectedInput) as again:
                    by_tables.parse(text)
                refused.append((where, (again.value.line, again.value.column)))
            else:
                assert expected == by_tables.parse(text)
                read += 1
    assert [here for here, _ in refused] == [there for _, there in refused]
    assert read > 1000
    assert len(refused) > 20
