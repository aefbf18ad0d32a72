"""From how many volts on the lamp of a controller's input is lit, and below how many it is dark."""

from __future__ import annotations

from netcheck.model.devices import Part
from netcheck.record import record

THRESHOLDS = {("DC", 24.0): (15.0, 5.0), ("AC", 120.0): (79.0, 20.0), ("AC", 230.0): (164.0, 40.0)}
"""Volts from which on an input is surely on, and below which it is surely off, where its device
says none: IEC 61131-2, type 1, from memory."""
ELSE = (0.85, 0.2)
"""The same for other voltages, as shares of them: from memory."""
BANDLESS = 0.85
"""The share that a load's band begins at where the text says none."""


@record
class InputLevels:
    """Between `off_v` and `on_v` it may be lit or dark; `said` tells that the text has both."""

    on_v: float
    off_v: float
    said: bool


def input_levels(part: Part) -> InputLevels:
    """Of an input of known voltage."""
    load = part.load
    assert load is not None
    assert load.volts
    usual = THRESHOLDS.get((load.kind, load.volts))
    if usual is None:
        usual = (load.volts * ELSE[0], load.volts * ELSE[1])
    on_v = part.number("on_above_v")
    if on_v is None and load.low != BANDLESS:
        on_v = load.volts * load.low
    off_v = part.number("off_below_v")
    from_v = on_v or usual[0]
    return InputLevels(from_v, min(off_v or usual[1], from_v), None not in (on_v, off_v))
