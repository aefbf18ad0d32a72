"""How far the current of a load lags its voltage on AC.

A power factor is taken to lag, as motors, magnets and ballasts do: the load is a resistance in
series with a reactance.  Where none is said, heaters, lamps and electronics count as 1; of
motors and magnets only a range is known.
"""

from __future__ import annotations

import math

from netcheck.model.devices import Load
from netcheck.record import record

MOTORS = frozenset(("motor", "start winding"))
MAGNETS = frozenset(("coil", "valve", "solenoid", "brake"))
MOTOR_ANGLE = math.acos(0.5)
"""The most that is usual of a loaded motor: from memory."""
SEALED_ANGLE = math.radians(80)
"""The most that is usual of a sealed AC magnet: from memory."""


@record
class Lag:
    """Radians, from the least to the most that it may be."""

    least: float
    most: float

    @property
    def known(self) -> bool:
        return self.least == self.most

    def nearest(self, angle: float) -> float:
        return min(max(angle, self.least), self.most)


IN_STEP = Lag(0.0, 0.0)
STARTING = Lag(0.0, SEALED_ANGLE)
"""Of an inrush or locked rotor, of which nobody writes it."""


def effective_ohm(ohm: complex, lag: float) -> float:
    """Volts that an ampere of this lag loses in a conductor: R cos + X sin, NEC chapter 9 table 9
    note 2; never less than nothing."""
    return max(0.0, ohm.real * math.cos(lag) + ohm.imag * math.sin(lag))


def is_wound(load: Load) -> bool:
    """Whether ohms that are said of it are those of its wire, not all that holds its current."""
    return load.works in MAGNETS and load.kind == "AC"


def lag_of(load: Load) -> Lag:
    """Of its current at its rating; of the least and the most where none is said."""
    if load.kind == "DC":
        return IN_STEP
    if load.power_factor is not None:
        angle = math.acos(min(load.power_factor, 1.0))
        return Lag(angle, angle)
    if is_wound(load) and load.resistance_ohm and load.volts and load.current_a:
        angle = math.acos(min(load.resistance_ohm * load.current_a / load.volts, 1.0))
        return Lag(angle, angle)
    if load.works in MOTORS:
        return Lag(0.0, MOTOR_ANGLE)
    return Lag(0.0, SEALED_ANGLE) if load.works in MAGNETS else IN_STEP
