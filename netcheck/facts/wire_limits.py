"""How each wire is made and laid, and the current it may carry there.

Insulation, terminals and surroundings each have their say (`tables/ampacity.py`).  What
the text does not say of terminals and ambient follows from `model/defaults.py` and is
named in `assumed`; a size, metal or insulation it does not say leaves the wire unchecked.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.conductor_company import Company, ConductorCompany
from netcheck.facts.wire_groups import from_default, not_said
from netcheck.model.defaults import TERMINALS_LARGE_C, TERMINALS_SMALL_C, ambient_c
from netcheck.model.devices import device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import record, replace

if TYPE_CHECKING:
    from netcheck.tables.conditions import Conditions
    from netcheck.tables.lookup import CurrentLimit

    _Carried = tuple[ConductorSize, Conditions, Conditions, CurrentLimit, CurrentLimit, str]

Laid = tuple[float, float, float, str, int | None, bool, str, int, bool]
"""Insulation, terminals and ambient in degC, metal, conductors together, inside, IEC method,
conductors in parallel, a flexible cord or not."""
CORDS = frozenset(("SOOW", "SJOOW", "SOW"))

SMALL_CIRCUIT_A = 100
LARGEST_SMALL_MM2 = 42.5
"""1 AWG: unmarked terminals for larger conductors are good for 75 degC (NEC 110.14(C)(1))."""
PLAIN_AMBIENT_C = 30.0
"""The ambient for which table 310.16 holds uncorrected."""


@record
class WireLimit:
    """One wire's size and conditions, and the currents it may carry.

    `continuous` is without correction for ambient and company: what 125 % of continuous
    loads is held against (NEC 210.19(A)(1)); `steady` is with them.
    """

    wire: Wire
    size: ConductorSize
    conditions: Conditions
    plain: Conditions
    """The same without correction."""
    steady: CurrentLimit
    continuous: CurrentLimit
    only_above: str
    """Where no table has the wire as it lies: why, and the limits are those inside a panel,
    which it cannot exceed outside.  More is too much; less is not checked."""
    assumed: tuple[str, ...]
    company: Company | None = None
    """With how many others it lies together, where that was counted and not said."""

    @property
    def material(self) -> str:
        return self.conditions.material


class WireLimits:
    """Limits by wire; worked out when asked for."""

    def __init__(self, panel: Panel, company: Mapping[int, Company]) -> None:
        self._panel = panel
        self._iec = panel.settings.practice.iec
        self._company = company
        self._wires: dict[tuple[int, bool], WireLimit | str] = {}
        self._carried: dict[tuple[str, Laid], _Carried | str] = {}
        self._terminals: dict[tuple[str, bool, bool], tuple[float, str]] = {}
        self._places: dict[str, tuple[bool, float]] = {}

    def of(self, wire: Wire, needed_a: float = 0.0) -> WireLimit | str:
        """What a wire may carry, or what is missing to say it.

        `needed_a` stands for the rating of devices that say none: terminals of more than
        100 A are good for more heat (NEC 110.14(C)(1)).
        """
        key = wire.index, needed_a > SMALL_CIRCUIT_A
        if key not in self._wires:
            self._wires[key] = self._work_out(wire, key[1])
        return self._wires[key]

    def is_inside(self, wire: Wire) -> bool:
        """Whether a wire stays inside the panel."""
        return all(self._place(place)[0] for place in self._surroundings(wire))

    def _work_out(self, wire: Wire, large: bool) -> WireLimit | str:
        properties = wire.properties
        size, material, insulation_c = (
            properties.size, properties.material, properties.insulation_c,
        )  # fmt: skip
        if size is None or material is None or insulation_c is None:
            said = (("size", size), ("metal", material), ("insulation temperature", insulation_c))
            return not_said([word for word, value in said if value is None])
        thick = size.area_mm2 > LARGEST_SMALL_MM2
        around = [self._place(place) for place in self._surroundings(wire)]
        terminals = [self._terminal(device_of(end), large, thick) for end in (wire.a, wire.b)]
        laid = (
            insulation_c,
            min(rated_c for rated_c, _ in terminals),
            max(ambient_c for _, ambient_c in around)
            if properties.ambient_c is None
            else properties.ambient_c,
            material,
            self._together(wire),
            all(inside for inside, _ in around),
            "B2" if wire.cable else "B1",
            properties.parallel or 1,
            bool(properties.cord) or properties.insulation in CORDS,
        )
        key = size.text, laid
        if key not in self._carried:
            self._carried[key] = _carried(size, laid, self._iec)
        carried = self._carried[key]
        if isinstance(carried, str):
            return carried
        assumed = tuple(dict.fromkeys(words for _, words in terminals if words))
        if self._iec:
            assumed = (f"installation method {laid[6]}",)
        assumed += from_default(wire, "size", "material", "insulation_c")
        counted = wire.properties.bundled is None
        company = self._company.get(wire.index) if counted else None
        return WireLimit(wire, *carried, assumed, company)

    def _surroundings(self, wire: Wire) -> tuple[str, ...]:
        """Where a wire runs: at the place it names, else at the places of its two devices."""
        if wire.properties.place is not None:
            return (wire.properties.place,)
        devices = self._panel.devices
        return devices[device_of(wire.a)].location, devices[device_of(wire.b)].location

    def _place(self, name: str) -> tuple[bool, float]:
        """Whether a place is inside the panel, and its ambient temperature."""
        if name not in self._places:
            known = self._panel.places.get(name)
            inside = known is None or known.inside
            self._places[name] = inside, ambient_c(self._panel, name)
        return self._places[name]

    def _together(self, wire: Wire) -> int | None:
        """Conductors that carry current and lie together: as said, or as they are laid."""
        if wire.properties.bundled is not None:
            return wire.properties.bundled
        company = self._company.get(wire.index)
        return self._panel.settings.bundled if company is None else company.count

    def _terminal(self, name: str, large: bool, thick: bool) -> tuple[float, str]:
        """The rating of a device's terminals, degC, and what was assumed for it.

        `large` is said of the circuit, and counts where the device has no rating of its own;
        `thick` of the conductor.
        """
        key = name, large, thick
        if key not in self._terminals:
            device = self._panel.devices[name]
            marked = device.number("terminals_c") or self._panel.settings.terminals_c
            rated_a = device.number("current")
            if rated_a is not None:
                large = rated_a > SMALL_CIRCUIT_A
            usual = TERMINALS_LARGE_C if large or thick else TERMINALS_SMALL_C
            self._terminals[key] = (
                (usual, f"terminals {usual:g} degC, not marked") if marked is None else (marked, "")
            )
        return self._terminals[key]


def _carried(size: ConductorSize, laid: Laid, iec: bool) -> _Carried | str:
    from netcheck.tables.ampacity import ampacity
    from netcheck.tables.conditions import IEC, NEC, Conditions
    from netcheck.tables.lookup import NotTabulated

    conditions = Conditions(*laid[:6], IEC if iec else NEC, *laid[6:])
    steady, only_above = ampacity(size, conditions), ""
    if isinstance(steady, NotTabulated):
        only_above = steady.reason
        conditions = replace(conditions, inside_panel=True)
        steady = ampacity(size, conditions)
    if isinstance(steady, NotTabulated):
        return only_above
    plain = conditions
    if not iec:
        two = conditions.cord and (conditions.current_carrying or 3) <= 2
        alone = 2 if two else None
        plain = replace(conditions, ambient_c=PLAIN_AMBIENT_C, current_carrying=alone)
    continuous = ampacity(size, plain)
    assert not isinstance(continuous, NotTabulated)
    return size, conditions, plain, steady, continuous, only_above


@concludes(ConductorCompany)
def find_wire_limits(view: View) -> WireLimits:
    return WireLimits(view.panel, view[ConductorCompany].of)
