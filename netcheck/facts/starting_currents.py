"""What each load takes as it is switched on, A, as far as that is known.

As the text says it (`48 A locked rotor`, `120 VA inrush`); else by a motor's code letter, which
gives a range; else by a rule of thumb, six times a motor's current and ten times that of a
lamp that is no LED.  A motor of which both ends of each winding are brought out may start in
star, on a third: its code letter is of delta, and is not used.
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.case import View, concludes
from netcheck.facts.load_currents import WATTS_IN_A_HP, LoadCurrent, LoadCurrents
from netcheck.finding import Working
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.tables.lookup import NotTabulated

TIMES = {"motor": 6.0, "lamp": 10.0}
"""Inrush over steady current where none is said: relay data, second-hand."""


@record
class StartingCurrent:
    """At least `least_a`, and less than `most_a`, which is None where there is no upper end.

    `is_guess` where it is a rule of thumb; `working` is where the least comes from.
    """

    load: LoadCurrent
    least_a: float
    most_a: float | None
    working: Working
    is_guess: bool = False


@record
class StartingCurrents:
    """By the number of the load."""

    of: Mapping[int, StartingCurrent]


@concludes(LoadCurrents)
def find_starting_currents(view: View) -> StartingCurrents:
    found = (_starting(view.panel, load) for load in view[LoadCurrents].loads)
    return StartingCurrents({number: one for number, one in enumerate(found) if one is not None})


def _starting(panel: Panel, load: LoadCurrent) -> StartingCurrent | None:
    said_a = _said_a(panel, load)
    if said_a is not None:
        return StartingCurrent(load, said_a, said_a, _working(load, said_a, "as described"))
    return _by_code_letter(panel, load) or _by_thumb(panel, load)


def _said_a(panel: Panel, load: LoadCurrent) -> float | None:
    device, part = panel.devices[load.device], load.parts[0]
    made = part.load

    def said(key: str) -> float | None:
        found = (part.number(key), device.number(key), device.number(f"coil_{key}"))
        return next((number for number in found if number is not None), None)

    own_a, own_va = said("locked_a") or said("inrush_a"), said("inrush_va")
    if own_a is None and own_va is not None and made is not None and made.volts:
        return own_va / made.volts
    return own_a


def _by_code_letter(panel: Panel, load: LoadCurrent) -> StartingCurrent | None:
    device, made = panel.devices[load.device], load.parts[0].load
    letter, power_w = device.values.get("code_letter"), device.number("power_w")
    if made is None or not letter or not power_w or not made.volts or made.kind == "DC":
        return None
    lines = len({end for part in load.parts for end in (part.a, part.b)})
    if lines != (3 if made.phases == 3 else 2):
        return None
    from netcheck.tables.motors import motor_code_letter_current_a

    power_hp = power_w / WATTS_IN_A_HP
    found = motor_code_letter_current_a(str(letter), power_hp, made.volts, made.phases)
    if isinstance(found, NotTabulated):
        return None
    least, below = found
    working = _working(load, least.value, least.source, confirmed=least.confirmed)
    return StartingCurrent(load, least.value, None if below is None else below.value, working)


def _by_thumb(panel: Panel, load: LoadCurrent) -> StartingCurrent | None:
    made = load.parts[0].load
    times = TIMES.get(made.works) if made is not None else None
    if times is None or load.unknown or panel.devices[load.device].values.get("led"):
        return None
    amperes = load.current_a * times
    working = _working(load, amperes, f"{times:g} times its current", confirmed=False)
    return StartingCurrent(load, amperes, amperes, working, is_guess=True)


def _working(load: LoadCurrent, amperes: float, source: str, *, confirmed: bool = True) -> Working:
    return Working(f"inrush of {load.name}", amperes, "A", source, confirmed)
