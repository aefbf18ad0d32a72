"""A panel with one change in it, and how it looks and reads in each state."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf

from netcheck.bench.at_places import AtPlaces
from netcheck.bench.circles import may_be_in_a_circle
from netcheck.bench.hands import Hands, Moves
from netcheck.bench.in_numbers import stand_in_numbers
from netcheck.bench.observations import Dim, Observation, Read, Symptom, Trips
from netcheck.bench.one_place import by_state, told_apart
from netcheck.bench.readings import Reading, Volts
from netcheck.bench.sound import Sound
from netcheck.bench.standing import Standing, stand
from netcheck.bench.trial import Trial, left_alone, troubled_standing
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.record import replace
from netcheck.states.answers import Undecided

DIM = (0.05, 0.9)
"""Between these shares of its volts a load is dim: it does something, and too little."""
SOFT_OFF, SOFT_ON = 0.9, 0.5
"""Where a load gets some of its volts: at this share and less it may be called off, at that and
more on."""
FED_ALIKE = 0.02
"""Relays that get as good as the same volts stand alike."""

Positions = tuple[tuple[str, ...], frozenset[int]]
Change = Callable[[Panel], Panel]
Known = Callable[[tuple[str, ...], Panel], Standing | None]


class Unsolvable(Exception):
    """With this fault there are no numbers to compare."""


class Bench:
    """A panel with one change in it, in each of the states that something was seen in.

    Not `operated`, everything is put where it was seen at once and nothing ever trips: quick.
    Operated, power comes on and what is shorted opens its fuse.  `soft`: loads are judged by
    their volts.  `known` gives a state that was worked out together with others, None where
    there is none; `sound` is the panel without the change.  `several`: it may hold more than one
    short.
    """

    def __init__(
        self,
        sound: Sound,
        change: Change,
        *,
        operated: bool = False,
        soft: bool = False,
        known: Known | None = None,
        hands: Hands | None = None,
        several: bool = False,
    ) -> None:
        self._sound = sound
        self._hands = hands or Hands(sound)
        self._several = several
        self._change = change
        self._operated = operated
        self._soft = soft
        self._known = known
        self._standing: dict[tuple[str, ...], Standing] = {}
        self._solved: dict[tuple[str, ...], AtPlaces] = {}
        self._positions: dict[tuple[str, ...], Positions] = {}
        self._as_others: dict[int, tuple[Bench, Bench]] = {}
        self._tripped: dict[Trips, bool] = {}

    def standing(self, withs: tuple[str, ...]) -> Standing:
        """Raises Unsolvable where relays do not come to rest, or nothing clears a short."""
        if withs not in self._standing:
            changed = self._changed(withs)
            known = self._known(withs, changed) if self._known is not None else None
            self._standing[withs] = known or self._worked_out(changed, withs)
        if self._standing[withs].restless:
            raise Unsolvable
        return self._standing[withs]

    def positions(self, withs: tuple[str, ...]) -> Positions:
        """Of all relays, and the supplies and drives that run.  Raises Unsolvable."""
        if withs not in self._positions:
            standing, steady = self.standing(withs), self._numbers(withs).steady
            if isinstance(steady, Undecided):
                raise Unsolvable
            relays = tuple(standing.position(name) for name in standing.states.machine.movers)
            self._positions[withs] = relays, steady.live
        return self._positions[withs]

    def _worked_out(self, changed: Panel, withs: tuple[str, ...]) -> Standing:
        if self._soft:
            found = stand_in_numbers(self._sound, withs, changed)
            if found is None:
                raise Unsolvable
            standing, self._solved[withs] = found
            return standing
        if changed is self._sound.put(withs):
            return self._sound.standing(withs)
        return self._run(changed, withs) if self._operated else self._stood(changed)

    def _run(self, changed: Panel, withs: tuple[str, ...]) -> Standing:
        trial = self._hands.operated(withs, changed, (), _powered, several=self._several)
        if not trial.stands:
            raise Unsolvable
        return trial.standing

    def _stood(self, changed: Panel) -> Standing:
        return replace(stand(left_alone(changed, changed, ())), rated=self._sound.rated)

    def _changed(self, withs: tuple[str, ...]) -> Panel:
        return self._change(self._sound.put(withs))

    def reading(self, red: str, black: str, withs: tuple[str, ...]) -> Reading:
        """What a meter shows, wires taken as ideal."""
        reading = self._numbers(withs).reading(red, black)
        if reading is None:
            raise Unsolvable
        return reading

    def volts(self, red: str, black: str, withs: tuple[str, ...]) -> Volts | None:
        """By system; None where it floats.  Raises Unsolvable."""
        numbers = self._numbers(withs)
        if not numbers.solved:
            raise Unsolvable
        return numbers.volts(red, black)

    def _numbers(self, withs: tuple[str, ...]) -> AtPlaces:
        """Raises Unsolvable."""
        standing = self.standing(withs)
        if withs not in self._solved:
            self._solved[withs] = AtPlaces(standing, self._sound.solved)
        return self._solved[withs]

    def reading_as(self, other: Bench, seen: Read) -> Reading:
        """What is read with relays as they stand at another bench.  Raises Unsolvable."""
        return self.standing_as(other).reading(seen.red, seen.black, seen.withs)

    def standing_as(self, other: Bench) -> Bench:
        """With relays, drives and supplies as they stand at another bench, whatever they get; loads
        by their volts."""
        if other is self:
            return self
        if id(other) not in self._as_others:

            def stood(withs: tuple[str, ...], changed: Panel) -> Standing:
                there, (_, running) = other.standing(withs), other.positions(withs)
                values, rated = dict(there.values), self._sound.rated
                stood = troubled_standing(changed, there.states, values, rated)
                return replace(stood, running=running)

            bench = Bench(self._sound, self._change, soft=True, known=stood)
            self._as_others[id(other)] = other, bench
        return self._as_others[id(other)][1]

    def tells_apart(self, other: Bench, seen: Sequence[Observation]) -> bool:
        """Whether readings differ of points that are one place here, with contacts that are closed
        at the other bench as well, or from what a source gives here and there.  Raises
        Unsolvable."""
        return any(self._tells_apart(other, withs, reads) for withs, reads in by_state(seen))

    def _tells_apart(self, other: Bench, withs: tuple[str, ...], reads: Sequence[Read]) -> bool:
        place_of = self._numbers(withs).place_however(other.standing(withs))
        poles = [
            {place_of(f"{one.device}:{pole}") for pole in one.poles}
            for one in self._sound.panel.sources
            if self._sound.panel.devices[one.device].kind != "transformer"  # gives as it gets
        ]
        given = (one for one in reads if _are_poles(poles, place_of(one.red), place_of(one.black)))
        return told_apart(reads, place_of) or not all(
            any(one.agrees(at.reading(one.red, one.black, withs)) for at in (self, other))
            for one in given
        )

    def fed_otherwise(self, other: Bench, withs: tuple[str, ...]) -> set[str]:
        """Relays, and sources that run from others, that get other volts at the other bench while
        everything stands as it does here.  Raises Unsolvable."""
        there, panel = other.standing_as(self), self.standing(withs).panel
        movers = self.standing(withs).states.machine.movers
        fed = [(name, panel.mechanisms[name].coils) for name in movers]
        fed += [(source.device, source.inputs) for source in panel.sources]

        def differs(part: Part) -> bool:
            here_v, there_v = (one.reading(part.a, part.b, withs) for one in (self, there))
            return not here_v.like(there_v, FED_ALIKE)

        return {name for name, parts in fed if any(differs(panel.parts[one]) for one in parts)}

    # ---- symptoms ----------------------------------------------------------------------------

    def looks(self, seen: Symptom | Dim | Trips) -> bool:
        if isinstance(seen, Trips):
            if seen not in self._tripped:
                self._tripped[seen] = self._operated and self._trips(seen)
            return self._tripped[seen]
        standing = self.standing(seen.withs)
        if isinstance(seen, Dim):
            return any(DIM[0] < level < DIM[1] for level in self.levels(seen))
        for name in standing.panel.devices[seen.device].mechanisms:
            if standing.panel.mechanisms[name].moved_by_coil:
                states = standing.states
                return seen.on == standing.holds(states.in_positions(name, frozenset((1,))))
        if self._soft:
            levels = self.levels(seen)
            return any(level >= SOFT_ON if seen.on else level <= SOFT_OFF for level in levels)
        loads = _loads(standing.panel, seen.device)
        on = [standing.is_energised(one) for one in loads]
        return any(on) if seen.on else not any(on) or (_is_three_phase(loads) and not all(on))

    def judged(self, seen: Symptom | Dim) -> list[Part]:
        """The loads of a device whose volts tell how it looks; none where a coil tells it."""
        panel = self.standing(seen.withs).panel
        moves = [panel.mechanisms[name] for name in panel.devices[seen.device].mechanisms]
        if isinstance(seen, Symptom) and any(one.moved_by_coil for one in moves):
            return []
        return _of_some_volts(panel, seen.device)

    def levels(self, seen: Symptom | Dim) -> list[float]:
        """The share of its volts that each load of a device gets.  Raises Unsolvable."""
        loads = _of_some_volts(self.standing(seen.withs).panel, seen.device)
        return [level_of(one, self.reading(one.a, one.b, seen.withs)) for one in loads] or [0.0]

    def _trips(self, seen: Trips) -> bool:
        """Whether it opens: as power comes, or with the relay in that it waits for and not before.

        What moves that relay may move others first, on whose account it opens already: then it is
        closed again once the relay is in.
        """
        changed = self._changed(seen.withs)
        if not may_be_in_a_circle(changed, seen.device):
            return False
        moves = self._hands.moves_for(seen)
        moved = [name for name, _ in moves]

        def operate(trial: Trial) -> bool:
            return self._opens(trial, seen, moves)

        return self._hands.operated(seen.withs, changed, moved, operate, several=self._several)

    def _opens(self, trial: Trial, seen: Trips, moves: Moves) -> bool:
        mechanisms = self._sound.panel.devices[seen.device].mechanisms
        opened = {f"{name} opens: a short" for name in mechanisms}
        at_power = not opened.isdisjoint(trial.powered())
        if not seen.when or at_power:
            return at_power and not seen.when
        said: list[str] = []
        for name, position in moves:
            said += trial.put_if_it_moves(name, position)
        pulled = self._sound.panel.mechanisms[seen.when].steps[1]
        if pulled not in said:
            return False
        if not opened.isdisjoint(said[said.index(pulled) :]):
            return True
        if trial.position(seen.when) != 1 or opened.isdisjoint(said):
            return False
        return any(not opened.isdisjoint(trial.put_if_it_moves(name, 1)) for name in mechanisms)


def _are_poles(poles: Sequence[set[int]], red: int, black: int) -> bool:
    """Whether these are two poles of one source."""
    return red != black and any({red, black} <= one for one in poles)


def _powered(trial: Trial) -> Trial:
    trial.powered()
    return trial


def _loads(panel: Panel, device: str) -> list[Part]:
    """Of a controller what it runs on: an input that is lit does not mean that it works."""
    parts = [panel.parts[index] for index in panel.devices[device].parts]
    loads = [part for part in parts if part.load is not None]
    return [part for part in loads if part.role != "input"] or loads


def _of_some_volts(panel: Panel, device: str) -> list[Part]:
    """Its loads of which volts are said that they are made for."""
    loads = _loads(panel, device)
    return [one for one in loads if one.load is not None and one.load.volts and one.a != one.b]


def level_of(part: Part, reading: Reading) -> float:
    """The share of the volts it is made for that a load gets: of another kind none."""
    load = part.load
    assert load is not None
    assert load.volts
    return reading.size_v / load.volts if reading.kind in ("", load.kind or reading.kind) else 0.0


def looked_for(seen: Symptom | Dim) -> tuple[float, float]:
    """The least and the most share of its volts at which a load looks so."""
    if isinstance(seen, Dim):
        return DIM
    return (SOFT_ON, inf) if seen.on else (0.0, SOFT_OFF)


def _is_three_phase(loads: Sequence[Part]) -> bool:
    """Whether these are one load on three lines: on two of them a motor hums and does not start,
    and one that ran runs on."""
    return len(loads) == 3 and all(one.load is not None and one.load.phases == 3 for one in loads)


def positions_of(bench: Bench, withs: Sequence[tuple[str, ...]]) -> tuple[Positions, ...] | None:
    """None where relays do not come to rest, or there are no numbers."""
    try:
        return tuple(bench.positions(one) for one in withs)
    except Unsolvable:
        return None
