"""A project file read: TOML to settings, every key and value that does not fit told at its line.

`netcheck/model/project_settings.py` says what may stand in one.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from netcheck.finding import SEVERITY_ORDER, Family
from netcheck.model.panel import RuleChoice, Settings
from netcheck.model.project_settings import DUTIES, SHARED, ProjectSettings, Written
from netcheck.model.settings import CHOICES, with_setting
from netcheck.model.vocabulary import SETTINGS
from netcheck.reading import statements as say
from netcheck.reading.near import did_you_mean
from netcheck.reading.slots import COLOURS
from netcheck.reading.syntax import read_statements
from netcheck.reading.told import Told
from netcheck.reading.values import PhraseMistake
from netcheck.record import replace
from netcheck.text import Source, Span

TABLE = "tool", "netcheck"
"""The table that is read of a file that other tools share."""

WORDS = tuple(word for word in SETTINGS if word not in ("nameplate", *CHOICES))
"""Settings that a project file may say; a nameplate is one panel's."""
TABLES = ("rules", "families", "colours")
ON_OFF = "off", "on"
FAMILIES = tuple(family.value for family in Family)


def read(source: Source) -> ProjectSettings:
    """All that fits, and a mistake for each key and value that does not."""
    told = Told()
    reader = _Reader(source, told)
    try:
        document: Any = tomllib.loads(source.text.removeprefix("\ufeff").replace("\r\n", "\n"))
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        told.tell(_spot_in(source, str(error)), f"this is no TOML: {_reason(str(error))}")
        document = {}
    for name in TABLE if source.path.endswith(SHARED) else ():
        document = document.get(name, {}) if isinstance(document, dict) else {}
    if isinstance(document, dict):
        reader.read(document)
    return ProjectSettings(reader.settings, reader.said, tuple(told.mistakes))


