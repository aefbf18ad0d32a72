"""What a control transformer must give as coils pull in, and how far its voltage then falls.

Coils fed on the very same condition pull in together, while the other loads that can be on
beside them take what is rated: the root of the squares of both is what the transformer must
give (transformer selection practice).  It falls by that, over its own VA, through its
impedance, all as if at one angle; 85 % must be left (NEMA, second-hand).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.component_values import TRANSFORMER_IMPEDANCE
from netcheck.facts.heaviest_set import filled_up, heaviest_set
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.source_loading import SourceLoading
from netcheck.model.devices import Device
from netcheck.record import record
from netcheck.states.answers import Answer

LEFT_SHARE = 0.85


@record
class Inrush:
    """One transformer, the coils that pull in together, the loads on beside them, in VA.

    `left_share` is what is left of its voltage; `answer` Reached with the state, or Undecided.
    """

    device: Device
    rated_va: float
    impedance: float
    coils: tuple[LoadCurrent, ...]
    inrush_va: float
    others: tuple[LoadCurrent, ...]
    sealed_va: float
    answer: Answer

    @property
    def needed_va(self) -> float:
        return math.hypot(self.sealed_va, self.inrush_va)

    @property
    def left_share(self) -> float:
        return share_left(self.needed_va, self.rated_va, self.impedance)


@record
class TransformerInrush:
    """By transformer the worst, where less is left than coils need."""

    too_much: tuple[Inrush, ...]


def share_left(needed_va: float, rated_va: float, impedance: float) -> float:
    """Of its voltage, of a load that would take `needed_va` at the whole of it."""
    return 1 / (1 + impedance * needed_va / rated_va)


@concludes(Behaviour, SourceLoading, LoadsAtOnce)
def find_transformer_inrush(view: View) -> TransformerInrush:
    return TransformerInrush(tuple(_Finder(view).find()))


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.loading = view[SourceLoading]
        self.at_once = view[LoadsAtOnce]

    def find(self) -> Iterator[Inrush]:
        for index, source in enumerate(self.panel.sources):
            device = self.panel.devices[source.device]
            fed = self.loading.fed.get(index, {})
            if device.kind == "transformer" and source.current_a and fed:
                found = [
                    one
                    for group in self._together(fed)
                    if (one := self._judged(device, source.current_a * source.volts, group, fed))
                ]
                if found:
                    yield min(found, key=lambda one: one.left_share)

    def _together(self, fed: dict[int, LoadCurrent]) -> Iterator[list[int]]:
        """Coils that say an inrush, by the condition on which they are energised."""
        groups: dict[int, list[int]] = {}
        for number, load in fed.items():
            if self._inrush_va(load):
                groups.setdefault(self.states.energised(load.parts[0]), []).append(number)
        yield from groups.values()

    def _inrush_va(self, load: LoadCurrent) -> float:
        return self.panel.devices[load.device].number("coil_inrush_va") or 0.0

    def _judged(
        self, device: Device, rated_va: float, group: list[int], fed: dict[int, LoadCurrent]
    ) -> Inrush | None:
        impedance = device.number("impedance") or TRANSFORMER_IMPEDANCE
        allowed_va = rated_va * (1 / LEFT_SHARE - 1) / impedance
        inrush_va = sum(self._inrush_va(fed[number]) for number in group)

        def needed_va(numbers: Sequence[int]) -> float:
            sealed = sum(_rated_va(fed[n]) for n in numbers if n not in group)
            return math.hypot(sealed, inrush_va)

        others = sorted((n for n in fed if n not in group), key=lambda n: (-_rated_va(fed[n]), n))
        if needed_va(others) <= allowed_va:
            return None
        found = heaviest_set(others, self.at_once, needed_va, allowed_va, always=tuple(group))
        if found is None:
            return None
        found = filled_up(found, others, self.at_once, needed_va)
        beside = tuple(fed[n] for n in found.loads if n not in group)
        return Inrush(
            device, rated_va, impedance, tuple(fed[n] for n in group), inrush_va, beside,
            sum(map(_rated_va, beside)), found.answer,
        )  # fmt: skip


def _rated_va(load: LoadCurrent) -> float:
    made = load.parts[0].load
    return load.current_a * (made.volts or 0.0) if made is not None else 0.0
