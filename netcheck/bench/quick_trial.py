"""A trial of a panel with a fault in it that makes no machine of its own.

Of some sixty wires that may be grounded or swapped, each makes another panel, and making its
machine costs most of trying it.  What moves moves as in the sound panel, whose machine is made
once; what relays then get is told by what is joined now (`joined_now.py`).
"""

from __future__ import annotations

from netcheck.bench.joined_now import InDoubt, JoinedNow, Wired
from netcheck.bench.standing import Standing
from netcheck.bench.trial import PlacedStanding, Trial
from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.model.devices import Drive, Part
from netcheck.model.panel import Panel
from netcheck.network.nodes import nodes_of_changed
from netcheck.record import replace


class QuickTrial(Trial):
    """`like` is the panel without the fault, that of `panel` numbered as it.

    Here and wherever it is operated, InDoubt is raised where what is joined does not tell all.
    """

    def __init__(self, like: Trial, panel: Panel) -> None:
        moves_alike = all(one is panel.mechanisms[n] for n, one in like.drawn.mechanisms.items())
        if not moves_alike:
            raise InDoubt
        self.drawn = panel
        self.panel = replace(panel, mechanisms=like.panel.mechanisms)
        self.nodes = nodes_of_changed(like.nodes, like.drawn, panel)
        self.states = like.states
        self.one_way = like.one_way
        self._rated: ComponentValues = like.standing.numbers
        self._wired = Wired(self.panel, self.nodes, self.one_way)
        self._now: JoinedNow | None = None
        self._begin()

    @property
    def standing(self) -> Standing:
        return _Told(self, self._rated)

    def is_on(self, load: Part) -> bool:
        return self._joined.is_energised(self.panel.parts[load.index])

    def look(self) -> None:
        """What is joined as it stands now: who asks its standing later is told all.  Raises
        InDoubt."""
        assert self._joined

    @property
    def _joined(self) -> JoinedNow:
        if self._now is None:
            stands = self.states.stands(self._values)
            self._now = JoinedNow(self._wired, stands, self._shorted_out)
        return self._now

    def _moved(self) -> None:
        super()._moved()
        self._now = None

    def _take_away(self, index: int) -> None:
        self._shorted_out.add(index)
        self._moved()

    def _is_live(self, index: int) -> bool:
        return index in self._joined.live

    def _must(self, name: str) -> bool:
        on, is_in = self._gets(name), self._is_in(name)
        drive = self.panel.mechanisms[name].drive
        if drive is Drive.LATCH:
            latch, unlatch = on
            return latch is not unlatch and latch is not is_in
        if drive is Drive.ON_DELAY:
            return is_in and not on[0]
        if drive is Drive.OFF_DELAY:
            return on[0] and not is_in
        return all(on) is not is_in

    def _may(self, name: str) -> bool:
        """Asked of timers: what they must do they also may."""
        return self._gets(name)[0] is not self._is_in(name)

    def _gets(self, name: str) -> list[bool]:
        """Whether each of its coils is on."""
        joined = self._joined
        if joined.in_conflict:
            raise InDoubt
        coils = [self.panel.parts[index] for index in self.panel.mechanisms[name].coils]
        on = [joined.is_energised(coil) for coil in coils]
        pairs = zip(coils, on, strict=True)
        if any(joined.may_get_something(coil) for coil, energised in pairs if not energised):
            raise InDoubt
        return on


class _Told(PlacedStanding):
    """As a quick trial stands."""

    def __init__(self, trial: QuickTrial, rated: ComponentValues) -> None:
        super().__init__(Case(trial.panel), trial.states, trial._values, rated=rated)
        object.__setattr__(self, "_trial", trial)

    def is_energised(self, part: Part) -> bool:
        trial: QuickTrial = self.__dict__["_trial"]
        return trial.is_on(part)
