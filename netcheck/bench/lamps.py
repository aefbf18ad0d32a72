"""Which lamps of a controller should be lit, step by step, and where to meter if one is not so.

An input's lamp goes by the volts that are really across it, and by the way its current flows;
an output's by whether the controller has switched it on, which says nothing of what comes out:
that is read at its terminal.  A controller without its supply shows nothing and switches nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from netcheck.bench.input_lamps import input_levels
from netcheck.bench.lamps_now import (
    controllers_of,
    inputs_and_outputs,
    is_lit,
    is_powered,
    is_switched_on,
    read_past_sensors,
    sides_of,
    supply_of,
)
from netcheck.bench.readings import Reading
from netcheck.bench.standing import stand
from netcheck.bench.trial import Trial
from netcheck.bench.walks import walks_of
from netcheck.bench.whereabouts import grounded_poles
from netcheck.facts.sections import is_protective, rating_of
from netcheck.figure import figure
from netcheck.model.devices import Device, Part, mark_of
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
    """`steps` begins with everything at rest; `restless` says that relays never came to rest.
    `highest_v` is the most that was met on a controller in these steps, V."""

    steps: tuple[Step, ...]
    assumed: tuple[str, ...]
    highest_v: float
    restless: bool = False

    @property
    def left_open(self) -> bool:
        shown = [one for step in self.steps for one in step.shown]
        unknown = any(lamp.lit is None for one in shown for lamp in one.lamps)
        return self.restless or unknown or any(one.powered is None for one in shown)


def lamps(panel: Panel, steps: Sequence[str], drawn: Panel | None = None) -> Lamps:
    """Each step is a switch, source or output put somewhere (`S2 pressed`, `PLC1:Q0 on`), or
    `T1 runs out` of a timer.  `drawn` is the panel without a fault that is in it.  Raises
    NameMistake."""
    return _Walk(panel, drawn or panel).of(steps)


class _Walk:
    def __init__(self, panel: Panel, drawn: Panel) -> None:
        self._panel = panel
        self._drawn = drawn
        self._trial = Trial(panel)
        self._controllers = controllers_of(panel)
        self._assumed: dict[str, None] = {}
        self._highest_v = 0.0

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
        return Lamps(tuple(told), tuple(self._assumed), self._highest_v, not self._trial.stands)

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
        let_go: dict[str, Device] = {}
        while dropped := self._without_supply(let_go):
            followed += dropped
        followed += [
            f"{name} has its supply back, and loses it with them on"
            for name, device in let_go.items()
            if is_powered(self._trial, device)
        ]
        shown = tuple(self._shown(device) for device in self._controllers)
        self._highest_v = max([self._highest_v, *map(self._most_v, self._controllers)])
        return Step(words, tuple(followed), tuple(self._trial.running()), shown)

    def _without_supply(self, let_go: dict[str, Device]) -> list[str]:
        """A controller that has lost its supply lets its outputs go, and is noted: unless what
        drags the supply down is too much for a fuse on its way, which then opens."""
        without = [one for one in self._controllers if is_powered(self._trial, one) is False]
        if without and (opened := self._opens_in_time()):
            return opened
        said = []
        for device in without:
            for name in device.mechanisms:
                if self._trial.position(name) and name in self._trial.states.machine.switches:
                    let_go[device.name] = device
                    said.append(f"{name} is off: {device.name} has no supply")
                    said += self._trial.put(name, 0)
        return said

    def _opens_in_time(self) -> list[str]:
        """The smallest protective device that carries more than it does for long."""
        over: list[tuple[float, str, float]] = []
        for part in self._panel.parts:
            device = self._panel.devices[part.device]
            rated_a = rating_of(device)
            moves = part.mechanism in self._trial.states.machine.switches
            if not rated_a or not moves or not is_protective(device, part):
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
        supply = supply_of(self._trial.panel, device)
        powered = is_powered(self._trial, device)
        pair = (supply.a, supply.b) if supply is not None else None
        reads = self._trial.reading(*pair) if pair is not None else None
        lamps = tuple(
            self._input(part, powered) if part.role == "input" else self._output(part, powered)
            for part in inputs_and_outputs(self._trial.panel, device)
        )
        return Shown(device.name, powered, pair, reads, lamps)

    def _most_v(self, device: Device) -> float:
        """The most of one kind that is met on it, to ground or from a terminal to another, V."""
        grounds = grounded_poles(self._trial.panel)
        readings = (
            self._trial.reading(terminal, black)
            for terminal in device.terminals
            for black in (*grounds, *device.terminals)
        )
        return max((max(abs(one.dc_v), one.ac_v) for one in readings if one), default=0.0)

    def _input(self, part: Part, powered: bool | None) -> Lamp:
        reading = read_past_sensors(self._trial, part.a, part.b, part.a, part.b)
        direct_a, alternating_a = self._trial.amperes(part) or (None, None)
        lit, why = is_lit(self._trial, part, powered)
        if part.load is not None and part.load.volts and (levels := input_levels(part)).taken:
            self._assumed[f"inputs of {part.device} {levels.taken}"] = None
        return Lamp(part.a, "input", lit, part.a, part.b, reading, direct_a, alternating_a, why)

    def _output(self, part: Part, powered: bool | None) -> Lamp:
        common, terminal = sides_of(part)
        black = self._home_of(part, common)
        on = is_switched_on(self._trial, part)
        fed_by = (terminal,) if on else ()
        expected = read_past_sensors(self._trial, terminal, black, *fed_by) if black else None
        direct_a, alternating_a = self._trial.amperes(part) or (None, None)
        if direct_a is not None and part.a != terminal:
            direct_a = -direct_a
        why = f"{part.device} has no supply" if powered is False else ""
        fed = self._trial.reading(common, black) if black and powered else None
        if fed is not None and (fed.floats or fed.size_v < LEAST_V):
            why = f"nothing feeds its common {mark_of(common)}: nothing comes out"
        elif fed is not None and abs(direct_a or 0.0) + (alternating_a or 0.0) < LEAST_A:
            why = IDLE if on else LEAKS if expected is not None and expected.like(fed) else ""
        lit, _ = is_lit(self._trial, part, powered)
        pair = (terminal, black)
        return Lamp(terminal, "output", lit, *pair, expected, direct_a, alternating_a, why)

    def _home_of(self, part: Part, common: str) -> str:
        """The other side of the controller's own supply, where the common is on that; else where
        what it switches comes home to, or is fed from.  Empty where it switches nothing."""
        supply = supply_of(self._panel, self._panel.devices[part.device])
        if supply is not None and common in (supply.a, supply.b):
            return supply.b if common == supply.a else supply.a
        return self._far_ends.get(part.index, "")

    @cached_property
    def _far_ends(self) -> dict[int, str]:
        """By output, the pole at the other end of the first load that it switches."""
        found: dict[int, str] = {}
        states = stand(self._drawn, powered=False).states
        for load in (part for part in self._drawn.parts if part.load is not None):
            for way in walks_of(states, load).ways:
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
