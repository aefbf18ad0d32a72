"""Faults put into one panel that is then operated, and what they share: its machine, and what has
to be moved for a relay to pull in."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from typing import TypeVar

from netcheck.bench.drills import moves_to
from netcheck.bench.joined_now import InDoubt
from netcheck.bench.observations import Trips
from netcheck.bench.quick_trial import QuickTrial
from netcheck.bench.several_shorts import SeveralShorts
from netcheck.bench.sound import Sound, Withs
from netcheck.bench.trial import Trial
from netcheck.model.devices import Drive
from netcheck.model.panel import Panel
from netcheck.states.answers import Reached
from netcheck.states.behaviour import turns_in_star

Told = TypeVar("Told")
Moves = tuple[tuple[str, int], ...]
"""Switches, and the positions that they are put in."""


class Hands:
    """`sound` is the panel without a fault."""

    def __init__(self, sound: Sound) -> None:
        self._sound = sound
        self._turns_in_star = any(turns_in_star(one) for one in sound.panel.devices.values())
        """Which a quick trial cannot tell."""
        self._machines: dict[tuple[Withs, tuple[str, ...]], Trial] = {}
        self._moves: dict[Trips, Moves] = {}

    def operated(
        self,
        withs: Withs,
        broken: Panel,
        moved: Iterable[str],
        operate: Callable[[Trial], Told],
        *,
        several: bool = False,
    ) -> Told:
        """What `operate` makes of the `broken` panel, in which of the switches only `moved` are
        moved; `withs` is what was put somewhere in it.  `several`: it may hold more than one
        short."""
        names = tuple(moved)
        if several:
            return operate(SeveralShorts(broken, rated=self._sound.rated, moved=names))
        if not self._turns_in_star:
            with suppress(InDoubt):
                quick = QuickTrial(self._machine(withs, names), broken)
                told = operate(quick)
                quick.look()
                return told
        return operate(Trial(broken, rated=self._sound.rated, moved=names))

    def _machine(self, withs: Withs, moved: tuple[str, ...]) -> Trial:
        if (withs, moved) not in self._machines:
            whole = self._sound.put(withs)
            self._machines[withs, moved] = Trial(whole, rated=self._sound.rated, moved=moved)
        return self._machines[withs, moved]

    def moves_for(self, seen: Trips) -> Moves:
        """What makes the relay pull in that the trip waits for; nothing where nothing does."""
        if seen not in self._moves:
            self._moves[seen] = tuple(self._found(seen)) if seen.when else ()
        return self._moves[seen]

    def _found(self, seen: Trips) -> Iterator[tuple[str, int]]:
        held, states = self._sound.put(seen.withs), self._sound.standing(seen.withs).states
        pulled_in = states.in_positions(seen.when, frozenset((1,)))
        answer = states.prover.can_happen(pulled_in, at="settled")
        if isinstance(answer, Reached):
            for name, position in moves_to(held, answer):
                if held.mechanisms[name].drive is not Drive.SOURCE:
                    yield name, position
