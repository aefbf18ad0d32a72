"""The panel without a fault, as it stands with each of what was put somewhere: worked out once
for all the faults that are then put into it."""

from __future__ import annotations

from functools import cached_property

from netcheck.bench.at_places import Solved
from netcheck.bench.standing import Standing, stand
from netcheck.bench.walks import Walks, walks_of
from netcheck.facts.component_values import ComponentValues
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.supposed import suppose
from netcheck.record import replace

Withs = tuple[str, ...]
"""What is put where, in words."""


class Sound:
    """One panel.  `solved` keeps the networks that its faults left alike."""

    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self._put: dict[Withs, Panel] = {}
        self._standing: dict[Withs, Standing] = {}
        self._walks: dict[int, Walks] = {}

    def put(self, withs: Withs) -> Panel:
        """The panel with these things put somewhere."""
        if withs not in self._put:
            self._put[withs] = suppose(self.panel, withs, ()).panel
        return self._put[withs]

    def standing(self, withs: Withs = ()) -> Standing:
        if withs not in self._standing:
            standing = stand(self.put(withs))
            self._standing[withs] = replace(standing, rated=self.rated) if withs else standing
        return self._standing[withs]

    def walks(self, load: Part) -> Walks:
        """All its ways, with nothing put anywhere."""
        if load.index not in self._walks:
            self._walks[load.index] = walks_of(self.standing().states, load)
        return self._walks[load.index]

    def is_on(self, withs: Withs, load: Part) -> bool:
        """Whether a load is on with all of this held at once, too."""
        standing = self.standing(withs)
        return not standing.restless and standing.is_energised(standing.panel.parts[load.index])

    @cached_property
    def rated(self) -> ComponentValues:
        """What its devices are made for: no fault changes that."""
        return self.standing().numbers

    @cached_property
    def solved(self) -> Solved:
        return Solved(self.rated)

    def always_joined(self, terminal: str) -> int:
        """The same for terminals that wire, bridges and bars join, wherever anything is put."""
        return self.solved.fixed(self.panel).spot(terminal)
