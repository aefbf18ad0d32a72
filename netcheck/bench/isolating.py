"""What is live after which breaker or disconnect is open: a walk, not a proof of positions.

Every contact counts as closed, every load as a way, every supply as running; only what is opened
by hand and can be locked stands open.  Too much is live by this, never too little: a set of
handles with which nothing reaches a device is complete whatever relays, controllers and
switches do.  A grounded conductor is held at ground and carries no source on, as long as it
is whole.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from functools import cached_property
from itertools import combinations

from netcheck.bench.readings import as_said
from netcheck.bench.standing import stand
from netcheck.bench.whereabouts import GroundAtHand, held_at_ground, place_of
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.figure import figure
from netcheck.model.devices import Conducts, Part, SourcePart, device_of, is_inside
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.behaviour import Behaviour
from netcheck.states.volts import Volts, kind_of, magnitude

HANDLES = ("breaker", "disconnect")
MOST_HANDLES = 3
"""Of a lock-out list, before its sources are locked out instead."""
STORES = {
    "capacitor": "a capacitor stays charged",
    "drive": "a drive's capacitors stay charged: wait as long as its maker says",
    "supply": "a supply's capacitors take seconds to fall",
    "battery": "live at its own poles as long as it holds charge: never proved dead",
    "fan": "a fan runs down, and a draught turns it",
    "heater": "a heater stays hot",
    "motor": "a motor runs down, and may be turned by what it drives",
    "valve": "pressure stays behind a valve",
}
"""What holds energy with every source locked out, by the kind of device: from memory."""

GIVES_BACK = ("capacitor", "drive", "supply")
"""Those of them that feed what is joined to them until they are empty."""

UNKNOWN_VOLTS = "volts not known"

Reach = Mapping[str, frozenset[str]]
"""For each terminal that is live the sources that reach it."""


@record
class Beside:
    """A device that stays live beside another, and its highest volts of each kind, in words."""

    device: str
    volts: str
    highest_v: float

    def __str__(self) -> str:
        return f"{self.device} ({self.volts})"


@record
class Isolation:
    """One device: what reaches it, and what to lock so that nothing does.

    `handles` are breakers and disconnects, `elsewhere` sources that nothing in this text opens:
    they are locked where they come from, but a battery's own poles.  `stays_live` is what is
    live beside it even so.
    """

    device: str
    location: str
    sources: tuple[str, ...]
    handles: tuple[str, ...]
    elsewhere: tuple[str, ...]
    points: tuple[str, ...]
    """What of it is to be proved dead."""
    ground: str
    """Where a lead finds it beside the device, `ground (GB1)`; `ground` where no text says it."""
    prove_dead: tuple[str, ...]
    """Pairs of points, `K1:A1 to ground (GB1)`: each to ground, and to every other; none of a
    battery, which is never dead."""
    stays_live: tuple[Beside, ...]
    stored: tuple[str, ...]
    unlocked: tuple[str, ...] = ()
    """Of `elsewhere` the batteries: what reaches the device from them is parted by no lock."""


class Isolator:
    """One panel.  What is reached with a set of handles open is worked out once."""

    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self._reached: dict[frozenset[str], Reach] = {}
        self.handles = tuple(n for n, d in panel.devices.items() if d.kind in HANDLES)
        self.grounded = held_at_ground(panel)
        self._ground = GroundAtHand(panel)

    # ---- what reaches what -------------------------------------------------------------------

    def reach(self, opened: Iterable[str] = ()) -> Reach:
        """With these handles, and the sources among these names, off."""
        key = frozenset(opened)
        if key not in self._reached:
            self._reached[key] = self._walked(key)
        return self._reached[key]

    def _walked(self, opened: frozenset[str]) -> Reach:
        found: dict[str, set[str]] = {}
        todo: list[tuple[str, str]] = []
        for source in self.panel.sources:
            if not source.inputs and source.device not in opened:
                todo += [(pole, source.device) for pole in self._live_poles(source)]
        while todo:
            at, name = todo.pop()
            if name in found.setdefault(at, set()) or at in self.grounded:
                continue
            found[at].add(name)
            todo += [(there, name) for there in self.onwards(at, opened)]
        return {at: frozenset(names) for at, names in found.items() if names}

    def onwards(self, at: str, opened: frozenset[str] = frozenset()) -> Iterator[str]:
        """The terminals that can be live from one that is, with these handles open."""
        for wire in self.panel.wires_at.get(at, ()):
            yield wire.b if wire.a == at else wire.a
        for part in self.panel.parts_at.get(at, ()):
            if part.conducts in (Conducts.NOTHING, Conducts.BOND):
                continue
            if part.device in opened and part.conducts is Conducts.JOINS:
                continue
            yield part.b if part.a == at else part.a
        yield from self._passed_on.get(at, ())

    @cached_property
    def _passed_on(self) -> Mapping[str, Sequence[str]]:
        """From the input of a supply or transformer to its output, and of a transformer back."""
        found: dict[str, list[str]] = {}
        for source in self.panel.sources:
            poles = self._live_poles(source)
            for index in source.inputs:
                fed = self.panel.parts[index]
                for end in (fed.a, fed.b):
                    found.setdefault(end, []).extend(poles)
                    if _works_backwards(fed):
                        for pole in poles:
                            found.setdefault(pole, []).append(end)
        return found

    def _live_poles(self, source: SourcePart) -> list[str]:
        poles = (f"{source.device}:{pole}" for pole in source.poles)
        return [pole for pole in poles if pole not in self.grounded]

    def poles_of(self, name: str) -> list[str]:
        """The poles of a source by which it makes something live."""
        own = [source for source in self.panel.sources if source.device == name]
        return [pole for source in own for pole in self._live_poles(source)]

    # ---- what to lock ------------------------------------------------------------------------

    def of(self, device: str) -> Isolation:
        points = self.panel.devices[device].terminals
        sources = self._reaching(points, ())
        handles, elsewhere = self._lock_out((device,), points)
        locked = (*handles, *elsewhere)
        proved = tuple(self._proved(points))
        ground = self._ground.beside(device)
        return Isolation(
            device,
            self.panel.devices[device].location,
            sources,
            handles,
            elsewhere,
            proved,
            ground,
            () if self.is_battery(device) else tuple(self._to_prove(proved, ground)),
            tuple(self._beside(device, locked)),
            tuple(self._stored(device, points, locked)),
            tuple(filter(self.is_battery, elsewhere)),
        )

    def lock_out(self, *devices: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Handles with which nothing reaches any of these, and sources that no handle opens."""
        points = [end for name in devices for end in self.panel.devices[name].terminals]
        return self._lock_out(devices, points)

    def is_battery(self, name: str) -> bool:
        return self.panel.devices[name].kind == "battery"

    def _reaching(self, points: Sequence[str], opened: Iterable[str]) -> tuple[str, ...]:
        reach = self.reach(opened)
        names = [source.device for source in self.panel.sources]
        found = {name for point in points for name in reach.get(point, ())}
        return tuple(name for name in dict.fromkeys(names) if name in found)

    def _lock_out(
        self, devices: Sequence[str], points: Sequence[str]
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The fewest handles with which nothing reaches; of equals those that leave most live."""
        if not self._reaching(points, ()):
            return (), ()
        useful = [name for name in self.handles if name not in devices]
        place = {name: at for at, name in enumerate(useful)}
        for count in range(1, MOST_HANDLES + 1):
            cuts = set(self._cuts(points, place.keys(), frozenset(), count))
            if cuts:
                enough = sorted(sorted(cut, key=place.__getitem__) for cut in cuts)
                return tuple(max(enough, key=lambda some: len(self.reach(some)))), ()
        elsewhere = self._reaching(points, useful)
        needed = useful
        for name in useful:
            fewer = [one for one in needed if one != name]
            if not self._reaching(points, (*fewer, *elsewhere)):
                needed = fewer
        return tuple(needed), elsewhere

    def _cuts(
        self, points: Sequence[str], useful: Set[str], opened: frozenset[str], more: int
    ) -> Iterator[frozenset[str]]:
        """Sets with so many more handles with which nothing reaches.  Whatever set does it holds
        a handle of every way that is left, so those of one way are all that need be tried."""
        way = self._handles_of_a_way(points, opened)
        if way is None:
            yield opened
        elif more:
            for name in sorted(way & useful):
                yield from self._cuts(points, useful, opened | {name}, more - 1)

    def _handles_of_a_way(
        self, points: Sequence[str], opened: frozenset[str]
    ) -> frozenset[str] | None:
        """The handles passed on one way from a source to any of these points; None without one."""
        sources = [source for source in self.panel.sources if not source.inputs]
        todo = [pole for source in sources for pole in self._live_poles(source)]
        came = dict.fromkeys(todo, "")
        wanted = set(points) - self.grounded
        for at in todo:  # it grows as it is walked
            if at in wanted:
                return frozenset(self._handles_back(at, came))
            for there in self.onwards(at, opened):
                if there not in came and there not in self.grounded:
                    came[there] = at
                    todo.append(there)
        return None

    def _handles_back(self, at: str, came: Mapping[str, str]) -> Iterator[str]:
        """Those passed from a source to this terminal, to which one `came` from another."""
        while before := came[at]:
            if device_of(at) == device_of(before) and device_of(at) in self.handles:
                yield device_of(at)
            at = before

    def _proved(self, points: Sequence[str]) -> Iterator[str]:
        """What can be live, and its way home: that is at ground as long as nobody has opened it,
        and as the text has it (line to line, to neutral, to ground).  Nothing of what is dead."""
        reach = self.reach()
        if not any(point in reach for point in points):
            return
        for point in points:
            is_home = point in self.grounded and any(
                map(_carries, self.panel.parts_at.get(point, ()))
            )
            if (point in reach or is_home) and not is_inside(point):
                yield point

    def _to_prove(self, points: Sequence[str], ground: str) -> Iterator[str]:
        """Each point to ground, and each two that may differ."""
        for point in points:
            yield f"{point} to {ground}"
        for a, b in combinations(points, 2):
            yield f"{a} to {b}"

    def _beside(self, device: str, locked: Sequence[str]) -> Iterator[Beside]:
        """Devices of the same place that stay live."""
        reach, devices = self.reach(locked), self.panel.devices
        place = place_of(self.panel, device)
        for name, other in devices.items():
            live = [point for point in other.terminals if point in reach]
            if live and place_of(self.panel, name) == place:
                yield Beside(name, *self.volts_at(live))

    def _named(self, volts: Volts) -> str:
        kind = kind_of(volts)
        return f"{figure(as_said(self.panel, magnitude(volts), kind))} V {kind}"

    def volts_at(self, points: Sequence[str]) -> tuple[str, float]:
        """The highest of each kind, between conductors or to ground, in words; and in V."""
        places = [self._states.node(point) for point in points]
        every = [volts for volts in self._circuits.all_of(places) if magnitude(volts)]
        # Between a supply's input and its output both are met at once: each is told by itself.
        found = [volts for volts in every if kind_of(volts) in ("AC", "DC")] or every
        words = ", ".join(self._named(one) for one in found)
        return words or UNKNOWN_VOLTS, max(map(magnitude, found), default=0.0)

    @cached_property
    def _states(self) -> Behaviour:
        return stand(self.panel).states

    @cached_property
    def _circuits(self) -> CircuitVolts:
        return CircuitVolts(self._states)

    def _stored(self, device: str, points: Sequence[str], locked: Iterable[str]) -> Iterator[str]:
        """Of the device itself, and of all that can give what it holds back to it."""
        devices = self.panel.devices
        if devices[device].kind in STORES:
            yield f"{device}: {STORES[devices[device].kind]}"
        yield from self.giving_back(points, locked, but=device)

    def giving_back(
        self, points: Sequence[str], locked: Iterable[str] = (), but: str = ""
    ) -> Iterator[str]:
        """What holds energy and can give it to these points, with these handles open."""
        seen = self._behind(points, frozenset(locked))
        for name, other in self.panel.devices.items():
            if name != but and other.kind in GIVES_BACK and not seen.isdisjoint(other.terminals):
                yield f"{name}: {STORES[other.kind]}"

    def _behind(self, points: Iterable[str], opened: frozenset[str]) -> set[str]:
        """All that is joined to these points, whatever contacts do, with these handles open."""
        todo = [point for point in points if point not in self.grounded]
        seen = set(todo)
        while todo:
            at = todo.pop()
            new = {there for there in self.onwards(at, opened) if there not in self.grounded}
            todo += new - seen
            seen |= new
        return seen


def _carries(part: Part) -> bool:
    """Whether current of a circuit goes through it: not a bond, nor the bridge of a strip."""
    return part.load is not None or part.conducts in (Conducts.CONTACT, Conducts.ONE_WAY)


def _works_backwards(part: Part) -> bool:
    """Whether a winding: an electronic supply gives nothing back to its input."""
    return part.role == "primary"
