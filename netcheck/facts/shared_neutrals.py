"""What loads would see if a neutral that two legs share came open.

Loads of two legs that lose their neutral stand in series across both: the lighter one may
see far more than it is made for.  The neutral of the whole source is left out: there is no
panel without it.  Loads that a reachable state has on together are looked for, and the
panel is solved in that state with the wire open.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.conductor_network import loops
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import heaviest_set
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.solved_states import SolvedStates, volts_across
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.volts import kind_of

MOST_QUESTIONS = 50
"""Of one panel; sets of loads on further neutrals are left undecided."""


@record
class LostNeutral:
    """One wire, the load that would see most of all with it open, and the volts.

    `partners` are on at the same time, on the other leg.  `answer` is Reached with the
    state, or Undecided; then `volts` is what the loads' ratings alone come to.
    """

    wire: Wire
    loads: frozenset[int]
    load: LoadCurrent
    partners: tuple[LoadCurrent, ...]
    volts: float
    limit_v: float
    answer: Reached | Undecided


@record
class SharedNeutrals:
    """`lost`: by set of loads that share a neutral, the worst of it, if it is too much for one.

    `groups`: each set itself, with the first wire that they share, and each load's terminal
    towards its leg.
    """

    lost: tuple[LostNeutral, ...]
    groups: tuple[tuple[Wire, tuple[tuple[LoadCurrent, str], ...]], ...] = ()


@record
class _OnLeg:
    """A load between a leg (its volts against the neutral) and the neutral."""

    number: int
    leg: complex
    siemens: float
    limit_v: float
    hot: str


@concludes(Behaviour, CurrentPaths, LoadsAtOnce, SolvedStates)
def find_shared_neutrals(view: View) -> SharedNeutrals:
    finder = _Finder(view)
    lost = tuple(finder.find())
    return SharedNeutrals(lost, tuple(finder.groups))


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.paths = view[CurrentPaths]
        self.at_once = view[LoadsAtOnce]
        self.solved = view[SolvedStates]
        self.questions = 0
        self.groups: list[tuple[Wire, tuple[tuple[LoadCurrent, str], ...]]] = []

    def find(self) -> Iterator[LostNeutral]:
        neutrals: dict[int, list[set[int]]] = {}
        for rail, whole in self._neutrals():
            neutrals.setdefault(rail, []).append(whole)
        beside = {by.index for loop in loops(self.states) for by in loop if isinstance(by, Wire)}
        known: set[tuple[int, ...]] = set()
        for wire in self.panel.wires:
            rail = self.states.node(wire.a)
            if rail not in neutrals or wire.index in beside:
                continue
            numbers = self.paths.loads_on(wire.index)
            loads = [one for number in numbers for one in self._on_leg(number, rail)]
            if numbers in known or len({one.leg for one in loads}) < 2:
                continue
            known.add(numbers)
            if set(numbers) not in neutrals[rail]:
                self.groups.append(
                    (wire, tuple((self.paths.loads[one.number], one.hot) for one in loads))
                )
                yield from self._worst(wire, loads)

    def _neutrals(self) -> Iterator[tuple[int, set[int]]]:
        """Rails that are the neutral of a source with several legs, and all loads on each; where
        sources share it, also what comes home to each of them."""
        for index, source in enumerate(self.panel.sources):
            if source.kind != "AC" or len(source.poles) < 3:
                continue
            for pole, potential in source.poles.items():
                if not potential:
                    rail = self.states.pole_node(index, pole)
                    wires = [w for w in self.panel.wires if self.states.node(w.a) == rail]
                    on = {number for w in wires for number in self.paths.loads_on(w.index)}
                    yield rail, on
                    own = self.panel.wires_at.get(f"{source.device}:{pole}", ())
                    yield rail, {n for wire in own for n in self.paths.loads_on(wire.index)}

    def _on_leg(self, number: int, neutral: int) -> Iterator[_OnLeg]:
        load = self.paths.loads[number]
        part = load.parts[0]
        if part.load is None or not part.load.volts or not load.current_a or load.three_phase:
            return
        for feed in self.states.feeds(part):
            if kind_of(feed.volts) != "AC" or neutral not in (feed.rail_a, feed.rail_b):
                continue
            volts = sum((value for _, value in feed.volts), complex(0))
            leg = volts if feed.rail_b == neutral else -volts
            siemens = load.current_a / part.load.volts
            hot = part.a if feed.rail_b == neutral else part.b
            yield _OnLeg(number, leg, siemens, part.load.volts * part.load.high, hot)
            return

    def _worst(self, wire: Wire, loads: Sequence[_OnLeg]) -> Iterator[LostNeutral]:
        """The lightest load first: it is the one that sees most."""
        for one in sorted(loads, key=lambda load: (load.siemens, load.number)):
            for leg in dict.fromkeys(load.leg for load in loads if load.leg != one.leg):
                others = [load for load in loads if load.leg == leg]
                found = self._against(wire, loads, one, others)
                if found is not None:
                    yield found
                    return

    def _against(
        self, wire: Wire, loads: Sequence[_OnLeg], one: _OnLeg, others: Sequence[_OnLeg]
    ) -> LostNeutral | None:
        across_v = abs(one.leg - others[0].leg)
        siemens = {load.number: load.siemens for load in others}

        def volts(numbers: Sequence[int]) -> float:
            against = sum(siemens.get(number, 0.0) for number in numbers)
            return across_v * against / (against + one.siemens)

        if volts(list(siemens)) <= one.limit_v or self.questions >= MOST_QUESTIONS:
            return None
        self.questions += 1
        heaviest = sorted(siemens, key=lambda number: (-siemens[number], number))
        found = heaviest_set(heaviest, self.at_once, volts, one.limit_v, always=(one.number,))
        if found is None:
            return None
        partners = tuple(self.paths.loads[n] for n in found.loads if n != one.number)
        load = self.paths.loads[one.number]
        numbers = frozenset(load.number for load in loads)
        volts_now, answer = found.total, found.answer
        if isinstance(answer, Reached) and answer.state:
            steady = self.solved.solve(answer, self.solved.stiff, frozenset((wire.index,)))
            if isinstance(steady, Undecided):
                answer = steady
            else:
                volts_now = volts_across(steady, load.parts[0])
                if volts_now <= one.limit_v:
                    return None
        if not isinstance(answer, (Reached, Undecided)):
            return None
        return LostNeutral(wire, numbers, load, partners, volts_now, one.limit_v, answer)
