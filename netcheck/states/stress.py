"""What contacts and protective devices are rated for, and what of the volts they meet is beyond it.

Volts are nominal; they may exceed the rated ones by a tenth, for one nominal voltage goes
by several numbers: 220, 230 and 240 V.
"""

from __future__ import annotations

from enum import StrEnum

from netcheck.model.devices import Device, Part
from netcheck.model.panel import Panel
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.volts import Volts, kind_of, magnitude
from netcheck.states.witness import Witness

NOMINAL = 1.10
PROTECTIVE = ("breaker", "fuse", "disconnect")

Ratings = tuple[tuple[float, str], ...]
"""Volts and kind (`AC`, `DC`, `AC or DC`) of each rating."""


class Excess(StrEnum):
    VOLTS = "volts"
    KIND = "kind"


@record
class Stress:
    """One contact or pole and what it meets: the volts, across it or `to_ground`.

    Path and state are those that show it; a protective device is judged with all its contacts
    closed, and has none.
    """

    part: Part
    ratings: Ratings
    excess: Excess
    volts: Volts
    to_ground: bool
    path: tuple[Passed, ...] = ()
    witness: Witness | None = None


def ratings_of(part: Part, device: Device) -> Ratings:
    """What the text says of a contact, or of the protective device that a pole belongs to."""
    if part.ratings:
        return tuple((rated.volts, rated.kind) for rated in part.ratings)
    if part.volts is not None:
        return ((part.volts, part.kind),)
    if part.role == "auxiliary":  # its own rating, which nobody has said
        return ()
    volts = device.number("rating") if part.role == "pole" or device.kind in PROTECTIVE else None
    return () if volts is None else ((volts, str(device.values.get("rating_kind", ""))),)


def excess_of(ratings: Ratings, volts: Volts, *, protects: bool) -> Excess | None:
    """What of these volts is beyond the ratings; None if nothing is or nothing is rated.

    A contact for DC serves on AC too, up to its volts, for an alternating arc goes out by
    itself; what `protects` must be made for the kind it meets.
    """
    if not ratings or not volts:
        return None
    # Of AC and DC together the greater part decides.
    kind, amount = _greater_kind(volts), magnitude(volts)
    of_kind = [rated for rated, made_for in ratings if not made_for or kind in made_for.split()]
    most = max(of_kind or [rated for rated, _ in ratings])
    if amount > most * NOMINAL:
        return Excess.VOLTS
    return None if of_kind or (kind == "AC" and not protects) else Excess.KIND


def is_slash(device: Device) -> bool:
    """Whether a device is rated for two voltages, to ground and between lines: `120/240 V`."""
    return "/" in str(device.values.get("rating_text", ""))


def _greater_kind(volts: Volts) -> str:
    return kind_of((max(volts, key=lambda part: abs(part[1])),))


LOW_DC_V = 30.0
"""Up to here makers rate one contact for as many amperes DC as AC.  Common practice: relay data
give `250 V AC / 30 V DC` with one current."""


def on_low_dc(panel: Panel, stress: Stress) -> bool:
    """Whether it is a mechanical contact with so few volts that DC asks no more of it than AC."""
    electronic = panel.devices[stress.part.device].values.get("electronic")
    mechanical = not electronic or stress.part.role in ("contact", "auxiliary")
    return mechanical and magnitude(stress.volts) <= LOW_DC_V
