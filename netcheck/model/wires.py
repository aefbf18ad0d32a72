"""Wires, and what is known of them."""

from __future__ import annotations

from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import record, replace
from netcheck.text import Span


@record
class WireProperties:
    """What a text says of a wire; None where it says nothing.  In m, degC and V.

    `parallel` counts conductors that make up one; `carries_v` and `carries_kind` are what the
    text claims of the wire's voltage, for readers and for checks of it.
    """

    size: ConductorSize | None = None
    material: str | None = None
    insulation: str | None = None
    insulation_c: float | None = None
    colour: str | None = None
    length_m: float | None = None
    bundled: int | None = None
    voltage_v: float | None = None
    place: str | None = None
    ambient_c: float | None = None
    class_2: bool | None = None
    flexible: bool | None = None
    spare: bool | None = None
    cord: bool | None = None
    stranding: str | None = None
    ferrules: bool | None = None
    parallel: int | None = None
    raceway: str | None = None
    carries_v: float | None = None
    carries_kind: str | None = None
    live_with_main_off: bool | None = None
    shielded: bool | None = None
    separated: bool | None = None
    capacitance_f_per_km: float | None = None

    def over(self, default: WireProperties) -> WireProperties:
        """These properties, and `default`'s where these say nothing."""
        if self is PLAIN_WIRE:
            return default
        missing = {
            name: getattr(default, name)
            for name in self.__match_args__
            if getattr(self, name) is None
        }
        return replace(self, **missing)


PLAIN_WIRE = WireProperties()
"""A wire of which nothing is said."""


@record
class Wire:
    """One conductor between two terminals, as a circuit line draws it."""

    index: int
    number: str
    a: str
    b: str
    properties: WireProperties
    span: Span
    line: Span
    circuit: str
    kind: str
    cable: str = ""
    by_default: tuple[str, ...] = ()
    """The properties that nothing says of it but the panel-wide `wire kind default`."""

    @property
    def label(self) -> str:
        """`wire 204`, or its ends where it bears no number."""
        return f"wire {self.number}" if self.number else f"wire {self.a} to {self.b}"

    @property
    def full_label(self) -> str:
        return f"wire {self.number} {self.a} to {self.b}" if self.number else self.label


@record
class Cable:
    name: str
    description: str
    cores: int
    properties: WireProperties
    span: Span
    spare: frozenset[str] = frozenset()
    """Cores that nothing is to be connected to."""
    unread: frozenset[str] = frozenset()
    """Cores that stand in circuit lines with a mistake."""


@record
class Raceway:
    """What wires run through: conduit, wireway, duct, tray; in m and degC."""

    name: str
    description: str
    sort: str
    material: str
    size_m: float | None
    length_m: float | None
    place: str | None
    ambient_c: float | None
    span: Span

    @property
    def magnetic(self) -> bool:
        """Whether it is steel, which adds to the reactance of what runs through it."""
        return self.material in ("steel", "flexible-steel")


@record
class Place:
    """A location: inside the panel or not, and its ambient temperature where one is said."""

    name: str
    inside: bool
    ambient_c: float | None
    span: Span | None = None
