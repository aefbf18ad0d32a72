"""How many conductors that carry current lie together: in one raceway, or in one cable.

Grounding conductors and spare cores carry none, nor does a neutral that takes no more than
the difference of its legs (NEC 310.15(E)(1)); one of a wye whose loads are mostly not linear
does (310.15(E)(3)).  Small conductors of control with no more than a tenth of what they
carry do not count (724.51), nor class 2, nor what runs through a raceway of 24 in or less
(310.15(C)(1)(b)).  A wireway asks for it only from 31 conductors on (376.22(B), taken as
filled to a fifth), and in a tray each cable counts by itself (392.80).  All of these but
(E)(1) and 724.51 are from memory.  What can never be on at once is counted all the same.
"""

from __future__ import annotations

import cmath
import math

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_directions import CurrentDirections
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.facts.load_currents import is_control
from netcheck.model.panel import Panel
from netcheck.model.wires import Raceway, Wire
from netcheck.record import record

NIPPLE_M = 0.6096
WIREWAY_FREE = 30
SMALL_SHARE = 0.1
NONLINEAR = frozenset(("supply", "drive", "electronics", "input"))
"""What draws current in pulses; so do lamps with LED."""


@record
class Company:
    """How many together, and where: `through R1`, `in W1`."""

    count: int
    where: str


@record
class ConductorCompany:
    """By the index of the wire; none where it runs alone, or nothing says where."""

    of: dict[int, Company]


@concludes(Behaviour, GroundingWires, CurrentPaths, CurrentDirections)
def find_conductor_company(view: View) -> ConductorCompany:
    panel = view.panel
    found: dict[int, Company] = {}
    if panel.raceways or panel.cables:
        counting = _Counting(view)
        for name, wires in _gathered(panel, by_raceway=False).items():
            count = counting.of(wires)
            found.update((wire.index, Company(count, f"in {name}")) for wire in wires)
        for name, wires in _gathered(panel, by_raceway=True).items():
            most = _asked_for(panel.raceways[name], counting.of(wires))
            if most is None:
                continue
            for wire in wires:
                own = found.get(wire.index)
                if own is None or own.count < most:
                    found[wire.index] = Company(most, f"through {name}")
    return ConductorCompany(found)


def _gathered(panel: Panel, *, by_raceway: bool) -> dict[str, list[Wire]]:
    found: dict[str, list[Wire]] = {}
    for wire in panel.wires:
        name = wire.properties.raceway if by_raceway else wire.cable
        if name and name in (panel.raceways if by_raceway else panel.cables):
            found.setdefault(name, []).append(wire)
    return found


def _asked_for(raceway: Raceway, count: int) -> int | None:
    """The number that a raceway's conductors are corrected for."""
    if raceway.sort == "tray" or (raceway.length_m or NIPPLE_M + 1) <= NIPPLE_M:
        return None
    if raceway.sort == "wireway" and count <= WIREWAY_FREE:
        return None
    return count


class _Counting:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.paths = view[CurrentPaths]
        self.directions = view[CurrentDirections]
        self.grounding = view[GroundingWires].wires

    def of(self, wires: list[Wire]) -> int:
        return max(1, sum(wire.properties.parallel or 1 for wire in wires if self._counts(wire)))

    def _counts(self, wire: Wire) -> bool:
        loads = self.paths.loads_on(wire.index)
        if not loads or wire.index in self.grounding or wire.properties.class_2:
            return False
        return not (self._is_small_control(wire, loads) or self._is_difference(wire, loads))

    def _is_small_control(self, wire: Wire, loads: tuple[int, ...]) -> bool:
        from netcheck.tables.ampacity import ampacity
        from netcheck.tables.conditions import Conditions
        from netcheck.tables.lookup import CurrentLimit

        said = wire.properties
        if said.size is None or not all(is_control(self.paths.loads[n]) for n in loads):
            return False
        alone = Conditions(said.insulation_c or 60, 60, 30, said.material or "copper")
        carried = ampacity(said.size, alone)
        total_a = sum(self.paths.loads[number].current_a for number in loads)
        return isinstance(carried, CurrentLimit) and total_a <= SMALL_SHARE * carried.current_a

    def _is_difference(self, wire: Wire, loads: tuple[int, ...]) -> bool:
        """Whether its loads' currents take from each other: legs that add up to nothing."""
        rail = self.states.node(wire.a)
        if rail not in self.states.rails:
            return False
        headings = {self.directions.heading(number, rail) for number in loads}
        known = [heading for heading in headings if heading is not None]
        if len(known) < len(headings) or len(known) < 2:
            return False
        if not math.isclose(abs(sum(cmath.rect(1.0, turn) for turn in known)), 0, abs_tol=1e-6):
            return False
        return len(known) < 3 or not self._mostly_nonlinear(loads)

    def _mostly_nonlinear(self, loads: tuple[int, ...]) -> bool:
        amperes = [(self.paths.loads[n], self.paths.loads[n].current_a) for n in loads]
        nonlinear_a = sum(
            current_a
            for load, current_a in amperes
            if any(part.load is not None and part.load.works in NONLINEAR for part in load.parts)
            or self.panel.devices[load.device].values.get("led")
        )
        return nonlinear_a > sum(current_a for _, current_a in amperes) / 2
