"""The grammar's parse tables, worked out once and brought along.

Lark takes about 0.1 s to work the tables out of the grammar's text, as long as it takes
to import lark and click together; reading them takes a tenth of that.  They hold only
for the very text and the version of lark they were made from; with any other, the
grammar is read again.  Made by

    python -m netcheck.reading.parse_tables > grammar/panel.tables.json
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

import lark
from lark import Lark, Transformer

from netcheck.data import package_text

FILE = "panel.tables.json"


def reader(grammar: str, transformer: Transformer[Any, Any] | None) -> Lark:
    """A parser of `grammar` that calls `transformer` as it goes, or makes trees without one."""
    tables = stored(grammar)
    if tables is None:
        return worked_out(grammar, transformer)
    made: Lark = Lark.__new__(Lark)._load(tables, transformer=transformer)
    return made


def mark(grammar: str) -> str:
    """What the tables must bear to be used: the grammar's digest and lark's version."""
    return f"{hashlib.sha256(grammar.encode()).hexdigest()} {lark.__version__}"


def stored(grammar: str) -> dict[str, Any] | None:
    """The tables brought along, if they are those of `grammar`."""
    try:
        text = package_text("grammar", FILE)
    except FileNotFoundError:
        return None
    # Looked at before the rest is read: tables of another grammar are not worth reading.
    if not text.startswith(f'{{"made from":"{mark(grammar)}"'):
        return None
    tables: dict[str, Any] = json.loads(text)
    # JSON knows no numbers as names; these three are numbered.
    table = tables["data"]["parser"]["parser"]
    table["states"] = {int(n): _numbered(actions) for n, actions in table["states"].items()}
    table["tokens"] = _numbered(table["tokens"])
    tables["memo"] = _numbered(tables["memo"])
    return tables


def _numbered(found: dict[str, Any]) -> dict[int, Any]:
    return {int(name): value for name, value in found.items()}


def worked_out(grammar: str, transformer: Transformer[Any, Any] | None) -> Lark:
    """The parser made from the grammar's text itself."""
    return Lark(
        grammar,
        parser="lalr",
        lexer="contextual",
        transformer=transformer,
        maybe_placeholders=False,
    )


def written(grammar: str) -> str:
    """The tables as they are kept, one line of JSON."""
    from lark.grammar import Rule
    from lark.lexer import TerminalDef

    data, memo = worked_out(grammar, None).memo_serialize([TerminalDef, Rule])
    kept = {"made from": mark(grammar), "data": data, "memo": memo}
    return json.dumps(kept, separators=(",", ":")) + "\n"


if __name__ == "__main__":
    from netcheck.reading.words import grammar_text

    print(written(grammar_text()), end="")
