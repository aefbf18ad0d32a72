"""Which lamps of a controller are lit in one state: by its supply, by the volts that are really
across an input and the way its current flows, by what its program has switched on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from netcheck.bench.input_lamps import input_levels
from netcheck.bench.kept_volts import kept_v, less
from netcheck.bench.readings import Reading, amperes, fits, read
from netcheck.bench.standing import Standing
from netcheck.model.devices import Device, Drive, Part, mark_of
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.solve.steady import Steady
from netcheck.states.answers import Undecided

ON = frozenset((1,))
"""The position of an output that its program has switched on."""
UNKNOWN = "there are no numbers: a dead short, or nothing that limits the current"


class Now(Protocol):
    """A panel in one state, and what a meter shows there: nothing where there are no numbers."""

    @property
    def standing(self) -> Standing: ...

    def reading(self, red: str, black: str) -> Reading | None: ...

    def amperes(self, part: Part) -> tuple[float, float] | None: ...


@record
class Settled:
    """One standing panel and its solution."""

    standing: Standing
    solved: Steady | Undecided

    def reading(self, red: str, black: str) -> Reading | None:
        return None if isinstance(self.solved, Undecided) else read(self.solved, red, black)

    def amperes(self, part: Part) -> tuple[float, float] | None:
        return None if isinstance(self.solved, Undecided) else amperes(self.solved, part)


def controllers_of(panel: Panel) -> list[Device]:
    return [device for device in panel.devices.values() if device.kind == "controller"]


def inputs_and_outputs(panel: Panel, device: Device) -> Iterator[Part]:
    """All that have a lamp and are not spare."""
    for part in (panel.parts[index] for index in device.parts):
        if not part.spare and (part.role == "input" or is_output(panel, part)):
            yield part


def is_output(panel: Panel, part: Part) -> bool:
    return bool(part.mechanism) and panel.mechanisms[part.mechanism].drive is Drive.OUTPUT


def sides_of(part: Part) -> tuple[str, str]:
    """The common of an output, and its own terminal."""
    suffix = part.mechanism.partition(" ")[2]
    return (part.a, part.b) if mark_of(part.b) == suffix else (part.b, part.a)


def supply_of(panel: Panel, device: Device) -> Part | None:
    parts = (panel.parts[index] for index in device.parts)
    return next((part for part in parts if part.role == "supply input"), None)


def is_powered(now: Now, device: Device) -> bool | None:
    """True of one whose text says no supply: it is not drawn.  None without numbers."""
    supply = supply_of(now.standing.panel, device)
    if supply is None or supply.load is None:
        return True
    reading = now.reading(supply.a, supply.b)
    return None if reading is None else fits(reading, supply.load)


def is_switched_on(now: Now, output: Part) -> bool:
    return now.standing.holds(now.standing.states.in_positions(output.mechanism, ON))


def read_past_sensors(now: Now, red: str, black: str, *fed: str) -> Reading | None:
    """Without what electronic contacts keep on the ways to the terminals that are `fed`."""
    reading, standing = now.reading(red, black), now.standing
    if reading is None:
        return None
    return less(reading, sum(kept_v(standing, terminal) for terminal in fed))


def is_lit(now: Now, part: Part, powered: bool | None) -> tuple[bool | None, str]:
    """Of an input or output; None where it may be either, with why."""
    if part.role != "input":
        return (None, "") if powered is None else (is_switched_on(now, part) and powered, "")
    reading = read_past_sensors(now, part.a, part.b, part.a, part.b)
    if reading is None or powered is None:
        return None, UNKNOWN
    lit, why = _judged(now, part, reading)
    if lit and not powered:
        return None, f"{part.device} has no supply: some light from the field alone"
    return lit, why


def _judged(now: Now, part: Part, reading: Reading) -> tuple[bool | None, str]:
    """By what is across it, of the kind and the way round it is made for."""
    load = part.load
    if load is None or not load.volts:
        return None, "the text says no voltage for it"
    levels = input_levels(part)
    if reading.floats or reading.size_v < levels.off_v:
        return False, ""
    if load.kind and reading.kind != load.kind:
        return None, f"{reading} on an input for {load.kind}"
    if load.kind == "DC" and _is_backwards(now.standing.panel, part, reading):
        return False, "the wrong way round: its current would have to flow against its common"
    below_a = part.number("off_below_a")
    if below_a and sum(map(abs, now.amperes(part) or ())) < below_a:
        return False, "too little current flows"
    if reading.size_v >= levels.on_v * 0.999:
        return True, ""
    return None, f"between {levels.off_v:g} V and {levels.on_v:g} V it may be lit or not"


def _is_backwards(panel: Panel, part: Part, reading: Reading) -> bool:
    """A common that is a pole of the controller's own supply decides which way round."""
    supply = supply_of(panel, panel.devices[part.device])
    if supply is None or part.b not in (supply.a, supply.b):
        return False
    return reading.dc_v < 0 if part.b == supply.b else reading.dc_v > 0


def lit(now: Now) -> tuple[str, ...]:
    """Of each controller the lamps that are on, in words: they are looked at first."""
    return tuple(_lit(now, device) for device in controllers_of(now.standing.panel))


def _lit(now: Now, device: Device) -> str:
    panel, powered = now.standing.panel, is_powered(now, device)
    marks: dict[bool | None, list[str]] = {True: [], False: [], None: []}
    for part in inputs_and_outputs(panel, device):
        terminal = part.a if part.role == "input" else sides_of(part)[1]
        marks[is_lit(now, part, powered)[0]].append(mark_of(terminal))
    said = f"{device.name}: {' '.join(marks[True]) or 'none'}"
    said += ", it has no supply" if powered is False else ""
    return said + (f"; {' '.join(marks[None])} may be either" if marks[None] else "")
