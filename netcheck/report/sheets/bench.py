"""What the sheets are made from: a reviewed panel, and facts as they are needed."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, TypeVar

from netcheck.case import Case
from netcheck.facts.behaviour import Behaviour
from netcheck.figure import figure
from netcheck.model.devices import Device, Part
from netcheck.model.panel import Panel
from netcheck.report.condition_sheet import Accounts, Sheet, sheet_of
from netcheck.states.conditions import Conditions

if TYPE_CHECKING:
    from netcheck.report.sheets.running import RunningStates

Fact = TypeVar("Fact")


class Bench:
    """One panel under report."""

    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self._case = Case(panel)

    def fact(self, fact: type[Fact]) -> Fact:
        return self._case.conclude(fact)

    @cached_property
    def conditions(self) -> Sheet:
        return sheet_of(Conditions(self.fact(Behaviour)), ())

    @cached_property
    def accounts(self) -> Accounts:
        return Accounts(self.conditions, self.panel)

    @cached_property
    def running(self) -> RunningStates:
        from netcheck.report.sheets.running import running_states

        return running_states(self)

    def parts_of(self, device: Device) -> list[Part]:
        return [self.panel.parts[index] for index in device.parts]

    def inside(self, device: Device) -> bool:
        """Whether it is in the panel or on its door, not out in the field."""
        place = self.panel.places.get(device.location)
        return place.inside if place is not None else device.location in ("panel", "door", "")


def named(device: Device) -> str:
    """`K1 North pump`: the name and what it is called."""
    return f"{device.name} {device.description}".strip()


def highest_volts(panel: Panel) -> Iterator[str]:
    """The most there is between two poles of one source, as a line for who works there."""
    most = [
        (abs(one - other), source.kind)
        for source in panel.sources
        for one, other in combinations(source.poles.values(), 2)
    ]
    if most:
        volts, kind = max(most)
        yield f"Highest voltage in this panel: {figure(volts, 'V')} {kind}."
