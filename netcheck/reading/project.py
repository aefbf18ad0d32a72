"""All the statements one text comes to: includes followed, assemblies written out.

An assembly is text with names of its own.  `use ZONE as Z1` writes its statements
out once more under the prefix `Z1.`, with the settings given there put in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from netcheck.finding import Mistake
from netcheck.loading import CannotLoad, Loader
from netcheck.reading import statements as say
from netcheck.reading.near import did_you_mean
from netcheck.reading.syntax import read_statements
from netcheck.reading.token import Token
from netcheck.reading.told import Told
from netcheck.reading.unread import Unread
from netcheck.record import draft, fresh, record, replace
from netcheck.text import Source, Span

MOST_FILES = 500
DEEPEST_INCLUDE = 32
DEEPEST_USE = 16
MOST_WRITTEN_OUT = 50_000
"""Bounds on what includes and assemblies may come to, far above any panel of this world."""


NotInside = (
    say.Assembly | say.Include | say.Panel | say.Setting | say.Location | say.WireKind | say.Raceway
)
NOT_INSIDE = (
    say.Assembly, say.Include, say.Panel, say.Setting, say.Location, say.WireKind, say.Raceway
)  # fmt: skip
"""What an assembly cannot hold."""


@record
class Scoped:
    """A statement, and the prefix that the names it declares get (`Z1.`, or nothing)."""

    prefix: str
    statement: say.Statement


@draft
class Gathered:
    statements: list[Scoped] = fresh(factory=list)
    mistakes: list[Mistake] = fresh(factory=list)
    sources: dict[str, Source] = fresh(factory=dict)
    connections: dict[tuple[str, str], str] = fresh(factory=dict)
    """(instance `Z1`, connection `FEED`) to the device that stands for it (`Z1.FEED`)."""
    instances: dict[str, Span] = fresh(factory=dict)
    """Every use of an assembly by its full name, and where it is written."""
    assemblies: int = 0
    """How many assemblies are described: a text of nothing else is a library, not empty."""
    unread: Unread = fresh(factory=Unread)
    """What statements that could not be read would have named."""
    project: Source | None = None
    """The project file that holds for the text, if there is one."""
    trial: Gathered | None = None
    """The assemblies that nothing uses, written out once so that their mistakes are told."""


@draft
class _Assembly:
    name: str
    statement: say.Assembly
    body: list[say.Statement] = fresh(factory=list)
    givens: dict[str, say.Given] = fresh(factory=dict)
    connections: dict[str, Token] = fresh(factory=dict)


def gather(path: str, loader: Loader) -> Gathered:
    """Read `path` and all it includes.  Raises CannotLoad only for `path` itself."""
    told = Told()
    gathered = Gathered(mistakes=told.mistakes)
    source = loader.load(path)
    _find_project_file(path, loader, gathered, told)
    files = _Files(loader, gathered, told)
    files.read(source)
    gathered.assemblies = len(files.assemblies)
    writer = _Writer(gathered, told, files.assemblies)
    writer.write(files.statements)
    gathered.trial = writer.trial()
    return gathered


def _find_project_file(path: str, loader: Loader, gathered: Gathered, told: Told) -> None:
    try:
        gathered.project = loader.project_file(path)
    except CannotLoad as error:
        told.tell(Span(path, 1, 1, 2), f"its project file: {error.message}")
    if gathered.project is not None:
        gathered.sources[gathered.project.path] = gathered.project


def replace_device(gathered: Gathered, device: say.Device) -> None:
    """Put a statement in place of that of the device of its name, which may stand in one use of
    an assembly, or in one panel of several: `Z1.F1`.  Nothing where there is none."""
    prefix, dot, own = str(device.name).rpartition(".")
    writer = _Writer(gathered, Told(mistakes=gathered.mistakes), {})
    named = replace(device, name=device.name.saying(own, device.name.type))
    statement = _with_settings(named, {}, writer._missing)
    for place, one in enumerate(gathered.statements):
        was = one.statement
        if one.prefix == f"{prefix}{dot}" and isinstance(was, say.Device) and was.name == own:
            gathered.statements[place] = Scoped(one.prefix, statement)


# ---- files -------------------------------------------------------------------------------


class _Files:
    """Statements of all files in order, with the bodies of assemblies taken out."""

    def __init__(self, loader: Loader, gathered: Gathered, told: Told) -> None:
        self.loader = loader
        self.out = gathered
        self.told = told
        self.open: list[str] = []
        self.too_many = False
        self.panel_prefix = ""
        self.assemblies: dict[str, _Assembly] = {}
        self.statements: list[Scoped] = []

    def read(self, source: Source) -> None:
        self.out.sources[source.path] = source
        self.open.append(source.path)
        reading = read_statements(source)
        self.out.unread.add(reading.unread)
        for mistake in reading.mistakes:
            self.told.add(mistake)
        held: _Assembly | None = None
        for statement in reading.statements:
            if held is not None:
                held = self._inside(held, statement)
            elif isinstance(statement, say.Assembly):
                held = self._begin(statement)
            else:
                self._outside(statement)
        if held is not None:
            self.told.tell(
                held.statement.origin.span(held.statement.name),
                f"assembly {held.name} has no end",
                "write `end` after its last statement",
                "opened here",
            )
            self.out.unread.files = True
        self.open.pop()

    def _outside(self, statement: say.Statement) -> None:
        if isinstance(statement, say.Include):
            self._include(statement)
        elif isinstance(statement, say.End):
            span = statement.origin.span(statement.keyword)
            self.told.tell(span, "`end` closes nothing", "no assembly is open before it")
        elif isinstance(statement, (say.Connections, say.Given)):
            token = statement.names[0] if isinstance(statement, say.Connections) else statement.name
            self.told.tell(
                statement.origin.span(token),
                "connections and settings belong to an assembly",
                "write them between `assembly` and `end`",
            )
        else:
            if isinstance(statement, say.Panel) and statement.name is not None:
                self.panel_prefix = f"{statement.name}."
            self.statements.append(Scoped(self.panel_prefix, statement))

    def _include(self, statement: say.Include) -> None:
        span = statement.origin.span(statement.file)
        wanted = statement.file[1:-1]
        try:
            path = self.loader.resolve(wanted, statement.origin.path)
            if path in self.open:
                way = [*self.open[self.open.index(path) :], path]
                self.told.tell(
                    span,
                    f"`{wanted}` includes itself",
                    f"the way round: {', then '.join(way[:8])}",
                )
            elif path not in self.out.sources and self._may_open_more(span):
                prefix = self.panel_prefix
                self.read(self.loader.load(path))
                self.panel_prefix = prefix
        except CannotLoad as error:
            self.told.tell(
                span,
                f"`{wanted}` cannot be included: {error.message}",
                "write the way to it from this file's own folder: `parts/zone.panel`",
            )
            self.out.unread.files = True

    def _may_open_more(self, span: Span) -> bool:
        if len(self.open) > DEEPEST_INCLUDE:
            self.told.tell(
                span,
                f"files include one another more than {DEEPEST_INCLUDE} deep",
                "include the innermost ones from the first file",
            )
        elif len(self.out.sources) < MOST_FILES:
            return True
        elif not self.too_many:
            self.too_many = True
            self.told.tell(
                span,
                f"more than {MOST_FILES} files are included",
                "the others are not read; put several texts into one file",
            )
        self.out.unread.files = True
        return False

    def _begin(self, statement: say.Assembly) -> _Assembly:
        name = str(statement.name)
        known = self.assemblies.get(name)
        if known is not None:
            self.told.tell(
                statement.origin.span(statement.name),
                f"assembly {name} is described twice",
                f"the first is in {_where(known.statement, known.statement.name, statement)}",
            )
        return _Assembly(name, statement)

    def _inside(self, held: _Assembly, statement: say.Statement) -> _Assembly | None:
        if isinstance(statement, say.End):
            self.assemblies.setdefault(held.name, held)
            return None
        if isinstance(statement, say.Given):
            self._once(held.givens, statement.name, statement, f"setting {statement.name}")
            held.givens.setdefault(str(statement.name), statement)
        elif isinstance(statement, say.Connections):
            for name in statement.names:
                self._once(held.connections, name, statement, f"connection {name}")
                held.connections.setdefault(str(name), name)
        elif isinstance(statement, NOT_INSIDE):
            self._not_here(held, statement)
        else:
            held.body.append(statement)
        return held

    def _once(self, known: Iterable[str], name: Token, statement: say.Statement, what: str) -> None:
        if name in known:
            self.told.tell(statement.origin.span(name), f"{what} is named twice", "keep one")

    def _not_here(self, held: _Assembly, statement: NotInside) -> None:
        if isinstance(statement, say.Include):
            word, token = "an include", statement.file
        elif isinstance(statement, say.Assembly):
            word, token = "another assembly", statement.name
        elif isinstance(statement, (say.Location, say.WireKind)):
            kind = "location" if isinstance(statement, say.Location) else "wire kind"
            word, token = f"a {kind}: it holds everywhere", statement.words[0]
        else:
            word, token = f"`{statement.keyword}`: it holds everywhere", statement.keyword
        inner = isinstance(statement, say.Assembly)
        self.told.tell(
            statement.origin.span(token),
            f"assembly {held.name} cannot hold {word}",
            "close it with `end` first" if inner else "write it before the assembly",
        )


def _where(known: say.Statement, token: Token, from_statement: say.Statement) -> str:
    """`line 5`, with its file where that is another one."""
    span = known.origin.span(token)
    other = span.path != from_statement.origin.path
    return f"line {span.line} of {span.path}" if other else f"line {span.line}"


# ---- assemblies ----------------------------------------------------------------------------


class _Writer:
    """Writes out every use of an assembly.  Every use counts, also of an empty one."""

    def __init__(self, gathered: Gathered, told: Told, assemblies: dict[str, _Assembly]) -> None:
        self.out = gathered
        self.told = told
        self.assemblies = assemblies
        self.written = 0
        self.used: set[str] = set()
        self.open: list[str] = []

    def write(self, statements: Iterable[Scoped]) -> None:
        for scoped in statements:
            if isinstance(scoped.statement, say.Use):
                self._use(_with_settings(scoped.statement, {}, self._missing), scoped.prefix)
            else:
                statement = _with_settings(scoped.statement, {}, self._missing)
                self.out.statements.append(
                    scoped if statement is scoped.statement else Scoped(scoped.prefix, statement)
                )

    def trial(self) -> Gathered | None:
        """What nothing uses, read as if it stood where any name may be known."""
        unused = [one for name, one in self.assemblies.items() if name not in self.used]
        if not unused or self.out.unread.files:
            return None
        settings = [one for one in self.out.statements if isinstance(one.statement, say.Setting)]
        unread = Unread(files=True)
        made = Gathered(statements=settings, unread=unread, project=self.out.project)
        writer = _Writer(made, self.told, self.assemblies)
        writer.written = self.written
        for assembly in unused:
            usual = {name: given.value for name, given in assembly.givens.items()}
            writer._write_out(assembly, assembly.name, usual)
        return made

    def _use(self, use: say.Statement, prefix: str) -> None:
        assert isinstance(use, say.Use)
        assembly = self._assembly(use)
        instance = f"{prefix}{use.name}"
        if assembly is not None and self._is_new(use, instance):
            self._write_out(assembly, instance, self._settings(assembly, use))

    def _write_out(self, assembly: _Assembly, instance: str, settings: dict[str, say.Item]) -> None:
        self.used.add(assembly.name)
        inner = f"{instance}."
        for name, token in assembly.connections.items():
            self.out.connections[instance, name] = f"{inner}{name}"
            self._emit(inner, _connection(assembly, token))
        self.open.append(assembly.name)
        for statement in assembly.body:
            if self.written > MOST_WRITTEN_OUT:
                break
            made = _with_settings(statement, settings, self._missing)
            if isinstance(made, say.Use):
                self._use(made, inner)
            else:
                self._emit(inner, made)
        self.open.pop()

    def _assembly(self, use: say.Use) -> _Assembly | None:
        """The assembly to write out, or None and the reason told."""
        span = use.origin.span(use.assembly)
        name = str(use.assembly)
        assembly = self.assemblies.get(name)
        if assembly is None:
            self.out.unread.devices.add(str(use.name))
            if name not in self.out.unread.assemblies and not self.out.unread.files:
                self.told.tell(
                    span,
                    f"there is no assembly {name}",
                    did_you_mean(name, self.assemblies, "describe it, or include its file"),
                )
            return None
        if name in self.open:
            way = [*self.open[self.open.index(name) :], name]
            self.told.tell(
                span, f"assembly {name} uses itself", f"the way round: {', then '.join(way)}"
            )
            return None
        if not self._may_write_more(span):
            return None
        if len(self.open) >= DEEPEST_USE:
            self.out.unread.files = True
            self.told.tell(
                span,
                f"assemblies use one another more than {DEEPEST_USE} deep",
                "write the innermost ones out by hand",
            )
            return None
        return assembly

    def _may_write_more(self, span: Span) -> bool:
        self.written += 1
        if self.written == MOST_WRITTEN_OUT + 1:
            self.told.tell(
                span,
                f"assemblies come to more than {MOST_WRITTEN_OUT:,} statements",
                "the rest is not read; use assemblies inside one another less often",
            )
            self.out.unread.files = True
        return self.written <= MOST_WRITTEN_OUT

    def _is_new(self, use: say.Use, instance: str) -> bool:
        span = use.origin.span(use.name)
        known = self.out.instances.setdefault(instance, span)
        if known is span:
            return True
        self.told.tell(
            span,
            f"{use.name} is used twice as a name",
            f"the first is in line {known.line}; give this use a name of its own",
        )
        return False

    def _settings(self, assembly: _Assembly, use: say.Use) -> dict[str, say.Item]:
        settings = {name: given.value for name, given in assembly.givens.items()}
        said: set[str] = set()
        for name, value in use.settings:
            if name not in settings:
                has = f"its settings: {', '.join(settings) or 'none'}"
                self.told.tell(
                    use.origin.span(name),
                    f"assembly {assembly.name} has no setting {name}",
                    did_you_mean(name, settings, has),
                )
            elif name in said:
                self.told.tell(use.origin.span(name), f"setting {name} is given twice", "keep one")
            else:
                settings[str(name)] = value
                said.add(str(name))
        return settings

    def _missing(self, origin: say.Origin, token: Token) -> None:
        if token.type == "WIRE":
            self.told.tell(
                origin.span(token),
                f"`{token}` comes to no wire number here",
                "an assembly names its settings, here a number or a name: `given ROW 3`",
            )
            return
        self.told.tell(
            origin.span(token),
            f"there is no setting `{token}` here",
            f"an assembly names its settings: `given {token[1:-1]} 5 A`",
        )

    def _emit(self, prefix: str, statement: say.Statement) -> None:
        if self._may_write_more(statement.origin.start):
            self.out.statements.append(Scoped(prefix, statement))


def _connection(assembly: _Assembly, name: Token) -> say.Device:
    """A connection is a terminal of its own, joined inside and out."""
    kind = name.saying("terminal", "KIND")
    return say.Device(assembly.statement.origin, kind, name, ())


# ---- settings ------------------------------------------------------------------------------

Missing = Callable[[say.Origin, Token], None]

_IN_TEXT = r"<([^\W_a-zß-öø-ÿ]\w*)>"
_WIRE_NUMBER = r"[\w.+-]+"


def _with_settings(
    statement: say.Statement, settings: dict[str, say.Item], missing: Missing
) -> say.Statement:
    """The statement with `<POWER>` replaced by what the setting is."""
    if isinstance(statement, say.Chain):
        if any("<" in wire for wire in statement.wires):
            wires = (_wire(one, settings, statement.origin, missing) for one in statement.wires)
            statement = replace(statement, wires=tuple(wires))
        if not any(statement.own) or not _any_setting(statement.own):
            return statement
        own = tuple(_facet(facet, settings, statement.origin, missing) for facet in statement.own)
        return replace(statement, own=own)
    if isinstance(statement, say.Use):
        if not _any_setting((tuple(value for _, value in statement.settings),)):
            return statement
        given = tuple(
            (name, _item(value, settings, statement.origin, missing))
            for name, value in statement.settings
        )
        return replace(statement, settings=given)
    if isinstance(statement, say.Setting):
        if _any_setting((statement.items,)):
            _facet(statement.items, {}, statement.origin, missing)
        return statement
    if not isinstance(
        statement,
        (say.Device, say.Wire, say.WireKind, say.Cable, say.Circuit, say.Location, say.Raceway),
    ):
        return statement
    if not _any_setting(statement.facets):
        return statement
    facets = tuple(_facet(facet, settings, statement.origin, missing) for facet in statement.facets)
    return replace(statement, facets=facets)


def _any_setting(facets: say.Facets) -> bool:
    return any(
        token.type == "SETTING_NAME" or (token.type == "STRING" and "<" in token)
        for token in _tokens(facets)
    )


def _tokens(facets: say.Facets) -> Iterator[Token]:
    for facet in facets:
        for item in facet:
            yield from item


def _facet(
    facet: say.Facet, settings: dict[str, say.Item], origin: say.Origin, missing: Missing
) -> say.Facet:
    items = (_item(item, settings, origin, missing) for item in facet)
    return tuple(item for item in items if item)


def _filled(text: str, settings: dict[str, say.Item]) -> str:
    """A text with the settings in it put in; what is no setting stands as it is written."""
    return re.sub(
        _IN_TEXT,
        lambda found: " ".join(settings[found[1]]) if found[1] in settings else found[0],
        text,
    )


def _wire(
    wire: Token, settings: dict[str, say.Item], origin: say.Origin, missing: Missing
) -> Token:
    """`--3<ROW>1--` with the number of the row put in."""
    if "<" not in wire:
        return wire
    filled = _filled(wire, settings)
    if not re.fullmatch(_WIRE_NUMBER, filled[2:-2]):
        missing(origin, wire)
        return wire.saying("--")
    return wire.saying(filled)


def _item(
    item: say.Item, settings: dict[str, say.Item], origin: say.Origin, missing: Missing
) -> say.Item:
    """A setting's own tokens, at the place where it stands: a mistake in it is told there."""
    tokens: list[Token] = []
    for token in item:
        if token.type == "STRING" and "<" in token:
            tokens.append(token.saying(_filled(token, settings)))
        elif token.type != "SETTING_NAME":
            tokens.append(token)
        elif token[1:-1] in settings:
            tokens += [token.saying(value.value, value.type) for value in settings[token[1:-1]]]
        else:
            missing(origin, token)
    return tuple(tokens)
