"""Faults put into one panel, and all that they share: kept from one answer to the next."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from functools import cache

from netcheck.bench.alike import Alike
from netcheck.bench.broken_panel import Bench
from netcheck.bench.candidates import Candidate
from netcheck.bench.faults_at_once import Played
from netcheck.bench.fitting import Tried, tried
from netcheck.bench.hands import Hands
from netcheck.bench.sound import Sound
from netcheck.model.panel import Panel


class Tries:
    """What a fault does hangs on no reading: of each it is worked out once, and once of all that
    are alike."""

    def __init__(self, panel: Panel) -> None:
        self.sound = Sound(panel)
        self._hands = Hands(self.sound)
        self.alike = cache(Alike(panel).of)
        """The same for faults that join terminals alike; None of what does more than join."""
        self._benches: dict[Hashable, Bench] = {}
        self._tried: dict[Candidate, Tried] = {}
        self._played: dict[tuple[str, ...], Played] = {}

    def play(self, candidates: Sequence[Candidate]) -> Played:
        """These at once."""
        names = tuple(one.words for one in candidates)
        if names not in self._played:
            self._played[names] = Played(self.sound, candidates)
        return self._played[names]

    def of(self, candidate: Candidate, played: Played) -> Tried:
        """`played` tells its states, where it knows of them."""
        if candidate not in self._tried:
            one = tried(self.sound, candidate, played, self._hands)
            alike = self.alike(candidate)
            if alike is not None:
                (bench,) = one.benches
                one = Tried(candidate, (self._benches.setdefault(alike, bench),))
            self._tried[candidate] = one
        return self._tried[candidate]
