"""The grammar's parse tables, worked out once and brought along.

Lark takes about 0.1 s to work them out of the grammar's text, after as much again to be
imported; reading them takes two milliseconds.  They hold only for the very text they were
made from; with any other, lark is asked again.  Made by

    python -m netcheck.reading.parse_tables > grammar/panel.tables.json
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from netcheck.data import package_text
from netcheck.reading.parser import Tables

if TYPE_CHECKING:
    from lark import Lark

FILE = "panel.tables.json"


def tables_of(grammar: str) -> Tables:
    """How `grammar` is read."""
    found = stored(grammar)
    return worked_out(grammar) if found is None else found


def stored(grammar: str) -> Tables | None:
    """The tables brought along, if they are those of `grammar`."""
    try:
        kept: dict[str, Any] = json.loads(package_text("grammar", FILE))
    except FileNotFoundError:
        return None
    if kept.pop("grammar", None) != grammar:
        return None
    return Tables(**kept)


def worked_out(grammar: str) -> Tables:
    """The tables made from the grammar's text itself."""
    parser: Any = by_lark(grammar)
    table = parser.parser.parser._parse_table
    rules = {rule: number for number, rule in enumerate(dict.fromkeys(parser.rules))}
    numbers = {state: number for number, state in enumerate(table.states)}
    ignored = set(parser.parser.lexer_conf.ignore)
    terminals = {t.name: t.pattern.to_regexp() for t in _in_order(parser.terminals)}
    return Tables(
        terminals={name: how for name, how in terminals.items() if name not in ignored},
        blanks="|".join(terminals[name] for name in sorted(ignored)),
        states=tuple(
            {
                # Lark's actions are classes whose names only differ in their sense: 0 is to shift.
                symbol: -1 - rules[target] if target in rules else numbers[target]
                for symbol, (_, target) in actions.items()
            }
            for actions in table.states.values()
        ),
        rules=tuple(_rule(rule) for rule in rules),
        start=numbers[table.start_states["start"]],
        end=numbers[table.end_states["start"]],
    )


def by_lark(grammar: str) -> Lark:
    """Lark's own parser of `grammar`, which makes trees."""
    from lark import Lark

    return Lark(grammar, parser="lalr", lexer="contextual", maybe_placeholders=False)


def _in_order(terminals: list[Any]) -> list[Any]:
    """As lark tries them."""
    return sorted(
        terminals,
        key=lambda t: (-t.priority, -t.pattern.max_width, -len(t.pattern.value), t.name),
    )


def _rule(rule: Any) -> tuple[str, str, bool, str]:
    """A rule as `Tables` has it."""
    name = rule.alias or rule.origin.name
    kept = "".join(
        ("-" if symbol.filter_out else "+") if symbol.is_term else "*+"[symbol.name[0] != "_"]
        for symbol in rule.expansion
    )
    alone = bool(rule.options.expand1 and not rule.alias)
    nobodys = name.startswith("_") or (alone and kept.strip("-") == "+")
    return rule.origin.name, "" if nobodys else name, alone, kept


def written(grammar: str) -> str:
    """The tables as they are kept, one line of JSON."""
    tables = worked_out(grammar)
    fields = {name: getattr(tables, name) for name in Tables.__match_args__}
    return json.dumps({"grammar": grammar, **fields}, separators=(",", ":")) + "\n"


if __name__ == "__main__":
    from netcheck.reading.words import grammar_text

    print(written(grammar_text()), end="")
