"""Devices as electricity sees them: terminals, and the parts that stand between them."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from netcheck.record import fresh, record
from netcheck.text import Span


class Conducts(StrEnum):
    """How a part carries current: the one table of what counts as wire."""

    JOINS = "joins"
    """Counts as wire: terminal, bond, fuse, breaker pole, overload heater, ammeter, shunt."""
    CONTACT = "contact"
    """Counts as wire while its mechanism is in one of the part's closed positions."""
    LOAD = "load"
    """Turns current into heat, motion, light or a magnetic pull, or is an input that does."""
    ONE_WAY = "one way"
    """A diode: counts as wire from `a` to `b` on DC, either way on AC."""
    NOTHING = "nothing"
    """Suppressor, voltmeter, capacitor on DC."""
    BOND = "bond"
    """Counts as wire, but is no circuit conductor: grounding conductor, declared bond."""


class Drive(StrEnum):
    """What moves a mechanism."""

    HAND = "hand"
    PROCESS = "process"
    PROTECTION = "protection"
    SOURCE = "source"
    OUTPUT = "output"
    COIL = "coil"
    ON_DELAY = "on delay"
    OFF_DELAY = "off delay"
    LATCH = "latch"


@record
class Mechanism:
    """Something with positions, in the order it passes through them.

    `steps[i]` says how it is brought into position i (`press S1`); `coils` are the
    parts that move a relay: its coil, or for a latching one the set and reset coils.
    A position not in `resting` is only passed through.  `held` is the one it is kept in for
    good, where somebody asks what would be then.
    """

    name: str
    device: str
    drive: Drive
    positions: tuple[str, ...]
    steps: tuple[str, ...]
    resting: frozenset[int]
    start: frozenset[int]
    coils: tuple[int, ...] = ()
    held: int | None = None

    @property
    def moved_by_coil(self) -> bool:
        return self.drive in (Drive.COIL, Drive.ON_DELAY, Drive.OFF_DELAY, Drive.LATCH)


@record
class Rated:
    """What a contact may switch: amperes at a voltage and kind (`AC`, `DC`, `AC or DC`).

    `duty` is the utilisation category of IEC 60947 that it holds for: `AC-15`, `DC-13`.
    """

    current_a: float
    volts: float
    kind: str
    duty: str = ""


Plain = float | str | bool | tuple[str, ...]
"""A value as devices and parts keep it: a quantity in its dimension's unit, words as written."""


@record
class Load:
    """What a load is made for.

    Volts and their kind as rated, the band it works in as shares of that voltage;
    `kind` is empty for a load that works on AC and DC alike, or says no voltage;
    `current_a` at rating where it can be known; `works` says what it does
    (`coil`, `motor`, `heater`, `lamp`, `input`, `supply`...); `power_factor` is None where
    neither it nor both watts and voltamperes are said.
    """

    works: str
    volts: float | None = None
    kind: str = ""
    frequency_hz: float | None = None
    phases: int = 1
    current_a: float | None = None
    power_w: float | None = None
    power_va: float | None = None
    resistance_ohm: float | None = None
    polarised: bool = False
    low: float = 0.85
    high: float = 1.10
    moves_or_heats: bool = False
    continuous: bool = False
    power_factor: float | None = None


BUILT_IN = frozenset(
    ("common", "strap", "hold", "channel feed", "channel contact", "feedback feed", "reset feed")
)
"""Roles of what joins or parts the terminals of one device within it."""


@record
class Part:
    """One thing between two terminals of a device.  `index` is its place in the panel's parts."""

    index: int
    device: str
    role: str
    a: str
    b: str
    conducts: Conducts
    mechanism: str = ""
    closed: frozenset[int] = frozenset()
    load: Load | None = None
    volts: float | None = None
    kind: str = ""
    current_a: float | None = None
    spare: bool = False
    ratings: tuple[Rated, ...] = ()
    """For each voltage what a contact may switch, where that is said; the first is above."""
    least_a: float | None = None
    """The least current the contact or output needs."""
    channel: str = ""
    """The safety channel it belongs to, or its device does."""
    said: tuple[tuple[str, Plain], ...] = ()
    """What else is said of it, not of its device as a whole: each phrase's key and value."""

    @property
    def inside(self) -> bool:
        """Whether it is built into its device, so that nobody wires it."""
        return self.role in BUILT_IN

    @property
    def is_one_way_on_dc(self) -> bool:
        """Whether it conducts from `a` to `b` only, at least where DC comes."""
        return self.conducts is Conducts.ONE_WAY or self.role == "transistor"

    def value(self, key: str) -> Plain | None:
        return next((value for known, value in self.said if known == key), None)

    def number(self, key: str) -> float | None:
        value = self.value(key)
        return float(value) if isinstance(value, (int, float)) else None

    @property
    def is_fault(self) -> bool:
        """Whether it is nothing the text describes, but a fault that was asked for."""
        return "fault" in self.role

    @property
    def label(self) -> str:
        """`S1 11-12`, as a path names it."""
        if self.is_fault:
            return f"{self.role} at {self.a}"
        return f"{self.device} {from_to(self.a, self.b)}"


@record
class SourcePart:
    """A voltage between poles: each pole's potential against the source's own reference.

    `basis` names what the potentials add up with: `DC`, or one AC system.  A derived
    source (supply output, winding) has `inputs`, the load parts that must be energised;
    `mechanism` is then empty and otherwise says whether it is present.
    """

    device: str
    poles: Mapping[str, complex]
    basis: str
    kind: str
    frequency_hz: float | None = None
    mechanism: str = ""
    inputs: tuple[int, ...] = ()
    run: str = ""
    available_a: float | None = None
    current_a: float | None = None
    current_limited: bool = False
    class_2: bool = False
    fused_a: float | None = None
    grounded_pole: str = ""
    grounding: str = ""
    """`grounded`, `floating`, `watched`, or empty where nothing is declared."""
    volts: float = 0.0
    isolated: bool = True


@record
class Device:
    """One device: its terminals in order, its parts, the ways current may be traced through it."""

    name: str
    kind: str
    description: str
    span: Span
    statement: Span
    location: str
    terminals: tuple[str, ...]
    parts: tuple[int, ...]
    sources: tuple[int, ...]
    mechanisms: tuple[str, ...]
    values: Mapping[str, Plain] = fresh(factory=dict)
    marks: frozenset[str] = frozenset()

    def number(self, key: str) -> float | None:
        value = self.values.get(key)
        return float(value) if isinstance(value, (int, float)) else None


def mark_of(terminal: str) -> str:
    """`A1` of `K1:A1`."""
    return terminal.partition(":")[2]


def from_to(a: str, b: str) -> str:
    """`13-14` of `K1:13` and `K1:14`; `+ to Q1` where a dash would read as one of the marks."""
    marks = mark_of(a), mark_of(b)
    signed = any(sign in mark for mark in marks for sign in "+-")
    return (" to " if signed else "-").join(marks)


def device_of(terminal: str) -> str:
    """`K1` of `K1:A1`."""
    return terminal.partition(":")[0]


def is_inside(terminal: str) -> bool:
    """Whether a mark in brackets, which no text can write: no lead of a meter gets there."""
    return mark_of(terminal).startswith("(")
