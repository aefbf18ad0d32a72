"""What supplies and transformers must give at most, against what they are made for.

By pole: every load that a reachable state feeds from it, as rated.  Where that is more than
the source is made for, the loads that a reachable state has on together are looked for.
Motors count by their tables' full-load current, and nothing counts 125 %: a source is
rated for what it gives.  Supplies that all say `may be paralleled` and stand side by side give
together what they are made for; of those said to be redundant each must give all alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import heaviest_beyond
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.model.devices import Device, SourcePart
from netcheck.record import record, replace
from netcheck.rounding import with_slack
from netcheck.states.answers import Answer
from netcheck.states.volts import is_live


@record
class SourceLoad:
    """One source of derived voltage, and the most that a pole must give, in A.

    `loads` are on together in the state of `answer`; where all together are within
    `rated_a` there is no answer, and `needed_a` is their sum.  `sharing` are the other
    supplies that give their part of it, their rating being in `rated_a` too.
    """

    device: Device
    pole: str
    rated_a: float
    needed_a: float
    loads: tuple[LoadCurrent, ...]
    answer: Answer | None
    sharing: tuple[Device, ...] = ()


@record
class SourceLoading:
    """`sources` are judged; `unrated` are devices that feed loads and say no rating; `fed`
    gives for each derived source, by index, the loads it may feed, by number."""

    sources: tuple[SourceLoad, ...]
    unrated: tuple[Device, ...]
    fed: Mapping[int, dict[int, LoadCurrent]]

    @property
    def overloaded(self) -> tuple[SourceLoad, ...]:
        return tuple(one for one in self.sources if one.answer is not None)


@concludes(Behaviour, CurrentPaths, LoadsAtOnce)
def find_source_loading(view: View) -> SourceLoading:
    return _Finder(view).find()


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.paths = view[CurrentPaths]
        self.at_once = view[LoadsAtOnce]
        self._fed: dict[tuple[int, int], list[int]] = {}
        """By source and rail, the loads it feeds there."""
        for number in sorted(self.paths.fed):
            for key in dict.fromkeys(self._feeding(number)):
                self._fed.setdefault(key, []).append(number)

    def find(self) -> SourceLoading:
        judged, unrated = [], []
        for index, source in enumerate(self.panel.sources):
            if not source.inputs:
                continue
            device = self.panel.devices[source.device]
            by_pole = list(self._by_pole(index, source))
            beside = self._sharing(index)
            if beside and beside[0] < index:
                continue
            if source.current_a is None:
                unrated += [device] if any(numbers for _, numbers in by_pole) else []
                continue
            rated_a = source.current_a + sum(
                self.panel.sources[other].current_a or 0.0 for other in beside
            )
            found = [
                self._judged(device, pole, rated_a, numbers) for pole, numbers in by_pole if numbers
            ]
            if found:
                worst = max(found, key=lambda one: (one.answer is not None, one.needed_a))
                names = [self.panel.sources[other].device for other in beside]
                sharing = tuple(self.panel.devices[name] for name in names)
                judged.append(replace(worst, sharing=sharing))
        once = {device.name: device for device in unrated}
        return SourceLoading(tuple(judged), tuple(once.values()), self._fed_by_source())

    def _sharing(self, index: int) -> list[int]:
        """The other sources beside this one, pole by pole, where all are made to share a load."""
        source = self.panel.sources[index]
        return [
            other
            for other, beside in enumerate(self.panel.sources)
            if other != index
            and beside.current_a is not None
            and all(
                self.panel.devices[one.device].values.get("may_be_paralleled")
                for one in (source, beside)
            )
            and beside.poles.keys() == source.poles.keys()
            and all(
                self.states.pole_node(other, pole) == self.states.pole_node(index, pole)
                for pole in source.poles
            )
        ]

    def _fed_by_source(self) -> dict[int, dict[int, LoadCurrent]]:
        found: dict[int, dict[int, LoadCurrent]] = {}
        for (source, _), numbers in self._fed.items():
            if self.panel.sources[source].inputs:
                loads = found.setdefault(source, {})
                loads.update((number, self.paths.loads[number]) for number in numbers)
        return found

    def _feeding(self, number: int) -> Iterator[tuple[int, int]]:
        """Sources that feed a load in some state, each with the rail at either end."""
        for part in self.paths.loads[number].parts:
            for feed in self.states.feeds(part):
                for way in self.states.ways(feed.rail_b, feed.rail_a):
                    if is_live(way.volts):
                        for source in way.sources:
                            yield source, feed.rail_a
                            yield source, feed.rail_b

    def _by_pole(self, index: int, source: SourcePart) -> Iterator[tuple[str, list[int]]]:
        """Poles at a potential of their own; of a floating pair the first is enough."""
        for pole, potential in source.poles.items():
            if potential:
                yield pole, self._fed.get((index, self.states.pole_node(index, pole)), [])

    def _judged(
        self, device: Device, pole: str, rated_a: float, numbers: Sequence[int]
    ) -> SourceLoad:
        amperes = {number: self.paths.loads[number].current_a for number in numbers}
        found = heaviest_beyond(amperes, self.at_once, with_slack(rated_a))
        if found is not None:
            loads = tuple(self.paths.loads[number] for number in found.loads)
            return SourceLoad(device, pole, rated_a, found.total, loads, found.answer)
        loads = tuple(self.paths.loads[number] for number in numbers)
        return SourceLoad(device, pole, rated_a, sum(amperes.values()), loads, None)
