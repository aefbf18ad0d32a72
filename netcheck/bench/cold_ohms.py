"""What an ohmmeter shows of a good load, power off and one end lifted.

A direct-current coil has its volts over its amperes, a heater its volts squared over its
watts (hot and cold taken as the same).  A winding on AC takes its current by reactance, and a
motor's nameplate tells nothing of its winding: low ohms, not known, unless the text says them.
Electronics show nothing that tells.

Between two lines of a three-phase load lie the one element and, beside it, the other two: two
thirds of what it has by itself.  Joined in star inside it reads the same, 2 V^2 / W.
"""

from __future__ import annotations

from enum import StrEnum

from netcheck.figure import figure
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import record

MAGNETS = frozenset(("coil", "valve", "solenoid", "brake"))
WINDINGS = frozenset(("motor", "start winding", "fan", "primary", "transformer", "winding"))
HEATERS = frozenset(("heater", "resistor"))
ALONE = 1.5
"""Times what is read between two lines, of one of three alike between three lines."""
BEEPS_OHM = 50.0
"""Many continuity buzzers sound below some 20 to 50 ohm: from memory."""


class Sort(StrEnum):
    """How much a resistance reading of a load tells."""

    KNOWN = "known"
    WINDING = "winding"
    ELECTRONIC = "electronic"
    UNKNOWN = "unknown"


@record
class ColdOhms:
    """Of one load part.  `ohm` only where it is known, as read between its terminals with nothing
    else wired there, `words` as they are printed, `assumed` what the figure rests on."""

    load: str
    a: str
    b: str
    sort: Sort
    ohm: float | None
    words: str
    assumed: str = ""
    diode: str = ""
    """What a diode across it does to the reading."""
    part_ohm: float | None = None
    """Of the part without the other two of a three-phase load."""


def cold_ohms(panel: Panel, part: Part) -> ColdOhms:
    load = part.load
    assert load is not None
    beside = _is_one_of_three(panel, part)

    def told(sort: Sort, ohm: float | None, words: str, assumed: str = "") -> ColdOhms:
        across = _diode_across(panel, part)
        own = ohm * ALONE if ohm is not None and beside else ohm
        return ColdOhms(part.label, part.a, part.b, sort, ohm, words, assumed, across, own)

    winding_ohm = panel.devices[part.device].number("winding_ohm")
    if winding_ohm and load.works in ("motor", "transformer"):
        return told(Sort.KNOWN, winding_ohm, _known(winding_ohm), "as described")
    if load.resistance_ohm:
        own_ohm = load.resistance_ohm / (ALONE if beside else 1.0)
        return told(Sort.KNOWN, own_ohm, _known(own_ohm), "as described")
    ohm = load.volts / load.current_a if load.volts and load.current_a else None
    if load.works in MAGNETS and load.kind == "DC" and not load.polarised:
        if ohm is None:
            return told(Sort.UNKNOWN, None, "coil: ohms not known, it says no watts or amperes")
        return told(Sort.KNOWN, ohm, _known(ohm), "DC coil: V / I, cold")
    if load.works in HEATERS and load.phases == 1 and ohm is not None:
        return told(Sort.KNOWN, ohm, _known(ohm), "V^2 / W, cold taken as hot")
    if load.works in HEATERS and load.volts and load.power_w:
        ohm = 2 * load.volts**2 / load.power_w
        return told(Sort.KNOWN, ohm, _known(ohm), "line to line, 2 V^2 / W, cold taken as hot")
    if load.works in WINDINGS or (load.works in MAGNETS and load.kind != "DC"):
        return told(Sort.WINDING, None, "winding: low ohms, not known; may beep")
    if load.works == "lamp" and not load.polarised:
        return told(Sort.UNKNOWN, None, "lamp: a filament reads low cold, an LED reads nothing")
    if load.works in ("load", "outlet", "edge", "meter"):
        return told(Sort.UNKNOWN, None, "ohms not known")
    return told(Sort.ELECTRONIC, None, "electronic: no ohms to expect")


def _is_one_of_three(panel: Panel, part: Part) -> bool:
    """Of a three-phase load whose parts lie between its three lines, each beside the others."""
    parts = [panel.parts[index] for index in panel.devices[part.device].parts]
    ends = {end for one in parts if one.role == part.role for end in (one.a, one.b)}
    return part.load is not None and part.load.phases == 3 and len(ends) == 3


def _known(ohm: float) -> str:
    beeps = "; may beep: a good load" if ohm < BEEPS_OHM else ""
    return f"{figure(ohm, 'ohm')}{beeps}"


def _diode_across(panel: Panel, part: Part) -> str:
    for other in panel.parts_at.get(part.a, ()):
        if other.conducts is Conducts.ONE_WAY and {other.a, other.b} == {part.a, part.b}:
            return f"diode across it: plus lead on {other.b}, else the diode is read"
    return ""