class _Reader:
    def __init__(self, source: Source, told: Told) -> None:
        self.told = told
        self.settings = Settings()
        self.said: dict[str, Written] = {}
        self._path = source.path
        self._spans = _spans_of(source)

    def read(self, document: Mapping[str, Any]) -> None:
        tables: Mapping[str, Callable[[str, Any], None]] = {
            "rules": self._rule,
            "families": self._family,
            "colours": self._colour,
        }
        for key, value in document.items():
            word = re.sub("[-_ ]+", " ", key)
            if key in tables and isinstance(value, dict):
                for name, choice in value.items():
                    tables[key](name, choice)
            elif key in tables:
                self._tell(key, f"`{key}` is a table", f"write `[{key}]` and its entries below")
            elif word in WORDS:
                self._setting(key, word, value)
            else:
                known = [one.replace(" ", "-") for one in WORDS]
                self._unknown(key, "key", [*known, *TABLES])

    def _setting(self, key: str, word: str, value: object) -> None:
        example = SETTINGS[word][0].properties[0].example
        as_text = f'write it as in a panel\'s text: `{key} = "{example}"`'
        if not isinstance(value, str) or not value.strip() or not value.isprintable():
            self._tell(key, f"`{key}` takes a text", as_text)
            return
        reading = read_statements(Source(self._path, f"{word} {value}"))
        statement = reading.statements[0] if reading.statements else None
        if reading.mistakes or len(reading.statements) != 1 or not isinstance(
            statement, say.Setting
        ):  # fmt: skip
            self._tell(key, f"`{value}` cannot be read", as_text)
            return
        try:
            self.settings, reason = with_setting(self.settings, statement)
        except PhraseMistake as mistake:
            self._tell(key, mistake.message, mistake.help)
            return
        if reason:
            self._tell(key, "a project file gives no reasons", "write them as a remark, after `#`")
        self.said[word] = Written(value, self._span(key))
        chosen = (word, f"{word} {value}, as {self._path} has it")
        self.settings = replace(self.settings, chosen=(*self.settings.chosen, chosen))

    def _rule(self, name: str, choice: object) -> None:
        self._choice(" ".join(re.sub("[-_]", " ", name).split()), choice, "rules", name)

    def _family(self, name: str, choice: object) -> None:
        plain = " ".join(re.sub("[-_]", " ", name).split())
        if plain not in FAMILIES:
            self._unknown(name, "family", FAMILIES, "families")
            return
        self._choice(plain, choice, "families", name)

    def _choice(self, name: str, choice: object, table: str, key: str) -> None:
        known = (*ON_OFF, *(severity.value for severity in SEVERITY_ORDER))
        if choice not in known or not isinstance(choice, str):
            written = f"`{choice}`" if isinstance(choice, str) else "this"
            hint = f"write one of {', '.join(known)}, each in quotes"
            near = did_you_mean(choice, known, hint) if isinstance(choice, str) else hint
            self._tell(key, f"{written} is no choice for {table}", near, table)
            return
        made = RuleChoice(name, choice, self._span(key, table), table == "families")
        self.settings = replace(self.settings, rules=(*self.settings.rules, made))

    def _colour(self, duty: str, colours: object) -> None:
        if duty not in DUTIES:
            self._unknown(duty, "duty of a conductor", DUTIES, "colours")
            return
        listed = [colours] if isinstance(colours, str) else colours
        if not isinstance(listed, list) or not listed:
            example = f'`"{duty}" = ["black", "blue"]`'
            self._tell(duty, "this is no list of colours", f"write {example}", "colours")
            return
        for colour in listed:
            if not isinstance(colour, str) or any(
                one not in COLOURS for one in colour.split("/")
            ):  # fmt: skip
                hint = did_you_mean(str(colour), COLOURS, f"there are {', '.join(sorted(COLOURS))}")
                self._tell(duty, f"`{colour}` is no colour", hint, "colours")
                return
        made = (duty, tuple(str(colour) for colour in listed))
        self.settings = replace(self.settings, colours=(*self.settings.colours, made))

    def _unknown(self, key: str, what: str, known: Iterable[str], table: str = "") -> None:
        names = list(known)
        hint = did_you_mean(key, names, f"there are {', '.join(names)}")
        self._tell(key, f"no {what} is called `{key}`", hint, table)

    def _tell(self, key: str, message: str, help: str, table: str = "") -> None:
        self.told.tell(self._span(key, table), message, help)

    def _span(self, key: str, table: str = "") -> Span:
        """Where the key is written; else its table's heading; else the first line."""
        for known in ((table, key), ("", table or key)):
            if known in self._spans:
                return self._spans[known]
        return Span(self._path, 1, 1, 2)


# ---- places: tomllib tells none ------------------------------------------------------------------

_HEADING = re.compile(r"\s*\[\s*([^\[\]]+?)\s*\]")
_KEY = re.compile(r"""\s*("[^"]*"|'[^']*'|[\w.-]+)\s*=""")
_AT = re.compile(r"\(at line (\d+), column (\d+)\)")


def _spans_of(source: Source) -> Mapping[tuple[str, str], Span]:
    """Where each (table, key) is written; a table's own heading is ("", table)."""
    own = ".".join(TABLE)
    top = own if source.path.endswith(SHARED) else ""
    found: dict[tuple[str, str], Span] = {}
    table = ""
    for number, line in enumerate(source.lines, 1):
        if heading := _HEADING.match(line):
            table = heading[1].replace('"', "").replace("'", "")
            name = table.removeprefix(top).removeprefix(".")
            span = Span(source.path, number, heading.start(1) + 1, heading.end(1) + 1)
            if table.startswith(top):
                found.setdefault(("", name), span)
        elif (key := _KEY.match(line)) and table.startswith(top):
            name = table.removeprefix(top).removeprefix(".")
            span = Span(source.path, number, key.start(1) + 1, key.end(1) + 1)
            found.setdefault((name, key[1].strip("\"'")), span)
    return found


def _spot_in(source: Source, message: str) -> Span:
    at = _AT.search(message)
    line, column = (int(at[1]), int(at[2])) if at else (len(source.lines), 1)
    return Span(source.path, line, column, column + 1)


def _reason(message: str) -> str:
    told = _AT.sub("", message).replace("(at end of document)", "at its end").strip()
    return told[:1].lower() + told[1:]
