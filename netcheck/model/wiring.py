"""Wires: their kinds, cables and own statements, and the circuit lines that draw them."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.model.devices import Device
from netcheck.model.names import NameMistake, scopes
from netcheck.model.scope import Scope, described_twice
from netcheck.model.vocabulary import CABLE, CIRCUIT, RACEWAY, WIRE, wire_properties
from netcheck.model.wires import PLAIN_WIRE, Cable, Raceway, Wire, WireProperties
from netcheck.reading import statements as say
from netcheck.reading.near import did_you_mean
from netcheck.reading.phrases import Group, Said
from netcheck.reading.project import Scoped
from netcheck.reading.quantities import Quantity
from netcheck.reading.token import Token
from netcheck.reading.understanding import understand
from netcheck.reading.values import PhraseMistake
from netcheck.record import draft, fresh, record, replace
from netcheck.text import Span

DEFAULT_KIND = "default"
"""The wire kind that holds wherever no other does."""

Describes = say.Wire | say.WireKind | say.Cable | say.Circuit | say.Chain | say.Raceway


@draft
class _Circuit:
    title: str = ""
    kind: str = ""
    properties: WireProperties = PLAIN_WIRE
    """Its own, then its wire kind's, then the default kind's."""
    by_default: tuple[str, ...] = ()
    """Those that only the default kind says."""


@draft
class _Given:
    """What a statement says of the wires of one number, or of the one between two ends."""

    number: str
    properties: WireProperties
    span: Span
    drawn: bool = False


@draft
class WireBuilder:
    scope: Scope
    kinds: dict[str, WireProperties] = fresh(factory=dict)
    kind_spans: dict[str, Span] = fresh(factory=dict)
    cables: dict[str, Cable] = fresh(factory=dict)
    called: dict[str, list[str]] | None = None
    """Cables by their names without the scope's; made when a line first asks."""
    raceways: dict[str, Raceway] = fresh(factory=dict)
    wires: list[Wire] = fresh(factory=list)
    chain_spans: dict[int, Span] = fresh(factory=dict)
    of_number: dict[tuple[str, str], _Given] = fresh(factory=dict)
    of_ends: dict[tuple[str, frozenset[str]], _Given] = fresh(factory=dict)
    circuits: dict[tuple[str, str], _Circuit] = fresh(factory=dict)
    drawn: dict[tuple[str, frozenset[str]], Wire] = fresh(factory=dict)

    # ---- what is said of wires -----------------------------------------------------------

    def kind(self, scoped: Scoped, statement: say.WireKind) -> None:
        name = " ".join(statement.words)
        span = statement.origin.span(statement.words[0])
        self.scope.gathered.unread.wire_kinds.add(name)
        said = self._understood(statement, statement.facets, WIRE, f"wire kind {name}")
        if name in self.kinds:
            described_twice(self.scope, f"wire kind {name}", span, self.kind_spans[name])
            return
        self.kinds[name] = self._properties(said, statement)
        self.kind_spans[name] = span

    def _understood(
        self, statement: Describes, facets: say.Facets, groups: Sequence[Group], what: str
    ) -> Said:
        """A value that cannot be, such as a length of nought, is told and costs only itself."""

        def spared(mistake: PhraseMistake) -> None:
            self.scope.phrase_mistake(statement, mistake)

        return understand(facets, groups, what, spared)[0]

    def raceway(self, scoped: Scoped, statement: say.Raceway) -> None:
        name = str(statement.name)
        span = statement.origin.span(statement.name)
        self.scope.gathered.unread.raceways.add(name)
        said = self._understood(statement, statement.facets, RACEWAY, f"raceway {name}")
        sort = said.properties.get("sort")
        if sort is None:
            raise PhraseMistake(
                statement.name,
                f"raceway {name} does not say what it is",
                "say `steel conduit`, `PVC conduit`, `wireway`, `duct` or `tray`",
            )
        if name in self.raceways:
            described_twice(self.scope, f"raceway {name}", span, self.raceways[name].span)
            return
        place = said.value("place")
        if place is not None:
            self.scope.known_place(str(place), statement.origin.span(said.tokens["place"]))
        size = sort.get("size")
        self.raceways[name] = Raceway(
            name,
            str(said.value("title") or ""),
            str(sort["sort"]),
            str(sort.get("material", "")),
            size.value if isinstance(size, Quantity) else None,
            said.number("length_m"),
            str(place) if place is not None else None,
            said.number("ambient_c"),
            span,
        )

    def _known_raceway(self, name: str, span: Span) -> None:
        unread = self.scope.gathered.unread
        if name not in self.raceways and name not in unread.raceways and not unread.files:
            describe = f"describe it: `raceway {name} steel conduit`"
            self.scope.tell(
                span,
                f"there is no raceway {name}",
                did_you_mean(name, self.raceways, describe),
            )

    def cable(self, scoped: Scoped, statement: say.Cable) -> None:
        name = scoped.prefix + statement.name
        span = statement.origin.span(statement.name)
        unread = self.scope.gathered.unread.cables
        unread.add(str(statement.name))
        said = self._understood(statement, statement.facets, CABLE, f"cable {statement.name}")
        spare = _spare_cores(said, name)
        unread.discard(str(statement.name))
        if name in self.cables:
            described_twice(self.scope, f"cable {name}", span, self.cables[name].span)
            return
        title = said.value("title")
        self.cables[name] = Cable(
            name,
            str(title or ""),
            int(said.number("cores") or 0),
            self._properties(said, statement),
            span,
            spare,
        )

    def wire(self, scoped: Scoped, statement: say.Wire) -> None:
        number = str(statement.number)
        span = statement.origin.span(statement.number)
        said = self._understood(statement, statement.facets, WIRE, f"wire {number}")
        given = _Given(number, self._properties(said, statement), span)
        if statement.ends is None:
            known = self.of_number.setdefault((scoped.prefix, number), given)
        else:
            ends = self._ends(statement.ends, scoped.prefix, statement.origin)
            if ends is None:
                return
            known = self.of_ends.setdefault((number, ends), given)
        if known is not given:
            described_twice(self.scope, f"wire {number}", span, known.span)

    def _ends(
        self, ends: tuple[Token, Token], prefix: str, origin: say.Origin
    ) -> frozenset[str] | None:
        found = set()
        for end in ends:
            try:
                found.add(self.scope.names.terminal(end, prefix))
            except NameMistake as error:
                self.scope.name_mistake(origin.span(end), error)
                return None
        return frozenset(found)

    def _properties(self, said: Said, statement: Describes) -> WireProperties:
        properties = wire_properties(said)
        if properties.place is not None:
            span = statement.origin.span(said.tokens["place"])
            self.scope.known_place(properties.place, span)
        if properties.raceway is not None:
            self._known_raceway(properties.raceway, statement.origin.span(said.tokens["raceway"]))
        return properties

    # ---- circuit lines -------------------------------------------------------------------

    def circuit(self, scoped: Scoped, statement: say.Circuit) -> None:
        """What holds for the circuit lines that follow in the same file."""
        key = statement.origin.path, scoped.prefix
        self.circuits[key] = self._circuit_of()
        said = self._understood(statement, statement.facets, CIRCUIT, "this circuit")
        kind = said.value("kind")
        if kind is not None and kind not in self.kinds:
            self._no_such_kind(str(kind), statement.origin.span(said.tokens["kind"]))
        self.circuits[key] = self._circuit_of(
            str(said.value("title") or ""), str(kind or ""), self._properties(said, statement)
        )

    def _circuit_of(
        self, title: str = "", kind: str = "", properties: WireProperties = PLAIN_WIRE
    ) -> _Circuit:
        if kind in self.kinds:
            properties = properties.over(self.kinds[kind])
        default = self.kinds.get(DEFAULT_KIND, PLAIN_WIRE)
        if kind == DEFAULT_KIND or default is PLAIN_WIRE:
            return _Circuit(title, kind, properties)
        whole = properties.over(default)
        filled = tuple(
            name for name in whole.__match_args__
            if getattr(properties, name) is None and getattr(whole, name) is not None
        )  # fmt: skip
        return _Circuit(title, kind, whole, filled)

    def _no_such_kind(self, kind: str, span: Span) -> None:
        unread = self.scope.gathered.unread
        if kind not in unread.wire_kinds and not unread.files:
            self.scope.tell(
                span,
                f"there is no wire kind {kind}",
                did_you_mean(kind, self.kinds, f"describe it: `wire kind {kind}: 18 AWG copper`"),
            )

    def chain(self, scoped: Scoped, statement: say.Chain) -> None:
        """Each wire joins the terminal left before it to the one entered after it."""
        circuit = self.circuits.get((statement.origin.path, scoped.prefix)) or self._circuit_of()
        left: str | None = None
        for position, _ in enumerate(statement.stops):
            entered, leaving = self._stop(statement, position, scoped.prefix)
            if position:
                drawing = _Drawing(scoped.prefix, statement, position - 1, circuit)
                if entered is not None and left is not None:
                    self._draw(drawing, left, entered)
                else:
                    self.scope.gathered.unread.wires.add(drawing.number)
                    self._note_unread_core(drawing)
            left = leaving

    def _stop(
        self, statement: say.Chain, position: int, prefix: str
    ) -> tuple[str | None, str | None]:
        """The terminals by which a device is entered and left."""
        stop = statement.stops[position]
        names, span = self.scope.names, statement.origin.span(stop)
        try:
            if stop.type == "TERMINAL":
                terminal = names.terminal(stop, prefix)
                return terminal, terminal
            if stop.type == "NAME":
                device = self._bare(statement, position, prefix)
                if len(device.terminals) == 1:
                    return device.terminals[0], device.terminals[0]
            entered, leaving, part = names.through(stop, prefix)
            self.chain_spans[part.index] = span
            return entered, leaving
        except NameMistake as error:
            self.scope.name_mistake(span, error)
            return None, None

    def _bare(self, statement: say.Chain, position: int, prefix: str) -> Device:
        """The device of a bare name; `-- 201 --` was meant as a wire's number."""
        stop = statement.stops[position]
        try:
            return self.scope.names.device(stop, prefix)
        except NameMistake as error:
            beside = statement.wires[max(position - 1, 0) : position + 1]
            if stop[0].isdigit() and len(beside) == 2 and all(wire == "--" for wire in beside):
                raise NameMistake(
                    error.message, f"a wire's number is written without blanks: `--{stop}--`"
                ) from None
            raise

    def _draw(self, drawing: _Drawing, a: str, b: str) -> None:
        number, span = drawing.number, drawing.span
        if a == b:
            self.scope.tell(span, f"this wire goes from {a} to {a} itself", "name its other end")
            self.scope.gathered.unread.wires.add(number)
            return
        twice = self.drawn.get((number, frozenset((a, b))))
        if twice is not None:
            self.scope.tell(
                span,
                f"{twice.full_label} is drawn twice",
                f"it stands in line {twice.span.line} already; draw it once",
            )
            return
        said, cable = self._said_of(drawing, a, b)
        circuit, by_default = drawing.circuit, drawing.circuit.by_default
        if by_default and said is not PLAIN_WIRE:
            by_default = tuple(name for name in by_default if getattr(said, name) is None)
        wire = Wire(
            len(self.wires), number, a, b, said.over(circuit.properties), span, drawing.line,
            circuit.title, circuit.kind, cable, by_default,
        )  # fmt: skip
        self.drawn[number, frozenset((a, b))] = wire
        self.wires.append(wire)

    def _said_of(self, drawing: _Drawing, a: str, b: str) -> tuple[WireProperties, str]:
        """The wire's own word, then its number's, its cable's; its circuit's and its kind's
        come after.  With the name of its cable."""
        number = drawing.number
        found = self._own(drawing)
        given = self.of_ends.get((number, frozenset((a, b))))
        if given is not None:
            given.drawn = True
            found = found.over(given.properties)
        for prefix in scopes(drawing.prefix):
            given = self.of_number.get((prefix, number))
            if given is not None:
                given.drawn = True
                found = found.over(given.properties)
        cable = self._cable_of(drawing)
        if cable is not None:
            found = found.over(cable.properties)
        return found, cable.name if cable is not None else ""

    def _own(self, drawing: _Drawing) -> WireProperties:
        own = drawing.statement.own[drawing.position]
        if not own:
            return PLAIN_WIRE
        try:
            said = self._understood(
                drawing.statement, (own,), WIRE, f"wire {drawing.number}".strip()
            )
        except PhraseMistake as error:
            self.scope.phrase_mistake(drawing.statement, error)
            return PLAIN_WIRE
        return self._properties(said, drawing.statement)

    def _cable_of(self, drawing: _Drawing) -> Cable | None:
        """The cable of `--W1.3--`, and a word where it has no such core."""
        name, dot, core = drawing.number.rpartition(".")
        if not dot:
            return None
        cable = self._cable_called(name, drawing.prefix)
        if cable is not None:
            self._check_core(drawing, cable, core)
            return cable
        unread = self.scope.gathered.unread
        if name not in unread.cables and not unread.files:
            self.scope.tell(
                drawing.span,
                f"there is no cable {name}",
                did_you_mean(name, self.cables, f"describe it: `cable {name} 4 cores 16 AWG`"),
            )
        return None

    def _check_core(self, drawing: _Drawing, cable: Cable, core: str) -> None:
        if cable.cores and core.isdecimal() and not 0 < int(core[:9]) <= cable.cores:
            self.scope.tell(
                drawing.span,
                f"cable {cable.name} has {cable.cores} cores; there is no core {core}",
                f"its cores are 1 to {cable.cores}",
            )
        if core in cable.spare:
            self.scope.tell(
                drawing.span,
                f"core {core} of cable {cable.name} is said to be spare",
                "leave it out of the spare cores where it is in use",
            )

    def _note_unread_core(self, drawing: _Drawing) -> None:
        name, _, core = drawing.number.rpartition(".")
        cable = self._cable_called(name, drawing.prefix)
        if cable is not None:
            self.cables[cable.name] = replace(cable, unread=cable.unread | {core})

    def _cable_called(self, name: str, prefix: str) -> Cable | None:
        """The cable a name means: the scope's own, or else the only one of that name.

        A field cable belongs to both panels that it joins and is described in one of them.
        """
        for scope in scopes(prefix):
            if scope + name in self.cables:
                return self.cables[scope + name]
        if self.called is None:
            self.called = {}
            for known in self.cables:
                self.called.setdefault(known.rpartition(".")[2], []).append(known)
        own = self.called.get(name, ())
        return self.cables[own[0]] if len(own) == 1 else None

    def undrawn_wires(self) -> None:
        """Statements about wires that no circuit line draws."""
        unread = self.scope.gathered.unread
        numbers = {wire.number for wire in self.wires}
        for given in (*self.of_number.values(), *self.of_ends.values()):
            number = given.number
            told = number in unread.wires or unread.files
            if not given.drawn and not told:
                self.scope.tell(
                    given.span,
                    f"no circuit draws this wire {number}",
                    did_you_mean(number, numbers, "draw it in a circuit line"),
                )


