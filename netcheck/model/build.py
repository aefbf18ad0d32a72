"""Statements to a panel: every name resolved, every mistake told at its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from netcheck.finding import Mistake
from netcheck.model.claims import ClaimBuilder
from netcheck.model.devices import Device
from netcheck.model.kinds import KINDS
from netcheck.model.maker import MARK_KEYS, Made, Maker, refuse_contradictions
from netcheck.model.names import NameMistake, Names
from netcheck.model.panel import Panel, Settings
from netcheck.model.project_settings import project_settings
from netcheck.model.scope import USUAL_PLACES, Scope, described_twice
from netcheck.model.settings import CHOICES, with_setting
from netcheck.model.vocabulary import LOCATION
from netcheck.model.wires import Place
from netcheck.model.wiring import WireBuilder
from netcheck.reading import statements as say
from netcheck.reading.phrases import Said
from netcheck.reading.project import Gathered, Scoped
from netcheck.reading.token import Token
from netcheck.reading.told import Told
from netcheck.reading.understanding import understand
from netcheck.reading.values import PhraseMistake
from netcheck.record import replace

NAMING = {
    "tied": "tied",
    "synchronised": "synchronised",
    "redundant_with": "redundant_with",
    "shows": "shows",
    "combination": "combination_by",
}
"""Phrases that name another device, and the key its name is kept under."""

S = TypeVar("S")


def build_panel(path: str, gathered: Gathered) -> tuple[Panel, list[Mistake]]:
    """The panel that the statements describe, and every mistake in them."""
    told = Told()
    panel = _Builder(path, gathered, told).build()
    if gathered.trial is not None:
        _Builder(path, gathered.trial, told).build()
    return panel, told.mistakes


class _Builder:
    def __init__(self, path: str, gathered: Gathered, told: Told) -> None:
        self.path = path
        self.made = Made()
        self.devices: dict[str, Device] = {}
        self.file = project_settings(gathered.project, told)
        self.settings = self.file.settings
        self.settings_said: set[str] = set()
        self.titles: dict[str, str] = {}
        self.naming: list[tuple[Scoped, str, str, Token]] = []
        names = Names(self.devices, self.made, gathered)
        self.scope = Scope(gathered, names, told)
        self.wiring = WireBuilder(self.scope)

    def build(self) -> Panel:
        """Settings and places first, then devices, then wires, then what is claimed of them."""
        statements = self.scope.gathered.statements
        wiring = self.wiring
        self._each(statements, say.Panel, self._panel)
        self._each(statements, say.Setting, self._setting)
        self._each(statements, say.Location, self._location)
        self._each(statements, say.Raceway, wiring.raceway)
        self._each(statements, say.WireKind, wiring.kind)
        self._each(statements, say.Cable, wiring.cable)
        self._each(statements, say.Device, self._device)
        self._resolve_names()
        self._each(statements, say.Wire, wiring.wire)
        for scoped in statements:
            self._take(scoped, say.Circuit, wiring.circuit)
            self._take(scoped, say.Chain, wiring.chain)
        self.scope.prefix = ""
        wiring.undrawn_wires()
        claims = ClaimBuilder(self.scope, self.made, wiring.wires)
        claims.read(statements)
        project = self.scope.gathered.project
        return Panel(
            self.path,
            self.settings,
            self.devices,
            tuple(self.made.parts),
            tuple(self.made.sources),
            self.made.mechanisms,
            tuple(wiring.wires),
            wiring.cables,
            self.scope.places,
            tuple(claims.interlocks),
            tuple(claims.opposing),
            tuple(claims.assumptions),
            tuple(claims.intents),
            tuple(claims.acceptances),
            wiring.chain_spans,
            wiring.raceways,
            project.path if project is not None else "",
            self.titles,
        )

    def _each(
        self, statements: Iterable[Scoped], kind: type[S], take: Callable[[Scoped, S], None]
    ) -> None:
        for scoped in statements:
            self._take(scoped, kind, take)

    def _take(self, scoped: Scoped, kind: type[S], take: Callable[[Scoped, S], None]) -> None:
        statement = scoped.statement
        if isinstance(statement, kind):
            self.scope.prefix = scoped.prefix
            try:
                take(scoped, statement)
            except PhraseMistake as error:
                self.scope.phrase_mistake(scoped.statement, error)

    # ---- what holds for the panel as a whole ---------------------------------------------

    def _panel(self, scoped: Scoped, statement: say.Panel) -> None:
        title = statement.title[1:-1]
        name = str(statement.name or "")
        if not self.titles:
            self.settings = replace(self.settings, title=title)
        elif not name or name in self.titles:
            self.scope.tell(
                statement.origin.span(statement.name or statement.keyword),
                "a second panel needs a name of its own",
                'write `panel B "title"`; its devices are then called B.K1 from elsewhere',
            )
        self.titles.setdefault(name, title)

    def _setting(self, scoped: Scoped, statement: say.Setting) -> None:
        word = str(statement.keyword)
        if not statement.items:
            return
        before = self.settings
        settings, reason = with_setting(before, statement)
        if word in self.settings_said:
            self.scope.tell(
                statement.origin.span(statement.keyword),
                f"{word} is said twice",
                "keep one; it holds for the whole description",
            )
            return
        if word not in CHOICES:
            self.settings_said.add(word)
        self.settings = settings
        self._overridden(statement, before, reason)

    def _overridden(self, statement: say.Setting, before: Settings, reason: str) -> None:
        """What is not as the project file has it needs a reason, and is told with it."""
        word = str(statement.keyword)
        known = self.file.said.get(word)
        if known is None or self.settings == before:
            return
        if reason:
            kept = [one for one in before.chosen if one[0] != word]
            words = f"{word} not `{known.text}`, as {known.span.path} has it: {reason}"
            self.settings = replace(self.settings, chosen=(*kept, (word, words)))
        else:
            self.scope.tell(
                statement.origin.span(statement.keyword),
                f"{word} is `{known.text}` in {known.span.path}, line {known.span.line}",
                f'say why it is not so here: `{word} ..., because "..."`; or take this out',
            )

    def _location(self, scoped: Scoped, statement: say.Location) -> None:
        name = " ".join(statement.words)
        span = statement.origin.span(statement.words[0])
        self.scope.gathered.unread.places.add(name)
        said = understand(statement.facets, LOCATION, f"location {name}")[0]
        side = said.value("side")
        if side is None and name not in USUAL_PLACES:
            raise PhraseMistake(
                statement.words[0],
                f"location {name} is inside the panel or outside it?",
                f"write `location {name}: outside`",
            )
        known = self.scope.places.get(name)
        if known is not None and known.span is not None:
            described_twice(self.scope, f"location {name}", span, known.span)
            return
        inside = name in USUAL_PLACES if side is None else side == "inside"
        self.scope.places[name] = Place(name, inside, said.number("ambient_c"), span)

    # ---- devices -------------------------------------------------------------------------

    def _device(self, scoped: Scoped, statement: say.Device) -> None:
        name = scoped.prefix + statement.name
        span = statement.origin.span(statement.name)
        if not self._is_new(name, statement):
            return
        kind = KINDS[str(statement.kind)]
        before = len(self.made.parts), len(self.made.sources), len(self.made.mechanisms)
        try:
            description, said = understood(statement)
            refuse_contradictions(said[0], f"{kind.words} {statement.name}")
            maker = Maker(name, said, self.made, iec=self.settings.practice.iec)
            kind.build(maker, said[0])
        except PhraseMistake:
            self.made.forget(*before)
            self.scope.gathered.unread.devices.add(str(statement.name))
            raise
        place = said[0].value("place")
        if place is not None:
            self.scope.known_place(str(place), statement.origin.span(said[0].tokens["place"]))
        for key in NAMING.keys() & said[0].properties.keys():
            self.naming.append((scoped, name, key, said[0].tokens[key]))
        marks = frozenset(MARK_KEYS[key] for key in said[0].properties if key in MARK_KEYS)
        whole = statement.origin.span(statement.kind).through(span)
        self.devices[name] = maker.finish(
            kind.words, description, span, whole, str(place or "panel"), marks
        )

    def _resolve_names(self) -> None:
        """Other devices that a device names, by their full names."""
        for scoped, name, key, token in self.naming:
            kept = NAMING[key]
            self.scope.prefix = scoped.prefix
            try:
                other = self.scope.names.device(str(self.devices[name].values[kept]), scoped.prefix)
            except NameMistake as error:
                self.scope.name_mistake(scoped.statement.origin.span(token), error)
                continue
            values = {**self.devices[name].values, kept: other.name}
            self.devices[name] = replace(self.devices[name], values=values)

    def _is_new(self, name: str, statement: say.Device) -> bool:
        span = statement.origin.span(statement.name)
        if "." in statement.name:
            raise PhraseMistake(
                statement.name,
                f"`{statement.name}` cannot be a device's own name",
                "a point leads into an assembly or another panel; leave it out",
            )
        known = self.devices.get(name)
        if known is not None:
            self.scope.tell(
                span,
                f"{name} is described twice",
                f"it is a {known.kind} in line {known.span.line}; give this one a name of its own",
            )
        used = self.scope.gathered.instances.get(name)
        if used is not None:
            self.scope.tell(
                span,
                f"{name} is already the name of an assembly in use",
                f"it is used in line {used.line}; give this device a name of its own",
            )
        return known is None and used is None


def understood(statement: say.Device) -> tuple[str, list[Said]]:
    """A device's description, and what else is said of it: of its own first, then by groups.

    Raises PhraseMistake.
    """
    kind = KINDS[str(statement.kind)]
    description, facets = _description(statement.facets)
    return description, understand(facets, kind.groups, f"{kind.words} {statement.name}")


def _description(facets: say.Facets) -> tuple[str, say.Facets]:
    """A device's description, the text right after its name, taken off its items."""
    if not facets or not facets[0] or not facets[0][0] or facets[0][0][0].type != "STRING":
        return "", facets
    first = facets[0][0]
    rest: say.Facet = ((first[1:],) if len(first) > 1 else ()) + facets[0][1:]
    return _text(first[0]), (rest, *facets[1:])


def _text(token: Token) -> str:
    return str(token[1:-1])
