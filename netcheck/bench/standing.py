"""A panel as it stands in front of somebody: one state, settled, and solved in numbers.

Everything that a hand or the process moves is at rest (a selector in its first position, or where
it springs back to), every source present; from there relays and timers run until nothing moves any
more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.model.devices import Conducts, Drive, Part
from netcheck.model.let_go import rests_at
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.record import record, replace
from netcheck.solve.blocks import KnownBlocks
from netcheck.solve.coil_verdicts import CoilVerdicts
from netcheck.solve.nodal import SourcesInConflict, Undetermined
from netcheck.solve.ratings import Ratings
from netcheck.solve.steady import Across, Steady, Unsettled, solve_state
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import Behaviour
from netcheck.states.witness import assignment

IDLE_OHM = 1e5
"""Of an idle control transformer, seen from its primary, or more: from memory."""
PRESENT = frozenset((1,))
TAKEN = (
    "every switch at rest, selectors in their first position or where they spring to, sources on; "
    "relays settled"
)


@record
class Standing:
    """One settled state of one panel.  `restless` says that it does not come to rest; `rated`
    is what its devices are made for, where that is known from before something broke."""

    case: Case
    states: Behaviour
    values: Mapping[int, bool]
    restless: bool = False
    rated: ComponentValues | None = None
    running: frozenset[int] | None = None
    """The drives and supplies that run, where that is known from elsewhere."""

    @property
    def panel(self) -> Panel:
        return self.states.panel

    @property
    def numbers(self) -> ComponentValues:
        return self.rated or self.case.conclude(ComponentValues)

    @property
    def doubtful(self) -> tuple[str, ...]:
        """Relays that get some voltage, but not surely enough; they are taken as they stand."""
        machine, logic = self.states.machine, self.states.logic
        found = []
        for name in self.states.uncertain_coils:
            mover, motion = machine.movers[name], machine.motions[name]
            may = motion.may_fall if self.values[mover.state] else motion.may_rise
            if logic.evaluate(may, self.values):
                found.append(name)
        return tuple(dict.fromkeys(found))

    def holds(self, literal: int) -> bool:
        return self.states.logic.evaluate(literal, self.values)

    def is_energised(self, part: Part) -> bool:
        """Whether a load has its working voltage by a way without another load."""
        return self.holds(self.states.energised(part))

    def closed(self, part: Part) -> bool:
        """Whether a part counts as wire now."""
        return part.conducts is not Conducts.NOTHING and self.holds(self.states.closed(part))

    def position(self, mechanism: str) -> str:
        """The name of the position that a mechanism is in."""
        positions = self.panel.mechanisms[mechanism].positions
        for index, name in enumerate(positions):
            if self.holds(self.states.in_positions(mechanism, frozenset((index,)))):
                return name
        return positions[0]

    def present(self, index: int) -> bool:
        """Whether a source is there; of one with inputs the solution itself decides."""
        source = self.panel.sources[index]
        mechanism = source.mechanism or source.run
        return not mechanism or self.holds(self.states.in_positions(mechanism, PRESENT))

    def solve(
        self,
        extra: Iterable[Across] = (),
        without: frozenset[int] = frozenset(),
        instead: Panel | None = None,
        *,
        ideal_wires: bool = False,
    ) -> Steady | Undecided:
        """The state in numbers.  `instead` is the panel with something in it broken, numbered
        as this one, while all that moves stays where it is.  With `ideal_wires` these have no
        resistance: much quicker, and right but for what is lost in them.  Undecided says why
        there is none."""
        ratings = replace(self.ratings, wire_ohm={}) if ideal_wires else self.ratings
        return self.solve_as(instead or self.panel, ratings, (*self.across(), *extra), without)

    def across(self, outputs: Sequence[tuple[Part, float]] | None = None) -> tuple[Across, ...]:
        """What is no part of the panel and yet takes a current; `outputs` are those of `leaking`,
        where they are known."""
        return (*self.leaks(outputs), *self._idle_windings())

    def solve_as(
        self,
        panel: Panel,
        ratings: Ratings,
        across: Sequence[Across],
        without: frozenset[int] = frozenset(),
        known: KnownBlocks | None = None,
    ) -> Steady | Undecided:
        """Another panel, its parts and sources numbered as here, in this state.  `known` are blocks
        of others that were solved."""
        try:
            return solve_state(
                panel, ratings, self.closed, self.present, across, without, known, self.running
            )
        except (SourcesInConflict, Undetermined) as error:
            return Undecided(f"{error}: a dead short, or nothing that limits the current")
        except Unsettled:
            return Undecided("voltages and currents do not settle in numbers")

    @property
    def ratings(self) -> Ratings:
        """A load that is broken inside draws nothing."""
        ratings = self.numbers.ratings
        whole = {i: d for i, d in ratings.draws.items() if not _is_dead(self.panel.parts[i])}
        return replace(ratings, draws=whole)

    def _idle_windings(self) -> Iterator[Across]:
        """What magnetises a transformer: without it, a winding on nothing has no voltage."""
        for coupling in self.numbers.ratings.couplings:
            part = self.panel.parts[coupling.first]
            yield Across(part.a, part.b, IDLE_OHM)

    def leaks(self, outputs: Sequence[tuple[Part, float]] | None = None) -> tuple[Across, ...]:
        """What flows through electronic outputs that are off, as the text says it."""
        outputs = leaking(self.panel) if outputs is None else outputs
        return tuple(Across(p.a, p.b, ohm) for p, ohm in outputs if not self.closed(p))


def leaking(panel: Panel) -> list[tuple[Part, float]]:
    """Electronic outputs and the ohm that each has while it is off, as the text says it."""
    found = []
    for part in panel.parts:
        if part.conducts is Conducts.CONTACT and part.mechanism:
            device = panel.devices[part.device]
            leakage_a = part.number("leakage_a") or device.number("leakage_a")
            if leakage_a:
                volts = part.volts or max((s.volts for s in panel.sources), default=0.0)
                found.append((part, volts / leakage_a))
    return found


def _is_dead(part: Part) -> bool:
    return part.a == part.b


def stand(panel: Panel, *, powered: bool = True, states: Behaviour | None = None) -> Standing:
    """The panel at rest, sources on or off, and what its relays make of that.

    `states` are those of the panel as built, where they are known.
    """
    case = Case(panel)
    states = states or Behaviour(panel, find_nodes(panel), verdicts=CoilVerdicts())
    values = untouched(states)
    return settled(Standing(case, states, values), sources_on(states) if powered else {})


def untouched(states: Behaviour) -> dict[int, bool]:
    """The values of variables with power off and everything where it rests or springs back to."""
    values = assignment(states, Reached("settled operation", {}, ()))
    for name, switch in states.machine.switches.items():
        values |= switch.values_in(rests_at(states.panel, states.panel.mechanisms[name]))
    return values


def settled(standing: Standing, moved: Mapping[str, int]) -> Standing:
    """The same after these switches have moved."""
    found = standing.states.playing.after(standing.values, moved)
    if found is not None:
        return replace(standing, values=found[0])
    values = dict(standing.values)
    for name, position in moved.items():
        values |= standing.states.machine.switches[name].values_in(position)
    return replace(standing, values=values, restless=True)


def sources_on(states: Behaviour) -> dict[str, int]:
    mechanisms = states.panel.mechanisms
    return {n: 1 for n in states.machine.switches if mechanisms[n].drive is Drive.SOURCE}
