"""The panel: everything a text describes, names resolved, nothing judged yet."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from netcheck.model.devices import Device, Mechanism, Part, Plain, SourcePart
from netcheck.model.wire_names import shared_numbers
from netcheck.model.wires import Cable, Place, Raceway, Wire
from netcheck.record import fresh, record
from netcheck.text import Span


@record
class Practice:
    """Whose rules and tables apply."""

    name: str = "NEC"
    edition: str = "2023"

    @property
    def iec(self) -> bool:
        return self.name == "IEC"

    def __str__(self) -> str:
        return f"{self.name} {self.edition}"


@record
class RuleChoice:
    """A rule or a family switched `off` or `on`, or given a severity of the user's; where."""

    name: str
    choice: str
    span: Span
    of_family: bool = False
    reason: str = ""


@record
class Settings:
    """What a panel says of itself as a whole, or a project file of all its panels.

    Temperatures in degC; None where nothing is said.
    """

    title: str = ""
    practice: Practice = Practice()
    practice_said: bool = False
    ambient_c: float | None = None
    numbers: str = ""
    terminals_c: float | None = None
    drop_limit: float | None = None
    bundled: int | None = None
    outside_c: float | None = None
    duty: str = ""
    nameplate: tuple[tuple[str, Plain], ...] = ()
    """What stands on the nameplate: the key and the value of each phrase."""
    span: Span | None = None
    """Where the nameplate is written."""
    rules: tuple[RuleChoice, ...] = ()
    """What is chosen of rules: by the project file first, so that a later one wins."""
    colours: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """The plant's own scheme: what a conductor does, and the colours it may have."""
    chosen: tuple[tuple[str, str], ...] = ()
    """By word what is not the default's: a setting in words, and on whose word."""


@record
class Is:
    """A mechanism in one of these positions, or a load on (`positions` empty)."""

    mechanism: str
    positions: frozenset[int]
    load: str = ""
    words: str = ""


@record
class Not:
    inner: Condition


@record
class All:
    parts: tuple[Condition, ...]


@record
class Any:
    parts: tuple[Condition, ...]


Condition = Is | Not | All | Any


@record
class Claim:
    """`form`: whenever or only while (condition holds whenever `given` does), never, always,
    sometimes."""

    form: str
    condition: Condition
    given: Condition | None = None


@record
class Intent:
    title: str
    claim: Claim
    proviso: str
    span: Span


@record
class Order:
    """One timer always runs out before another."""

    first: str
    second: str


@record
class Assumption:
    claim: Claim | Order
    span: Span
    words: str


@record
class Acceptance:
    rule: str
    devices: tuple[str, ...]
    wires: tuple[str, ...]
    reason: str
    until: str
    span: Span


@record
class Panel:
    """One text's whole description.  Terminals are named `K1:A1`, wires and parts numbered."""

    path: str
    settings: Settings
    devices: Mapping[str, Device]
    parts: tuple[Part, ...]
    sources: tuple[SourcePart, ...]
    mechanisms: Mapping[str, Mechanism]
    wires: tuple[Wire, ...]
    cables: Mapping[str, Cable] = fresh(factory=dict)
    places: Mapping[str, Place] = fresh(factory=dict)
    interlocks: tuple[tuple[str, ...], ...] = ()
    opposing: tuple[tuple[str, str], ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    intents: tuple[Intent, ...] = ()
    acceptances: tuple[Acceptance, ...] = ()
    chain_spans: Mapping[int, Span] = fresh(factory=dict)
    """Where each part (by index) is passed in a circuit line; the last mention."""
    raceways: Mapping[str, Raceway] = fresh(factory=dict)
    project_file: str = ""
    """The path of the project file its settings begin with, if there is one."""
    titles: Mapping[str, str] = fresh(factory=dict)
    """Every panel of the text: its name, empty for one without, and its title."""

    @cached_property
    def terminals(self) -> tuple[str, ...]:
        return tuple(name for device in self.devices.values() for name in device.terminals)

    @cached_property
    def wire_numbered(self) -> Mapping[int, Wire]:
        """Wires by their index, which is not their place where one was taken away."""
        return {wire.index: wire for wire in self.wires}

    @cached_property
    def wires_at(self) -> Mapping[str, tuple[Wire, ...]]:
        found: dict[str, list[Wire]] = {}
        for wire in self.wires:
            found.setdefault(wire.a, []).append(wire)
            if wire.b != wire.a:
                found.setdefault(wire.b, []).append(wire)
        return {name: tuple(wires) for name, wires in found.items()}

    @cached_property
    def parts_at(self) -> Mapping[str, tuple[Part, ...]]:
        found: dict[str, list[Part]] = {}
        for part in self.parts:
            found.setdefault(part.a, []).append(part)
            if part.b != part.a:
                found.setdefault(part.b, []).append(part)
        return {name: tuple(parts) for name, parts in found.items()}

    @cached_property
    def shared_numbers(self) -> frozenset[str]:
        return shared_numbers(self.wires)

    def wire_name(self, wire: Wire) -> str:
        """`wire 204`, with its ends where several wires bear the number."""
        return wire.full_label if wire.number in self.shared_numbers else wire.label

    def called(self, wire: Wire) -> str:
        """`204`, `204 S1:12 to S2:13` or `S1:12 to S2:13`: a wire as findings list it."""
        return self.wire_name(wire).removeprefix("wire ")
