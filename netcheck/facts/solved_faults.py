"""The short-circuit current at a device, solved where a bound leaves it in doubt.

The short is put across the device's poles, or from its pole to the other pole of its source
where it has but one, with every contact open and nothing else on.  Wire counts cold.  A
source counts at the angle of its X/R; one that says none, and a transformer, as all
resistance and as all reactance: whichever lets more through.  Motors that feed back are
left out.
"""

from __future__ import annotations

import cmath
import math
from itertools import combinations
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.component_values import available_ohm, wire_ohms
from netcheck.facts.fault_currents import TOLERANCE, FaultCurrent, FaultCurrents
from netcheck.facts.solved_states import SolvedStates
from netcheck.model.devices import Conducts, Device, Part
from netcheck.model.panel import Panel
from netcheck.network.traces import steps
from netcheck.record import record, replace
from netcheck.rounding import exceeds

if TYPE_CHECKING:
    from netcheck.solve.ratings import Ratings

BOLTED_OHM = 1e-6
COLD_C = 25.0
MOST_SOLUTIONS = 40
"""Of one panel; devices beyond stay in doubt."""


@record
class SolvedFault:
    """What flows through a device at most, A: with the sources as they are, and with sources
    of any strength (an infinite bus) behind the same wire."""

    device: Device
    with_source_a: float
    infinite_bus_a: float


@record
class SolvedFaults:
    """By device name, those whose bound was above their interrupting rating and that are
    reached by what never moves."""

    devices: dict[str, SolvedFault]


@concludes(FaultCurrents, SolvedStates)
def find_solved_faults(view: View) -> SolvedFaults:
    doubted = [fault for fault in view[FaultCurrents].devices if _in_doubt(fault)]
    if not doubted:
        return SolvedFaults({})
    solver = FaultSolver(view.panel, view[SolvedStates].ratings)
    found = (solver.at(fault) for fault in doubted[:MOST_SOLUTIONS])
    return SolvedFaults({one.device.name: one for one in found if one is not None})


def _in_doubt(fault: FaultCurrent) -> bool:
    rating_a = fault.device.number("interrupting_a")
    return rating_a is not None and fault.most_a is not None and exceeds(fault.most_a, rating_a)


class FaultSolver:
    """Puts shorts across devices, in a panel whose contacts are all open."""

    def __init__(self, panel: Panel, ratings: Ratings) -> None:
        self.panel = panel
        self.extremes = [self._cold(ratings, angle) for angle in (0.0, math.pi / 2)]

    def _cold(self, ratings: Ratings, angle: float) -> Ratings:
        cold = wire_ohms(self.panel, COLD_C)
        return replace(
            ratings,
            draws={},
            wire_ohm={index: ohm for index, ohm in cold.items() if ohm is not None},
            source_ohm={
                index: available_ohm(self.panel, source, unsaid_angle=angle)
                for index, source in enumerate(self.panel.sources)
                if source.available_a
            },
            couplings=tuple(
                replace(one, ohm=cmath.rect(abs(one.ohm) * TOLERANCE, angle))
                for one in ratings.couplings
            ),
        )

    def at(self, fault: FaultCurrent) -> SolvedFault | None:
        """None where a contact that moves stands ahead of the device, or it has no solution."""
        reached = self._joined(fault.device)
        sources = [self.panel.sources[index] for index in fault.sources]
        if not all(
            any(f"{source.device}:{pole}" in reached for pole in source.poles) for source in sources
        ):
            return None
        with_source = [self._amperes(fault, ratings) for ratings in self.extremes]
        infinite = [
            self._amperes(fault, replace(ratings, source_ohm={})) for ratings in self.extremes
        ]
        if None in with_source or None in infinite:
            return None
        most = [max(a for a in found if a is not None) for found in (with_source, infinite)]
        return SolvedFault(fault.device, *most)

    def _joined(self, device: Device) -> set[str]:
        """Terminals that what never moves joins to the device."""
        reached = {end for part in self._poles(device) for end in (part.a, part.b)}
        todo = list(reached)
        while todo:
            for passed in steps(self.panel, todo.pop(), _always):
                if passed.end not in reached:
                    reached.add(passed.end)
                    todo.append(passed.end)
        return reached

    def _poles(self, device: Device) -> list[Part]:
        parts = [self.panel.parts[index] for index in device.parts]
        return [part for part in parts if part.conducts is Conducts.JOINS]

    def _amperes(self, fault: FaultCurrent, ratings: Ratings) -> float | None:
        """The most that any short of two conductors there draws through one of its poles."""
        from netcheck.solve.nodal import SourcesInConflict, Undetermined
        from netcheck.solve.steady import Across, Unsettled, solve_state

        poles = self._poles(fault.device)
        shorts = list(combinations([part.b for part in poles], 2))
        if not shorts:
            shorts = [(part.b, end) for part in poles for end in self._homes(fault)]
        most_a = None
        for a, b in shorts:
            try:
                steady = solve_state(
                    self.panel, ratings, lambda part: part.conducts is Conducts.JOINS,
                    lambda index: True, (Across(a, b, BOLTED_OHM),),
                )  # fmt: skip
            except (SourcesInConflict, Undetermined, Unsettled):
                continue
            volts = steady.volts(a, b)
            through_a = sum(map(abs, volts.values())) / BOLTED_OHM if volts else 0.0
            most_a = max(through_a, most_a or 0.0)
        return most_a

    def _homes(self, fault: FaultCurrent) -> list[str]:
        return [
            f"{source.device}:{pole}"
            for source in (self.panel.sources[index] for index in fault.sources)
            for pole in source.poles
        ]


def _always(part: Part, forwards: bool) -> bool:
    return part.conducts is Conducts.JOINS
