"""From how many volts on the lamp of a controller's input is lit, and below how many it is dark."""

from __future__ import annotations

from netcheck.model.devices import Part
from netcheck.record import record

THRESHOLDS = {("DC", 24.0): (15.0, 5.0), ("AC", 120.0): (79.0, 20.0), ("AC", 230.0): (164.0, 40.0)}
"""Volts from which on an input is surely on, and below which it is surely off, where its device
says none: IEC 61131-2, type 1, from memory."""
ELSE = (0.85, 0.2)
"""The same for other voltages, as shares of them: from memory."""
BANDLESS = (0.85, 1.10)
"""The shares that an input's band begins and ends at where the text says none."""


@record
class InputLevels:
    """Between `off_v` and `on_v`, V, it may be lit or dark.  `taken` says both with their source
    where the text has not said both."""

    on_v: float
    off_v: float
    taken: str


def input_levels(part: Part) -> InputLevels:
    """Of an input of known voltage."""
    load = part.load
    assert load is not None
    assert load.volts
    usual, source = THRESHOLDS.get((load.kind, load.volts)), "IEC 61131-2, from memory"
    if usual is None:
        usual, source = (load.volts * ELSE[0], load.volts * ELSE[1]), "from memory"
    said_on_v, said_off_v = part.number("on_above_v"), part.number("off_below_v")
    if said_on_v is None and (load.low, load.high) != BANDLESS:
        said_on_v = load.volts * load.low
    on_v = said_on_v or usual[0]
    off_v = min(said_off_v or usual[1], on_v)
    taken = f"on from {on_v:g} V, off below {off_v:g} V where it does not say ({source})"
    return InputLevels(on_v, off_v, taken if None in (said_on_v, said_off_v) else "")
