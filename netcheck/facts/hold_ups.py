"""How long supplies live on without input, at what they then give.

What a supply says it holds up, it holds at its rated output; its capacitor holds so much energy
and gives it to half the load for twice the time (common practice).  First every load that it
may feed is taken to be on; where that is too much, those that a reachable state has on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.case import View, concludes
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import heaviest_beyond
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.source_loading import SourceLoading
from netcheck.model.devices import Device, SourcePart
from netcheck.record import record
from netcheck.rounding import with_slack
from netcheck.states.answers import Reached, Undecided

LOST_S = 0.02
"""Without any voltage for so long: what equipment is to live through by the curve of the ITI
(CBEMA, 2000), and more than one cycle of 60 Hz; from memory."""


@record
class HoldUp:
    """A supply that lives on for less than `LOST_S` with these loads on, drawing `load_a`."""

    device: Device
    said_s: float
    rated_a: float
    load_a: float
    loads: tuple[LoadCurrent, ...]
    answer: Reached | Undecided

    @property
    def holds_s(self) -> float:
        return self.said_s * self.rated_a / self.load_a


@record
class HoldUps:
    too_short: tuple[HoldUp, ...]


@concludes(CurrentPaths, LoadsAtOnce, SourceLoading)
def find_hold_ups(view: View) -> HoldUps:
    return HoldUps(tuple(_find(view)))


def _find(view: View) -> Iterator[HoldUp]:
    fed = view[SourceLoading].fed
    for index, source in enumerate(view.panel.sources):
        device = view.panel.devices[source.device]
        said_s = device.number("holds_up_s")
        alone = not (device.values.get("redundant_with") or device.values.get("may_be_paralleled"))
        if said_s and source.current_a and alone and said_s < LOST_S:
            loads = fed.get(index, {})
            if any(_lets_go(load) for load in loads.values()):
                yield from _judged(view, device, source, said_s, sorted(loads))


def _lets_go(load: LoadCurrent) -> bool:
    made = load.parts[0].load
    return made is not None and made.works == "coil"


def _judged(
    view: View, device: Device, source: SourcePart, said_s: float, numbers: Sequence[int]
) -> Iterator[HoldUp]:
    loads, at_once = view[CurrentPaths].loads, view[LoadsAtOnce]
    amperes = {number: loads[number].current_a for number in numbers}
    rated_a = source.current_a or 0.0
    found = heaviest_beyond(amperes, at_once, with_slack(rated_a * said_s / LOST_S))
    if found is not None:
        assert isinstance(found.answer, (Reached, Undecided))
        on = tuple(loads[number] for number in found.loads)
        yield HoldUp(device, said_s, rated_a, found.total, on, found.answer)
