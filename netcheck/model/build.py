"""Statements to a panel: every name resolved, every mistake told at its place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from lark import Token

from netcheck.finding import Mistake
from netcheck.finding import Place as At
from netcheck.model.claims import ClaimBuilder
from netcheck.model.devices import Device
from netcheck.model.kinds import KINDS
from netcheck.model.maker import MARKS, Made, Maker
from netcheck.model.names import NameMistake, Names, near
from netcheck.model.panel import Panel, Practice, Settings
from netcheck.model.vocabulary import CABLE, CIRCUIT, LOCATION, SETTINGS, WIRE, wire_properties
from netcheck.model.wires import Cable, Place, Wire, WireProperties
from netcheck.reading import statements as say
from netcheck.reading.phrases import PhraseMistake, Said, understand
from netcheck.reading.project import Gathered, Scoped
from netcheck.text import Span

USUAL_PLACES = {
    name: Place(name, inside=True, ambient_c=None) for name in ("panel", "door", "plate")
}
"""Places every panel has; all are inside it."""

PLAIN_WIRE = WireProperties()


@dataclass(slots=True)
class _Circuit:
    title: str = ""
    kind: str = ""
    properties: WireProperties = PLAIN_WIRE


@dataclass(slots=True)
class _Named:
    """Properties given to wires by number, or by number and both ends."""

    of_number: dict[tuple[str, str], WireProperties] = field(default_factory=dict)
    of_ends: dict[tuple[str, frozenset[str]], WireProperties] = field(default_factory=dict)
    spans: dict[tuple[str, frozenset[str] | str], Span] = field(default_factory=dict)


def build_panel(path: str, gathered: Gathered) -> tuple[Panel, list[Mistake]]:
    """The panel that the statements describe, and every mistake in them."""
    return _Builder(path, gathered).build()


class _Builder:
    def __init__(self, path: str, gathered: Gathered) -> None:
        self.path = path
        self.gathered = gathered
        self.mistakes: list[Mistake] = []
        self.made = Made()
        self.devices: dict[str, Device] = {}
        self.settings = Settings()
        self.settings_said: set[str] = set()
        self.places: dict[str, Place] = dict(USUAL_PLACES)
        self.wire_kinds: dict[str, WireProperties] = {}
        self.cables: dict[str, Cable] = {}
        self.named = _Named()
        self.wires: list[Wire] = []
        self.drawn: dict[tuple[str, frozenset[str]], Wire] = {}
        self.chain_spans: dict[int, Span] = {}
        self.names = Names(self.devices, self.made, gathered.connections)
        self.titled = False

    def build(self) -> tuple[Panel, list[Mistake]]:
        """Settings and places first, then devices, then wires, then what is claimed of them."""
        statements = self.gathered.statements
        self._each(statements, say.Panel, self._panel)
        self._each(statements, say.Setting, self._setting)
        self._each(statements, say.Location, self._location)
        self._each(statements, say.WireKind, self._wire_kind)
        self._each(statements, say.Cable, self._cable)
        self._each(statements, say.Device, self._device)
        self._each(statements, say.Wire, self._wire)
        self._circuits(statements)
        self._unused_wire_statements()
        claims = ClaimBuilder(self.names, self.made, self._mistake)
        claims.read(statements)
        panel = Panel(
            self.path,
            self.settings,
            self.devices,
            tuple(self.made.parts),
            tuple(self.made.sources),
            self.made.mechanisms,
            tuple(self.wires),
            self.cables,
            self.places,
            tuple(claims.interlocks),
            tuple(claims.opposing),
            tuple(claims.assumptions),
            tuple(claims.intents),
            tuple(claims.acceptances),
            self.chain_spans,
        )
        return panel, self.mistakes

    def _each(
        self,
        statements: list[Scoped],
        kind: type,
        take: Callable[[Scoped, object], None],
    ) -> None:
        for scoped in statements:
            if type(scoped.statement) is kind:
                try:
                    take(scoped, scoped.statement)
                except PhraseMistake as error:
                    self._phrase_mistake(scoped.statement, error)

    def _mistake(self, span: Span, message: str, help: str = "", label: str = "") -> None:
        self.mistakes.append(Mistake(message, At(span, label), help))

    def _phrase_mistake(self, statement: say.Statement, error: PhraseMistake) -> None:
        token = error.token
        if token.line is None:
            token = _first_token(statement, error.token)
        self._mistake(statement.origin.span(token), error.message, error.help)

    # ---- what holds for the panel as a whole ---------------------------------------------

    def _panel(self, scoped: Scoped, statement: object) -> None:
        assert isinstance(statement, say.Panel)
        if not self.titled:
            self.settings = replace(self.settings, title=statement.title[1:-1])
            self.titled = True
        elif statement.name is None:
            self._mistake(
                statement.origin.span(statement.keyword),
                "a second panel needs a name of its own",
                'write `panel B "title"`; its devices are then called B.K1 from elsewhere',
            )

    def _setting(self, scoped: Scoped, statement: object) -> None:
        assert isinstance(statement, say.Setting)
        word = str(statement.keyword)
        said = understand((statement.items,), SETTINGS[word], word)[0]
        key = next(iter(said.properties))
        if word in self.settings_said:
            self._mistake(
                statement.origin.span(statement.keyword),
                f"{word} is said twice",
                "keep one; it holds for the whole description",
            )
            return
        self.settings_said.add(word)
        value = said.value(key)
        if word == "practice":
            edition = "" if value == "yes" else str(value)
            usual = "60204-1" if key == "IEC" else "2023"
            practice = Practice(key, edition or usual)
            self.settings = replace(self.settings, practice=practice, practice_said=True)
        elif word == "numbers":
            self.settings = replace(self.settings, numbers=str(value))
        elif word == "bundling":
            self.settings = replace(self.settings, bundled=int(said.number(key) or 0))
        else:
            self.settings = replace(self.settings, **{key: said.number(key)})  # type: ignore[arg-type]

    def _location(self, scoped: Scoped, statement: object) -> None:
        assert isinstance(statement, say.Location)
        name = " ".join(statement.words)
        said = understand(statement.facets, LOCATION, f"location {name}")[0]
        side = said.value("side")
        span = statement.origin.span(statement.words[0])
        if side is None and name not in USUAL_PLACES:
            self._mistake(
                span,
                f"location {name} is inside the panel or outside it?",
                f"write `location {name}: outside`",
            )
        known = self.places.get(name)
        if known is not None and known.span is not None:
            self._mistake(
                span,
                f"location {name} is described twice",
                f"the first is in line {known.span.line}",
            )
        inside = name in USUAL_PLACES if side is None else side == "inside"
        self.places[name] = Place(name, inside, said.number("ambient_c"), span)

    def _wire_kind(self, scoped: Scoped, statement: object) -> None:
        assert isinstance(statement, say.WireKind)
        name = str(statement.name)
        said = understand(statement.facets, WIRE, f"wire kind {name}")[0]
        if name in self.wire_kinds:
            self._mistake(
                statement.origin.span(statement.name), f"wire kind {name} is described twice"
            )
        self.wire_kinds[name] = self._properties(said, statement)

    def _cable(self, scoped: Scoped, statement: object) -> None:
        assert isinstance(statement, say.Cable)
        name = scoped.prefix + statement.name
        said = understand(statement.facets, CABLE, f"cable {name}")[0]
        span = statement.origin.span(statement.name)
        if name in self.cables:
            self._mistake(span, f"cable {name} is described twice")
        title = said.value("title")
        self.cables[name] = Cable(
            name,
            str(title or ""),
            int(said.number("cores") or 0),
            self._properties(said, statement),
            span,
        )

    def _properties(
        self, said: Said, statement: say.Wire | say.WireKind | say.Cable | say.Circuit | say.Chain
    ) -> WireProperties:
        properties = wire_properties(said)
        if properties.place is not None:
            self._known_place(properties.place, statement.origin.span(said.tokens["place"]))
        return properties

    def _known_place(self, name: str, span: Span) -> None:
        if name not in self.places:
            self._mistake(
                span,
                f"there is no location {name}",
                near(name, self.places, f"describe it: `location {name}: outside`"),
            )

    # ---- devices -------------------------------------------------------------------------

    def _device(self, scoped: Scoped, statement: object) -> None:
        assert isinstance(statement, say.Device)
        name = scoped.prefix + statement.name
        span = statement.origin.span(statement.name)
        known = self.devices.get(name)
        if known is not None:
            self._mistake(
                span,
                f"{name} is described twice",
                f"it is a {known.kind} in line {known.span.line}; give this one a name of its own",
            )
            return
        kind = KINDS[str(statement.kind)]
        description, facets = _description(statement.facets)
        said = understand(facets, kind.groups, f"{kind.words} {name}")
        maker = Maker(name, said, self.made, iec=self.settings.practice.iec)
        kind.build(maker, said[0])  # type: ignore[operator]
        place = said[0].value("place")
        if place is not None:
            self._known_place(str(place), statement.origin.span(said[0].tokens["place"]))
        maker.keep(said[0], "terminals_c", "channel")
        marks = frozenset(mark for mark in MARKS if said[0].has(mark.replace(" ", "_")))
        whole = statement.origin.span(statement.kind).through(span)
        self.devices[name] = maker.finish(
            kind.words, description, span, whole, str(place or "panel"), marks
        )

    # ---- wires ---------------------------------------------------------------------------

    def _wire(self, scoped: Scoped, statement: object) -> None:
        assert isinstance(statement, say.Wire)
        number = str(statement.number)
        said = understand(statement.facets, WIRE, f"wire {number}")[0]
        properties = self._properties(said, statement)
        span = statement.origin.span(statement.number)
        if statement.ends is None:
            self.named.of_number[scoped.prefix, number] = properties
            self.named.spans[scoped.prefix + number, ""] = span
            return
        try:
            ends = frozenset(self.names.terminal(end, scoped.prefix) for end in statement.ends)
        except NameMistake as error:
            self._mistake(span, error.message, error.help)
            return
        self.named.of_ends[number, ends] = properties
        self.named.spans[number, ends] = span

    def _circuits(self, statements: list[Scoped]) -> None:
        circuits: dict[str, _Circuit] = {}
        for scoped in statements:
            statement = scoped.statement
            try:
                if isinstance(statement, say.Circuit):
                    circuits[scoped.prefix] = self._circuit(statement)
                elif isinstance(statement, say.Chain):
                    self._chain(scoped, statement, circuits.get(scoped.prefix, _Circuit()))
            except PhraseMistake as error:
                self._phrase_mistake(statement, error)

    def _circuit(self, statement: say.Circuit) -> _Circuit:
        said = understand(statement.facets, CIRCUIT, "this circuit")[0]
        kind = said.value("kind")
        if kind is not None and kind not in self.wire_kinds:
            self._mistake(
                statement.origin.span(said.tokens["kind"]),
                f"there is no wire kind {kind}",
                near(str(kind), self.wire_kinds, f"describe it: `wire kind {kind}: 18 AWG copper`"),
            )
        return _Circuit(
            str(said.value("title") or ""), str(kind or ""), self._properties(said, statement)
        )

    def _chain(self, scoped: Scoped, statement: say.Chain, circuit: _Circuit) -> None:
        """Each wire joins the terminal left before it to the one entered after it."""
        left: str | None = None
        first_span = statement.origin.span(statement.stops[0])
        for position, stop in enumerate(statement.stops):
            entered, leaving = self._stop(stop, scoped.prefix, statement.origin)
            if position and entered is not None and left is not None:
                token = statement.wires[position - 1]
                own = statement.own[position - 1]
                self._draw(scoped, statement, token, own, left, entered, circuit, first_span)
            left = leaving

    def _stop(self, stop: Token, prefix: str, origin: say.Origin) -> tuple[str | None, str | None]:
        try:
            if stop.type == "TERMINAL":
                terminal = self.names.terminal(stop, prefix)
                return terminal, terminal
            if stop.type == "NAME":
                device = self.names.device(stop, prefix)
                if len(device.terminals) == 1:
                    return device.terminals[0], device.terminals[0]
            entered, leaving, part = self.names.through(stop, prefix)
            self.chain_spans[part.index] = origin.span(stop)
            return entered, leaving
        except NameMistake as error:
            self._mistake(origin.span(stop), error.message, error.help)
            return None, None

    def _draw(
        self,
        scoped: Scoped,
        statement: say.Chain,
        token: Token,
        own: say.Facet,
        a: str,
        b: str,
        circuit: _Circuit,
        line: Span,
    ) -> None:
        number = token[2:-2] if len(token) > 2 else ""
        span = statement.origin.span(token)
        if a == b:
            self._mistake(span, f"this wire goes from {a} to {a} itself", "name its other end")
            return
        key = number, frozenset((a, b))
        twice = self.drawn.get(key)
        if twice is not None:
            self._mistake(
                span,
                f"{twice.full_label} is drawn twice",
                f"it stands in line {twice.span.line} already; draw it once",
            )
            return
        properties, cable = self._wire_properties(
            scoped.prefix, statement, number, own, a, b, circuit
        )
        if cable is None and "." in number:
            name = number.rpartition(".")[0]
            self._mistake(span, f"there is no cable {name}", near(name, self.cables, "describe it"))
        wire = Wire(
            len(self.wires), number, a, b, properties, span, line, circuit.title, circuit.kind,
            cable or "",
        )  # fmt: skip
        self.drawn[key] = wire
        self.wires.append(wire)

    def _wire_properties(
        self,
        prefix: str,
        statement: say.Chain,
        number: str,
        own: say.Facet,
        a: str,
        b: str,
        circuit: _Circuit,
    ) -> tuple[WireProperties, str | None]:
        """The wire's own word, then its number's, its cable's, its circuit's, its kind's."""
        found = PLAIN_WIRE
        if own:
            said = understand((own,), WIRE, f"wire {number}".strip())[0]
            found = self._properties(said, statement)
        ends = frozenset((a, b))
        for given in (
            self.named.of_ends.get((number, ends)),
            self.named.of_number.get((prefix, number)),
            self.named.of_number.get(("", number)),
        ):
            if given is not None:
                found = found.over(given)
        self.named.spans.pop((number, ends), None)
        self.named.spans.pop((prefix + number, ""), None)
        cable = self._cable_of(prefix, number)
        if cable is not None:
            found = found.over(cable.properties)
        found = found.over(circuit.properties)
        if circuit.kind in self.wire_kinds:
            found = found.over(self.wire_kinds[circuit.kind])
        if "default" in self.wire_kinds:
            found = found.over(self.wire_kinds["default"])
        return found, cable.name if cable is not None else None

    def _cable_of(self, prefix: str, number: str) -> Cable | None:
        name, dot, _ = number.rpartition(".")
        if not dot:
            return None
        return self.cables.get(prefix + name) or self.cables.get(name)

    def _unused_wire_statements(self) -> None:
        numbers = {wire.number for wire in self.wires}
        for (number, _), span in self.named.spans.items():
            self._mistake(
                span,
                f"no circuit draws this wire {number.rpartition('.')[2]}",
                near(number, numbers, "draw it in a circuit line first"),
            )


def _description(facets: say.Facets) -> tuple[str, say.Facets]:
    """A device's description, the text right after its name, taken off its items."""
    if not facets or not facets[0] or not facets[0][0] or facets[0][0][0].type != "STRING":
        return "", facets
    first = facets[0][0]
    rest: say.Facet = ((first[1:],) if len(first) > 1 else ()) + facets[0][1:]
    return str(first[0][1:-1]), (rest, *facets[1:])


def _first_token(statement: say.Statement, wanted: Token) -> Token:
    """The token of `statement` that says `wanted`, or the one the statement is about."""
    facets = getattr(statement, "facets", ())
    for facet in facets:
        for item in facet:
            for token in item:
                if wanted in (token, *token.split("-")):
                    return token
    for name in ("name", "keyword", "number"):
        token = getattr(statement, name, None)
        if isinstance(token, Token):
            return token
    return wanted
