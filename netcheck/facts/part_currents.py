"""Contacts and protective devices through which more current goes than they are rated for.

First every load that may draw through a pole is added up.  Where that is too much, the
loads that a reachable state has on together are looked for.  A contact is held to its
rating at the voltage and kind of what it switches; a protective device to its rating, with
continuous loads at 125 % in NEC practice (210.20(A)).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import heaviest_beyond
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.sections import ProtectivePole, Sections
from netcheck.model.devices import Conducts, Part
from netcheck.record import record
from netcheck.rounding import with_slack
from netcheck.states.answers import Answer
from netcheck.states.volts import Volts, kind_of, magnitude

CONTINUOUS = 1.25
SAME_VOLTAGE = 1.1
"""A rating is good for so much more than its nominal voltage, which goes by several numbers."""


@record
class PartCurrent:
    """One pole, what goes through it and what it is rated for, A; the loads that are on."""

    part: Part
    rated_a: float
    rated_for: str
    needed_a: float
    continuous: bool
    loads: tuple[LoadCurrent, ...]
    answer: Answer


@record
class PoleBound:
    """One pole, its rating, what all its loads come to, A, and these by number in the paths."""

    part: Part
    rated_a: float
    most_a: float
    loads: tuple[int, ...]


@record
class PartCurrents:
    """`contacts` and `protective` poles that carry too much, or of which it is not decided;
    `bounds` are all poles judged, with what all loads that may draw through them come to."""

    contacts: tuple[PartCurrent, ...]
    protective: tuple[PartCurrent, ...]
    bounds: tuple[PoleBound, ...] = ()


@concludes(Behaviour, CurrentPaths, LoadCurrents, LoadsAtOnce, Sections)
def find_part_currents(view: View) -> PartCurrents:
    finder = _Finder(view)
    return PartCurrents(tuple(finder.contacts()), tuple(finder.protective()), tuple(finder.bounds))


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.paths = view[CurrentPaths]
        self.at_once = view[LoadsAtOnce]
        self.poles = view[Sections].poles
        self.share = 1.0 if view[LoadCurrents].iec else CONTINUOUS
        self.bounds: list[PoleBound] = []

    def contacts(self) -> Iterator[PartCurrent]:
        for part in self.panel.parts:
            if part.conducts is not Conducts.CONTACT or part.current_a is None:
                continue
            numbers = self.paths.loads_through(part)
            rated_a = self._rated_a(part, numbers)
            if numbers and rated_a is not None:
                yield from self._judged(part, rated_a, "as described", numbers, 1.0)

    def protective(self) -> Iterator[PartCurrent]:
        for pole in self.poles:
            numbers = self.paths.loads_through(pole.part)
            if numbers and pole.rating_a is not None and self._opens(pole):
                yield from self._judged(pole.part, pole.rating_a, "its rating", numbers, self.share)

    def _opens(self, pole: ProtectivePole) -> bool:
        """Overloads and motor protectors are set to their motor by another rule."""
        return pole.device.kind in ("breaker", "fuse") and not pole.device.number("setting_a")

    def _rated_a(self, part: Part, numbers: Sequence[int]) -> float | None:
        """At the highest voltage of what it switches; None where no rating is for that."""
        volts = [v for number in numbers for v in self._volts(number)]
        if not volts:
            return None
        if not part.ratings:
            return part.current_a
        highest, kind = max(map(magnitude, volts)), kind_of(volts[0])
        rated = [
            one.current_a
            for one in part.ratings
            if one.volts * SAME_VOLTAGE >= highest and (kind in one.kind or not one.kind)
        ]
        return max(rated, default=None)

    def _volts(self, number: int) -> Iterator[Volts]:
        for part in self.paths.loads[number].parts:
            for feed in self.states.feeds(part):
                yield feed.volts

    def _judged(
        self, part: Part, rated_a: float, rated_for: str, numbers: Sequence[int], share: float
    ) -> Iterator[PartCurrent]:
        loads = self.paths.loads
        amperes = {
            number: loads[number].current_a
            * (share if loads[number].sort is Sort.CONTINUOUS else 1.0)
            for number in numbers
        }
        self.bounds.append(PoleBound(part, rated_a, sum(amperes.values()), tuple(numbers)))
        found = heaviest_beyond(amperes, self.at_once, with_slack(rated_a))
        if found is None:
            return
        on = tuple(loads[number] for number in found.loads)
        raised = share > 1 and any(load.sort is Sort.CONTINUOUS for load in on)
        yield PartCurrent(part, rated_a, rated_for, found.total, raised, on, found.answer)
