"""Which lamps of a controller should be lit, step by step, and where to meter if one is not so.

An input's lamp goes by the volts that are really across it, and by the way its current flows;
an output's by whether the controller has switched it on, which says nothing of what comes out:
that is read at its terminal.  A controller without its supply shows nothing and switches nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from netcheck.bench.input_lamps import InputLevels, input_levels
from netcheck.bench.kept_volts import kept_v, less
from netcheck.bench.readings import Reading, fits
from netcheck.bench.trial import Trial
from netcheck.bench.walks import walks_of
from netcheck.facts.electronic_drops import drop_of
from netcheck.figure import figure
from netcheck.model.devices import Device, Drive, Part, mark_of
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.supposed import position_in_words
from netcheck.record import record

AT_REST = "power on, everything at rest"
RUNS_OUT = " runs out"
LEAST_A = 1e-4
LEAST_V = 5.0
"""Less is no current, and no voltage, that a lamp goes by."""
CARRIED = 1.35
"""So many times its rating no fuse or breaker carries for more than an hour: UL 248, UL 489, from
memory."""
IDLE = "on, and nothing draws through it"
LEAKS = "off, and reads so by its leakage alone: a low-impedance meter pulls it down"


@record
class Lamp:
    """One lamp, and the pair of points that tells whether it is right to be so.

    `lit` is None where it may be either; `why` says why then, or what is odd.  `direct_a` flows
    from the terminal into the controller, `alternating_a` either way; None where not known.
    """

    terminal: str
    sort: str
    lit: bool | None
    red: str
    black: str
    expected: Reading | None
    direct_a: float | None = None
    alternating_a: float | None = None
    why: str = ""

    @property
    def mark(self) -> str:
        return mark_of(self.terminal)


@record
class Shown:
    """What one controller shows; `powered` is None where there are no numbers."""

    device: str
    powered: bool | None
    supply: tuple[str, str] | None
    supply_reads: Reading | None
    lamps: tuple[Lamp, ...]


@record
class Step:
    """What was done, what followed by itself, and what controllers then show."""

    words: str
    followed: tuple[str, ...]
    running: tuple[str, ...]
    shown: tuple[Shown, ...]


@record
class Lamps:
    """`steps` begins with everything at rest; `restless` says that relays never came to rest."""

    steps: tuple[Step, ...]
    assumed: tuple[str, ...]
    restless: bool = False

    @property
    def left_open(self) -> bool:
        shown = [one for step in self.steps for one in step.shown]
        unknown = any(lamp.lit is None for one in shown for lamp in one.lamps)
        return self.restless or unknown or any(one.powered is None for one in shown)


def controllers_of(panel: Panel) -> list[Device]:
    return [device for device in panel.devices.values() if device.kind == "controller"]


def lamps(panel: Panel, steps: Sequence[str]) -> Lamps:
    """Each step is a switch, source or output put somewhere (`S2 pressed`, `PLC1:Q0 on`), or
    `T1 runs out` of a timer.  Raises NameMistake."""
    return _Walk(panel).of(steps)


class _Walk:
    def __init__(self, panel: Panel) -> None:
        self._panel = panel
        self._trial = Trial(panel)
        self._controllers = controllers_of(panel)
        self._assumed: dict[str, None] = {}

    def of(self, steps: Sequence[str]) -> Lamps:
        for step in steps:
            self._operation(step)  # all are understood before anything moves
        told = [self._told(AT_REST, self._trial.powered())]
        for step in steps:
            if not self._trial.stands:
                break
            name, position = self._operation(step)
            if name not in self._trial.running() and step.endswith(RUNS_OUT):
                told.append(self._told(step, ["its time is not running: nothing moves"]))
            elif barred := self._trial.barred(name, position):
                told.append(self._told(step, [f"it cannot: {barred}"]))
            else:
                told.append(self._told(step, self._trial.put(name, position)))
        return Lamps(tuple(told), tuple(self._assumed), not self._trial.stands)

    def _operation(self, words: str) -> tuple[str, int]:
        machine = self._trial.states.machine
        if words.endswith(RUNS_OUT):
            name = words.removesuffix(RUNS_OUT)
            mover = machine.movers.get(name)
            if mover is None or not mover.timed:
                raise NameMistake(f"`{words}`: {name} is no timer of this panel")
            return name, 1 - self._trial.position(name)
        mechanism, position = position_in_words(self._panel, words)
        if mechanism.name not in machine.switches:
            where = mechanism.positions[mechanism.held or 0]
            raise NameMistake(f"{mechanism.name} is kept {where} for good and takes no step")
        return mechanism.name, position

    def _told(self, words: str, followed: list[str]) -> Step:
        while dropped := self._without_supply():
            followed += dropped
        if any("has no supply" in one for one in followed):
            followed += [
                f"{device.name} has its supply back, and loses it with them on"
                for device in self._controllers
                if self._powered(device)
            ]
        shown = tuple(self._shown(device) for device in self._controllers)
        return Step(words, tuple(followed), tuple(self._trial.running()), shown)

    def _without_supply(self) -> list[str]:
        """A controller that has lost its supply lets its outputs go: unless what drags the supply
        down is too much for a fuse on its way, which then opens."""
        if any(self._powered(device) is False for device in self._controllers):
            opened = self._opens_in_time()
            if opened:
                return opened
        said = []
        for device in self._controllers:
            if self._powered(device) is False:
                for name in device.mechanisms:
                    if self._trial.position(name) and name in self._trial.states.machine.switches:
                        said.append(f"{name} is off: {device.name} has no supply")
                        said += self._trial.put(name, 0)
        return said

    def _opens_in_time(self) -> list[str]:
        """The smallest protective device that carries more than it does for long."""
        over: list[tuple[float, str, float]] = []
        for part in self._panel.parts:
            rated_a = self._panel.devices[part.device].number("current")
            mechanism = self._panel.mechanisms.get(part.mechanism)
            if mechanism is None or mechanism.drive is not Drive.PROTECTION or not rated_a:
                continue
            carried_a = sum(map(abs, self._trial.amperes(part) or ()))
            if self._trial.position(part.mechanism) == 1 and carried_a > CARRIED * rated_a:
                over.append((rated_a, part.mechanism, carried_a))
        if not over:
            return []
        rated_a, name, carried_a = min(over)
        words = f"{name} opens: {figure(carried_a, 'A')} through {figure(rated_a, 'A')}"
        return [words, *self._trial.put(name, 0)]

    # ---- one controller ----------------------------------------------------------------------

    def _shown(self, device: Device) -> Shown:
        supply = self._supply(device)
        powered = self._powered(device)
        pair = (supply.a, supply.b) if supply is not None else None
        reads = self._trial.reading(*pair) if pair is not None else None
        lamps = tuple(self._lamps(device, powered))
        return Shown(device.name, powered, pair, reads, lamps)

    def _supply(self, device: Device) -> Part | None:
        parts = (self._trial.panel.parts[index] for index in device.parts)
        return next((part for part in parts if part.role == "supply input"), None)

    def _powered(self, device: Device) -> bool | None:
        """True of one whose text says no supply: it is not drawn."""
        supply = self._supply(device)
        if supply is None or supply.load is None:
            return True
        reading = self._trial.reading(supply.a, supply.b)
        return None if reading is None else fits(reading, supply.load)

    def _lamps(self, device: Device, powered: bool | None) -> Iterator[Lamp]:
        for index in device.parts:
            part = self._trial.panel.parts[index]
            if part.spare:
                continue
            if part.role == "input":
                yield self._input(part, powered)
            elif part.mechanism and self._panel.mechanisms[part.mechanism].drive is Drive.OUTPUT:
                yield self._output(part, powered)

    def _input(self, part: Part, powered: bool | None) -> Lamp:
        reading = self._read(part.a, part.b, part.a, part.b)
        direct_a, alternating_a = self._trial.amperes(part) or (None, None)
        lit, why = None, "there are no numbers: a dead short, or nothing that limits the current"
        if reading is not None and powered is not None:
            lit, why = self._judged(part, reading, abs(direct_a or 0.0) + (alternating_a or 0.0))
        if lit and not powered:
            lit, why = None, f"{part.device} has no supply: some light from the field alone"
        return Lamp(part.a, "input", lit, part.a, part.b, reading, direct_a, alternating_a, why)

    def _read(self, red: str, black: str, *fed: str) -> Reading | None:
        """Without what electronic contacts keep on the ways to these terminals."""
        reading = self._trial.reading(red, black)
        if reading is None or not self._keeps_volts:
            return reading
        standing = self._trial.standing
        return less(reading, sum(kept_v(standing, terminal) for terminal in fed))

    @cached_property
    def _keeps_volts(self) -> bool:
        return any(drop_of(self._panel, part) for part in self._panel.parts)

    def _judged(self, part: Part, reading: Reading, amperes: float) -> tuple[bool | None, str]:
        """By what is across it, of the kind and the way round it is made for."""
        load = part.load
        if load is None or not load.volts:
            return None, "the text says no voltage for it"
        levels = self._levels(part)
        if reading.floats or reading.size_v < levels.off_v:
            return False, ""
        if load.kind and reading.kind != load.kind:
            return None, f"{reading} on an input for {load.kind}"
        if load.kind == "DC" and self._is_backwards(part, reading):
            return False, "the wrong way round: its current would have to flow against its common"
        below_a = part.number("off_below_a")
        if below_a and amperes < below_a:
            return False, "too little current flows"
        if reading.size_v >= levels.on_v * 0.999:
            return True, ""
        return None, f"between {levels.off_v:g} V and {levels.on_v:g} V it may be lit or not"

    def _is_backwards(self, part: Part, reading: Reading) -> bool:
        """A common that is a pole of the controller's own supply decides which way round."""
        supply = self._supply(self._panel.devices[part.device])
        if supply is None or part.b not in (supply.a, supply.b):
            return False
        return reading.dc_v < 0 if part.b == supply.b else reading.dc_v > 0

    def _levels(self, part: Part) -> InputLevels:
        levels = input_levels(part)
        if not levels.said:
            self._assumed[
                f"inputs of {part.device} on from {levels.on_v:g} V, off below {levels.off_v:g} V "
                "where it does not say (IEC 61131-2, from memory)"
            ] = None
        return levels

    def _output(self, part: Part, powered: bool | None) -> Lamp:
        common, terminal = self._sides(part)
        black = self._home_of(part, common)
        on = bool(self._trial.position(part.mechanism))
        expected = self._read(terminal, black, *([terminal] if on else ())) if black else None
        direct_a, alternating_a = self._trial.amperes(part) or (None, None)
        if direct_a is not None and part.a != terminal:
            direct_a = -direct_a
        why = f"{part.device} has no supply" if powered is False else ""
        fed = self._trial.reading(common, black) if black and powered else None
        if fed is not None and (fed.floats or fed.size_v < LEAST_V):
            why = f"nothing feeds its common {mark_of(common)}: nothing comes out"
        elif fed is not None and abs(direct_a or 0.0) + (alternating_a or 0.0) < LEAST_A:
            why = IDLE if on else LEAKS if expected is not None and expected.like(fed) else ""
        lit = None if powered is None else on and powered
        pair = (terminal, black)
        return Lamp(terminal, "output", lit, *pair, expected, direct_a, alternating_a, why)

    def _sides(self, part: Part) -> tuple[str, str]:
        """The common of an output, and its own terminal."""
        suffix = part.mechanism.partition(" ")[2]
        return (part.a, part.b) if mark_of(part.b) == suffix else (part.b, part.a)

    def _home_of(self, part: Part, common: str) -> str:
        """The other side of the controller's own supply, where the common is on that; else where
        what it switches comes home to, or is fed from.  Empty where it switches nothing."""
        supply = self._supply(self._panel.devices[part.device])
        if supply is not None and common in (supply.a, supply.b):
            return supply.b if common == supply.a else supply.a
        return self._far_ends.get(part.index, "")

    @cached_property
    def _far_ends(self) -> dict[int, str]:
        """By output, the pole at the other end of the first load that it switches."""
        found: dict[int, str] = {}
        loads = [part for part in self._panel.parts if part.load is not None and part.a != part.b]
        for load in loads:
            for way in walks_of(self._trial.states, load).ways:
                for side, far in ((way.out, way.end), (way.home, way.start)):
                    for one in side:
                        if isinstance(one.by, Part) and one.by.mechanism:
                            found.setdefault(one.by.index, far)
        return found


def way_of(lamp: Lamp) -> str:
    """Which way its current flows, in the trade's words."""
    if lamp.direct_a is None or abs(lamp.direct_a) < LEAST_A:
        return ""
    return "into it: it sinks" if lamp.direct_a > 0 else "out of it: it sources"
