"""All the statements one text comes to: includes followed, assemblies written out.

An assembly is text with names of its own.  `use ZONE as Z1` writes its statements
out once more under the prefix `Z1.`, with the settings given there put in.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

from lark import Token

from netcheck.finding import Mistake, Place
from netcheck.loading import CannotLoad, Loader
from netcheck.reading import statements as say
from netcheck.reading.syntax import read_statements
from netcheck.text import Source, Span

MOST_FILES = 500
DEEPEST_USE = 16
MOST_STATEMENTS = 2_000_000
"""Bounds on what includes and assemblies may come to, far above any panel of this world."""


@dataclass(frozen=True, slots=True)
class Scoped:
    """A statement, and the prefix that the names it declares get (`Z1.`, or nothing)."""

    prefix: str
    statement: say.Statement


@dataclass(slots=True)
class Gathered:
    statements: list[Scoped] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)
    sources: dict[str, Source] = field(default_factory=dict)
    connections: dict[tuple[str, str], str] = field(default_factory=dict)
    """(instance `Z1`, connection `FEED`) to the device that stands for it (`Z1.FEED`)."""
    assemblies: int = 0
    """How many assemblies are described: a text of nothing else is a library, not empty."""


@dataclass(slots=True)
class _Assembly:
    name: Token
    statement: say.Assembly
    body: list[say.Statement] = field(default_factory=list)
    givens: dict[str, say.Given] = field(default_factory=dict)
    connections: list[Token] = field(default_factory=list)


def gather(path: str, loader: Loader) -> Gathered:
    """Read `path` and all it includes.  Raises CannotLoad only for `path` itself."""
    gathered = Gathered()
    source = loader.load(path)
    _Gatherer(loader, gathered).file(source)
    return gathered


class _Gatherer:
    def __init__(self, loader: Loader, gathered: Gathered) -> None:
        self.loader = loader
        self.out = gathered
        self.open_files: list[str] = []
        self.assemblies: dict[str, _Assembly] = {}
        self.panel_prefix = ""
        self.full = False

    def mistake(self, span: Span, message: str, help: str = "", label: str = "") -> None:
        self.out.mistakes.append(Mistake(message, Place(span, label), help))

    # ---- files -------------------------------------------------------------------------

    def file(self, source: Source) -> None:
        self.out.sources[source.path] = source
        self.open_files.append(source.path)
        statements, mistakes = read_statements(source)
        self.out.mistakes.extend(mistakes)
        held: _Assembly | None = None
        for statement in statements:
            if held is not None:
                held = self._inside(held, statement)
            elif isinstance(statement, say.Assembly):
                held = self._open(statement)
            else:
                self._outside(statement)
        if held is not None:
            self.mistake(
                held.statement.origin.span(held.name),
                f"assembly {held.name} has no end",
                "write `end` after its last statement",
                "opened here",
            )
        self.open_files.pop()

    def _outside(self, statement: say.Statement) -> None:
        if isinstance(statement, say.Include):
            self._include(statement)
        elif isinstance(statement, say.Use):
            self._use(statement, self.panel_prefix, 0)
        elif isinstance(statement, say.End):
            span = statement.origin.span(statement.keyword)
            self.mistake(span, "`end` closes nothing", "there is no open assembly before it")
        elif isinstance(statement, (say.Connections, say.Given)):
            token = statement.names[0] if isinstance(statement, say.Connections) else statement.name
            self.mistake(
                statement.origin.span(token),
                "connections and settings belong to an assembly",
                "write them between `assembly` and `end`",
            )
        else:
            if isinstance(statement, say.Panel) and statement.name is not None:
                self.panel_prefix = f"{statement.name}."
            self._emit(self.panel_prefix, statement)

    def _include(self, statement: say.Include) -> None:
        span = statement.origin.span(statement.file)
        wanted = statement.file[1:-1]
        try:
            path = self.loader.resolve(wanted, statement.origin.path)
            if path in self.open_files:
                self.mistake(
                    span,
                    f"`{wanted}` includes itself",
                    "an include may not lead back to its own file",
                )
                return
            if path in self.out.sources:
                return
            if len(self.out.sources) >= MOST_FILES:
                self.mistake(span, f"more than {MOST_FILES} files are included")
                return
            source = self.loader.load(path)
        except CannotLoad as error:
            self.mistake(span, f"`{wanted}` cannot be included: {error.message}")
            return
        prefix, self.panel_prefix = self.panel_prefix, self.panel_prefix
        self.file(source)
        self.panel_prefix = prefix

    # ---- assemblies --------------------------------------------------------------------

    def _open(self, statement: say.Assembly) -> _Assembly:
        known = self.assemblies.get(statement.name)
        if known is not None:
            self.mistake(
                statement.origin.span(statement.name),
                f"assembly {statement.name} is described twice",
                f"the first is in line {known.statement.origin.span(known.name).line}",
            )
        return _Assembly(statement.name, statement)

    def _inside(self, held: _Assembly, statement: say.Statement) -> _Assembly | None:
        if isinstance(statement, say.End):
            self.assemblies.setdefault(str(held.name), held)
            self.out.assemblies += 1
            return None
        if isinstance(statement, say.Given):
            held.givens[str(statement.name)] = statement
        elif isinstance(statement, say.Connections):
            held.connections.extend(statement.names)
        elif isinstance(statement, (say.Assembly, say.Include, say.Panel)):
            word = {
                say.Assembly: "another assembly",
                say.Include: "an include",
                say.Panel: "a panel",
            }[type(statement)]
            token = (
                statement.file
                if isinstance(statement, say.Include)
                else statement.name or held.name
            )
            self.mistake(
                statement.origin.span(token),
                f"assembly {held.name} cannot hold {word}",
                "close it with `end` first",
            )
        else:
            held.body.append(statement)
        return held

    def _use(self, use: say.Use, prefix: str, depth: int) -> None:
        span = use.origin.span(use.assembly)
        assembly = self.assemblies.get(use.assembly)
        if assembly is None:
            near = difflib.get_close_matches(use.assembly, list(self.assemblies), 1)
            self.mistake(
                span,
                f"there is no assembly {use.assembly} above this line",
                f"did you mean `{near[0]}`?" if near else "describe it first, or include its file",
            )
            return
        if depth >= DEEPEST_USE:
            self.mistake(
                span,
                f"assembly {use.assembly} is used inside itself, or more than {DEEPEST_USE} deep",
            )
            return
        settings = self._settings(assembly, use)
        instance = f"{prefix}{use.name}"
        inner = f"{instance}."
        for name in assembly.connections:
            self.out.connections[instance, str(name)] = f"{inner}{name}"
            kind = Token("KIND", "terminal", line=name.line, column=name.column,
                         end_column=name.end_column)  # fmt: skip
            self._emit(inner, say.Device(assembly.statement.origin, kind, name, ()))
        for statement in assembly.body:
            if self.full:
                return
            if isinstance(statement, say.Use):
                self._use(statement, inner, depth + 1)
            else:
                self._emit(inner, _with_settings(statement, settings, self._missing))

    def _settings(self, assembly: _Assembly, use: say.Use) -> dict[str, say.Item]:
        settings = {name: given.value for name, given in assembly.givens.items()}
        for name, value in use.settings:
            if name not in settings:
                near = difflib.get_close_matches(name, list(settings), 1)
                self.mistake(
                    use.origin.span(name),
                    f"assembly {use.assembly} has no setting {name}",
                    f"did you mean `{near[0]}`?"
                    if near
                    else f"its settings: {', '.join(settings) or 'none'}",
                )
                continue
            settings[str(name)] = value
        return settings

    def _missing(self, origin: say.Origin, token: Token) -> None:
        self.mistake(
            origin.span(token),
            f"there is no setting `{token}` here",
            f"an assembly names its settings: `given {token[1:-1]} 5 A`",
        )

    def _emit(self, prefix: str, statement: say.Statement) -> None:
        if len(self.out.statements) >= MOST_STATEMENTS:
            if not self.full:
                self.full = True
                self.out.mistakes.append(
                    Mistake(
                        f"the description comes to more than {MOST_STATEMENTS:,} statements",
                        Place(Span(self.open_files[-1] if self.open_files else "", 1, 1, 2)),
                    )
                )
            return
        if prefix == self.panel_prefix:
            statement = _with_settings(statement, {}, self._missing)
        self.out.statements.append(Scoped(prefix, statement))


def _with_settings(
    statement: say.Statement,
    settings: dict[str, say.Item],
    missing: Callable[[say.Origin, Token], None],
) -> say.Statement:
    """The statement with `<POWER>` replaced by what the setting is."""
    if isinstance(statement, say.Chain):
        if not any(statement.own):
            return statement
        own = tuple(_facet(facet, settings, statement.origin, missing) for facet in statement.own)
        return replace(statement, own=own) if own != statement.own else statement
    if not isinstance(
        statement, (say.Device, say.Wire, say.WireKind, say.Cable, say.Circuit, say.Location)
    ):
        return statement
    if not any(token.type == "SETTING_NAME" for token in _tokens(statement.facets)):
        return statement
    facets = tuple(_facet(facet, settings, statement.origin, missing) for facet in statement.facets)
    return replace(statement, facets=facets)


def _tokens(facets: say.Facets) -> Iterator[Token]:
    for facet in facets:
        for item in facet:
            yield from item


def _facet(
    facet: say.Facet,
    settings: dict[str, say.Item],
    origin: say.Origin,
    missing: Callable[[say.Origin, Token], None],
) -> say.Facet:
    items: list[say.Item] = []
    for item in facet:
        tokens: list[Token] = []
        for token in item:
            if token.type != "SETTING_NAME":
                tokens.append(token)
            elif token[1:-1] in settings:
                tokens += [
                    token.update(type=value.type, value=value.value)
                    for value in settings[token[1:-1]]
                ]
            else:
                missing(origin, token)
        if tokens:
            items.append(tuple(tokens))
    return tuple(items)
