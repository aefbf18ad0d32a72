"""The least current of a short circuit at a load, and whether the device ahead opens on it at once.

First a bound: the voltage over the source's impedance and all the wire that may lie on the
way out and home.  Where that is too little, the short is put across the load in a state in
which it is on, and the panel is solved.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.component_values import ComponentValues, why_no_ohm
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.facts.solved_states import SolvedStates
from netcheck.model.devices import Device, SourcePart
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.rounding import exceeds
from netcheck.states.answers import Reached, Undecided
from netcheck.states.volts import magnitude

BOLTED_OHM = 1e-4
CURVES = {"B": 5.0, "C": 10.0, "D": 20.0}
"""Of the rating, above which a breaker surely opens at once: IEC 60898, from memory."""
BREAKER = 5.0
"""Of the rating, where no curve is said: common practice, from memory."""
FUSE = 3.0
"""Of the rating, above which a fuse opens within seconds: from memory."""
MOST_SOLUTIONS = 40
"""Of one panel; devices beyond are not decided."""


@record
class FarFault:
    """One device, and a load at which a short circuit gives it less than opens it at once.

    `needed_a` is `multiple` of its rating; `answer` is Reached with the state that was
    solved, or Undecided.
    """

    device: Device
    load: LoadCurrent
    current_a: float
    rating_a: float
    multiple: float
    source: SourcePart
    limited: bool
    answer: Reached | Undecided

    @property
    def needed_a(self) -> float:
        return self.rating_a * self.multiple


@record
class FarFaults:
    """By device the load at which it is worst, if it is too little there; wires on the way to
    a load behind a device of which too little is said, each with the reason."""

    faults: tuple[FarFault, ...]
    missing: tuple[tuple[Wire, str], ...]


@concludes(Behaviour, ComponentValues, CurrentPaths, LoadsAtOnce, Protection, SolvedStates)
def find_far_faults(view: View) -> FarFaults:
    finder = _Finder(view)
    return FarFaults(tuple(finder.find()), tuple(finder.missing(view[ComponentValues])))


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.paths = view[CurrentPaths]
        self.at_once = view[LoadsAtOnce]
        self.protection = view[Protection]
        self.solved = view[SolvedStates]
        self.solutions = 0

    def find(self) -> Iterator[FarFault]:
        wire_ohm = self.solved.ratings.wire_ohm
        loop_ohm = self.paths.along({index: abs(ohm) for index, ohm in wire_ohm.items()})
        by_device: dict[str, list[tuple[float, int, Ahead]]] = {}
        for number in sorted(self.paths.fed):
            ahead = self._device_ahead(number)
            if ahead is not None:
                bound_a = self._bound_a(number, ahead, loop_ohm[number])
                if bound_a < ahead.amperes * self._multiple(ahead):
                    by_device.setdefault(ahead.by, []).append((bound_a, number, ahead))
        for found in by_device.values():
            yield from self._worst(sorted(found, key=lambda one: one[:2]))

    def missing(self, values: ComponentValues) -> Iterator[tuple[Wire, str]]:
        if not values.wires_unsaid:
            return
        protected = {number for number in self.paths.fed if self._device_ahead(number)}
        for index in values.wires_unsaid:
            if not protected.isdisjoint(self.paths.loads_on(index)):
                yield self.panel.wires[index], why_no_ohm(self.panel.wires[index])

    def _device_ahead(self, number: int) -> Ahead | None:
        """The device that must open on a short circuit at the load, if it is one that opens."""
        part = self.paths.loads[number].parts[0]
        ends = [self.protection.worst(terminal) for terminal in (part.a, part.b)]
        devices = [one for one in ends if one is not None and one.holds is Holds.DEVICE]
        return max(devices, key=lambda one: one.amperes, default=None)

    def _multiple(self, ahead: Ahead) -> float:
        device = self.panel.devices[ahead.by]
        at_once_a = device.number("instantaneous_a")
        if at_once_a:
            return at_once_a / ahead.amperes
        if device.kind == "fuse":
            return FUSE
        return CURVES.get(str(device.values.get("curve", "")).upper(), BREAKER)

    def _bound_a(self, number: int, ahead: Ahead, loop_ohm: float) -> float:
        source = self.panel.sources[ahead.source]
        feeds = self.states.feeds(self.paths.loads[number].parts[0])
        volts = min((magnitude(feed.volts) for feed in feeds), default=0.0)
        source_ohm = 2 * abs(self.solved.ratings.source_ohm.get(ahead.source, 0.0))
        total_ohm = source_ohm + loop_ohm
        current_a = volts / total_ohm if total_ohm else float("inf")
        limit_a = self._limit_a(source)
        return current_a if limit_a is None else min(current_a, limit_a)

    def _limit_a(self, source: SourcePart) -> float | None:
        if not source.current_limited:
            return None
        return self.panel.devices[source.device].number("limit_a") or source.current_a

    def _worst(self, found: list[tuple[float, int, Ahead]]) -> Iterator[FarFault]:
        for bound_a, number, ahead in found:
            fault = self._solve(number, ahead, bound_a)
            if isinstance(fault.answer, Undecided) or exceeds(fault.needed_a, fault.current_a):
                yield fault
                return

    def _solve(self, number: int, ahead: Ahead, bound_a: float) -> FarFault:
        source = self.panel.sources[ahead.source]
        device, load = self.panel.devices[ahead.by], self.paths.loads[number]
        limit_a = self._limit_a(source)
        on = self.at_once.together((number,))
        answer: Reached | Undecided = Undecided("no settled state has it on")
        current_a = bound_a
        if isinstance(on, Undecided):
            answer = on
        elif isinstance(on, Reached):
            answer = on
            solved = self._current_a(device, load, on)
            if isinstance(solved, Undecided):
                answer = solved
            else:
                current_a = solved
        limited = limit_a is not None and max(bound_a, current_a) >= limit_a * 0.99
        return FarFault(
            device, load, current_a, ahead.amperes, self._multiple(ahead), source, limited, answer
        )

    def _current_a(self, device: Device, load: LoadCurrent, answer: Reached) -> float | Undecided:
        """Through the device, with the load bridged."""
        from netcheck.solve.steady import Across

        self.solutions += 1
        if self.solutions > MOST_SOLUTIONS:
            return Undecided("more devices in doubt than are looked at")
        bridges = tuple(Across(part.a, part.b, BOLTED_OHM) for part in load.parts)
        steady = self.solved.solve(answer, extra=bridges)
        if isinstance(steady, Undecided):
            return steady
        currents = [
            abs(current)
            for index in device.parts
            for current in steady.part_a(index).values()
            if current is not None
        ]
        return max(currents, default=0.0)