def _spare_cores(said: Said, name: str) -> frozenset[str]:
    """Those that are said to be spare; PhraseMistake for one the cable does not have."""
    spare: list[str] = []
    listed, run = said.value("spare_cores"), said.properties.get("spare_run")
    if isinstance(listed, tuple):
        spare += listed
    if run is not None:
        first, last = run["first"], run["last"]
        assert isinstance(first, int)
        assert isinstance(last, int)
        if first >= last:
            raise PhraseMistake(
                said.tokens["spare_run"],
                f"cable {name}: {first} to {last} is no run of cores",
                "count upwards: `spare cores 5 to 7`",
            )
        spare += [str(core) for core in range(first, last + 1)]
    cores = int(said.number("cores") or 0)
    beyond = [core for core in spare if cores and core.isdecimal() and not 0 < int(core) <= cores]
    if beyond:
        raise PhraseMistake(
            said.tokens["spare_cores" if isinstance(listed, tuple) else "spare_run"],
            f"cable {name} has {cores} cores; there is no core {beyond[0]}",
            f"its cores are 1 to {cores}",
        )
    return frozenset(spare)


@record
class _Drawing:
    """One wire of a circuit line, before its ends are known."""

    prefix: str
    statement: say.Chain
    position: int
    circuit: _Circuit

    @property
    def number(self) -> str:
        token = self.statement.wires[self.position]
        return token[2:-2] if len(token) > 2 else ""

    @property
    def span(self) -> Span:
        return self.statement.origin.span(self.statement.wires[self.position])

    @property
    def line(self) -> Span:
        return self.statement.origin.span(self.statement.stops[0])
