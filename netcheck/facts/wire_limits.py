"""How each wire is made and laid, and the current it may carry there.

Insulation, terminals and surroundings each have their say (`tables/ampacity.py`).  What
the text does not say of terminals and ambient follows from `model/defaults.py` and is
named in `assumed`; a size, metal or insulation it does not say leaves the wire unchecked.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.model.defaults import ambient_c
from netcheck.model.devices import device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record

if TYPE_CHECKING:
    from netcheck.tables.conditions import Conditions
    from netcheck.tables.lookup import CurrentLimit
    from netcheck.tables.wire_sizes import WireSize

SMALL_CIRCUIT_A = 100
PLAIN_AMBIENT_C = 30.0
"""The ambient for which table 310.16 holds uncorrected."""


@record
class WireLimit:
    """One wire's size and conditions, and the currents it may carry.

    `continuous` is without correction for ambient and company: what 125 % of continuous
    loads is held against (NEC 210.19(A)(1)); `steady` is with them.
    """

    wire: Wire
    size: WireSize
    conditions: Conditions
    plain: Conditions
    """The same without correction."""
    steady: CurrentLimit
    continuous: CurrentLimit
    assumed: tuple[str, ...]

    @property
    def material(self) -> str:
        return self.conditions.material


class WireLimits:
    """Limits by wire; worked out when asked for."""

    def __init__(self, panel: Panel, grounding: frozenset[int]) -> None:
        self._panel = panel
        self._grounding = grounding
        self._known: dict[tuple[int, bool], WireLimit | str] = {}

    def of(self, wire: Wire, needed_a: float = 0.0) -> WireLimit | str:
        """What a wire may carry, or what is missing to say it.

        `needed_a` stands for the rating of devices that say none: terminals of more than
        100 A are good for more heat (NEC 110.14(C)(1)).
        """
        key = wire.index, needed_a > SMALL_CIRCUIT_A
        if key not in self._known:
            self._known[key] = self._work_out(wire, needed_a)
        return self._known[key]

    def is_inside(self, wire: Wire) -> bool:
        """Whether a wire stays inside the panel."""
        return all(self._inside(place) for place in self._surroundings(wire))

    def _work_out(self, wire: Wire, needed_a: float) -> WireLimit | str:
        from netcheck.tables.ampacity import ampacity
        from netcheck.tables.lookup import NotTabulated
        from netcheck.tables.wire_sizes import WireSize

        properties = wire.properties
        missing = [
            word
            for word, value in (
                ("size", properties.size),
                ("metal", properties.material),
                ("insulation temperature", properties.insulation_c),
            )
            if value is None
        ]
        if missing:
            return f"no {' and no '.join(missing)} said"
        assert properties.size is not None
        try:
            size = WireSize.from_text(properties.size.text)
        except ValueError:
            return f"no table has {properties.size.text}"
        conditions, assumed = self._conditions(wire, size, needed_a)
        steady = ampacity(size, conditions)
        if isinstance(steady, NotTabulated):
            return steady.reason
        plain = conditions
        if not self._panel.settings.practice.iec:
            plain = conditions._replace(ambient_c=PLAIN_AMBIENT_C, current_carrying=None)
        continuous = ampacity(size, plain)
        assert not isinstance(continuous, NotTabulated)
        return WireLimit(wire, size, conditions, plain, steady, continuous, assumed)

    def _conditions(
        self, wire: Wire, size: WireSize, needed_a: float
    ) -> tuple[Conditions, tuple[str, ...]]:
        from netcheck.tables.conditions import IEC, NEC, Conditions

        properties, settings = wire.properties, self._panel.settings
        assert properties.insulation_c is not None
        assert properties.material is not None
        surroundings = self._surroundings(wire)
        terminal_c, assumed = self._terminal_c(wire, size, needed_a)
        iec = settings.practice.iec
        method = "B2" if wire.cable else "B1"
        if iec:
            assumed = (f"installation method {method}",)
        ambient = properties.ambient_c
        if ambient is None:
            ambient = max(ambient_c(self._panel, place) for place in surroundings)
        return (
            Conditions(
                properties.insulation_c,
                terminal_c,
                ambient,
                properties.material,
                self._together(wire),
                self.is_inside(wire),
                IEC if iec else NEC,
                method,
            ),
            assumed,
        )

    def _surroundings(self, wire: Wire) -> tuple[str, ...]:
        """Where a wire runs: at the place it names, else at the places of its two devices."""
        if wire.properties.place is not None:
            return (wire.properties.place,)
        devices = self._panel.devices
        return tuple({devices[device_of(end)].location for end in (wire.a, wire.b)})

    def _inside(self, place: str) -> bool:
        known = self._panel.places.get(place)
        return known is None or known.inside

    def _together(self, wire: Wire) -> int | None:
        """Current-carrying conductors laid together: as said, or the cores of a cable."""
        if wire.properties.bundled is not None:
            return wire.properties.bundled
        cable = self._panel.cables.get(wire.cable)
        if cable is not None and cable.cores:
            return max(1, cable.cores - self._grounding_cores[wire.cable])
        return self._panel.settings.bundled

    @cached_property
    def _grounding_cores(self) -> dict[str, int]:
        """For each cable how many of its cores ground something."""
        found = dict.fromkeys(self._panel.cables, 0)
        for wire in self._panel.wires:
            if wire.cable and wire.index in self._grounding:
                found[wire.cable] += 1
        return found

    def _terminal_c(
        self, wire: Wire, size: WireSize, needed_a: float
    ) -> tuple[float, tuple[str, ...]]:
        """The lower of its terminals' ratings; what is not marked has the usual one."""
        marked = [self._marked_c(end) for end in (wire.a, wire.b)]
        usual = [self._usual_c(end, size, needed_a) for end in (wire.a, wire.b)]
        rated = [u if m is None else m for m, u in zip(marked, usual, strict=True)]
        assumed = dict.fromkeys(
            f"terminals {u:g} degC, not marked"
            for m, u in zip(marked, usual, strict=True)
            if m is None
        )
        return min(rated), tuple(assumed)

    def _marked_c(self, terminal: str) -> float | None:
        marked = self._panel.devices[device_of(terminal)].number("terminals_c")
        return self._panel.settings.terminals_c if marked is None else marked

    def _usual_c(self, terminal: str, size: WireSize, needed_a: float) -> float:
        from netcheck.tables.ampacity import default_terminal_temperature_c

        rated_a = self._panel.devices[device_of(terminal)].number("current")
        return default_terminal_temperature_c(rated_a or needed_a, size).value


@concludes(GroundingWires)
def find_wire_limits(view: View) -> WireLimits:
    return WireLimits(view.panel, view[GroundingWires].wires)
