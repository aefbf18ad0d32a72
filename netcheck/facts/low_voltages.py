"""Loads that, at what their source gives and with their own inrush, get less than they need.

A coil must pull in at the lower end of its band (85 % where the text says none, IEC
60947-4-1), while it takes its inrush; a motor is let fall to 85 % as it starts.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.conductor_drops import Asked, DropFinder, VoltageDrop
from netcheck.facts.load_currents import LoadCurrent
from netcheck.model.devices import Device
from netcheck.record import record
from netcheck.rounding import exceeds
from netcheck.states.volts import in_band, magnitude

STARTING = 0.85
"""Of its voltage, below which a motor may fail to start or drop its contactor: common practice."""
BOUND = frozenset(("coil", "valve", "supply", "input", "motor"))
"""Loads that fail, rather than do less, on too little."""


@record
class LowVoltage:
    """`drop` is what its conductors take while it draws `own_a`; `needed_v` what it needs."""

    drop: VoltageDrop
    own_a: float
    starting: bool
    needed_v: float

    @property
    def left_v(self) -> float:
        return self.drop.supplied_v - self.drop.volts


@record
class LowVoltages:
    """`left` are loads in doubt that were not looked at, after so many."""

    loads: tuple[LowVoltage, ...]
    left: tuple[LoadCurrent, ...]


@concludes(DropFinder)
def find_low_voltages(view: View) -> LowVoltages:
    finder = view[DropFinder]
    judged = finder.judge(_asked(finder))
    return LowVoltages(tuple(_low(asked, drop) for asked, drop in judged.drops), judged.left)


def _low(asked: Asked, drop: VoltageDrop) -> LowVoltage:
    own_a = asked.own_a or 0.0
    needed_v = _needed_v(drop.load) or 0.0
    return LowVoltage(drop, own_a, own_a > drop.load.current_a, needed_v)


def _asked(finder: DropFinder) -> Iterator[Asked]:
    for number, bound in finder.bounds().items():
        load = finder.loads[number]
        needed_v = _needed_v(load)
        supplied_v = finder.supplied_v(number)
        if needed_v is None or supplied_v <= needed_v or not _suits(finder, load):
            continue
        own_a = _starting_a(finder.panel.devices[load.device], load)
        limit = 1 - needed_v / supplied_v
        more = finder.more_lost(number, own_a) / supplied_v
        if exceeds(bound + more, limit):
            yield Asked(number, bound, limit, own_a)


def _needed_v(load: LoadCurrent) -> float | None:
    """The least it works at, V; None of loads that only do less."""
    made = load.parts[0].load
    if made is None or made.volts is None or made.works not in BOUND:
        return None
    return made.volts * (STARTING if made.works == "motor" else made.low)


def _suits(finder: DropFinder, load: LoadCurrent) -> bool:
    """Whether the source itself gives what the load is made for: else it is another fault."""
    made = load.parts[0].load
    feeds = finder.states.feeds(load.parts[0])
    highest = max(feeds, key=lambda feed: magnitude(feed.volts), default=None)
    return made is not None and highest is not None and in_band(highest.volts, made)


def _starting_a(device: Device, load: LoadCurrent) -> float:
    """As it is switched on, A: locked rotor, inrush, or what it draws anyway."""
    made = load.parts[0].load
    inrush_va = device.number("coil_inrush_va")
    if made is None or made.volts is None:
        return load.current_a
    if made.works == "motor":
        return device.number("locked_a") or load.current_a
    if inrush_va and made.works in ("coil", "valve"):
        return inrush_va / made.volts
    return device.number("coil_inrush_a") or load.current_a
