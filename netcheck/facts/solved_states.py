"""A reachable state, solved in numbers: the one way from a proof's answer to volts and amperes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.component_values import ComponentValues
from netcheck.model.devices import Part
from netcheck.record import replace
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import Behaviour as States
from netcheck.states.witness import assignment

if TYPE_CHECKING:
    from netcheck.solve.ratings import Ratings
    from netcheck.solve.steady import Across, Steady

PRESENT = frozenset((1,))
STIFF_OHM = 1e-6
"""A transformer's impedance where only the conductors are asked about."""


class SolvedStates:
    """Solves states of one panel.  `stiff` ratings let sources, transformers and supplies hold
    their voltage whatever they give, so that only the conductors take from it."""

    def __init__(self, states: States, ratings: Ratings) -> None:
        self.states = states
        self.ratings = ratings
        self.stiff = replace(
            ratings,
            source_ohm={},
            couplings=tuple(replace(one, ohm=STIFF_OHM) for one in ratings.couplings),
            conversions=tuple(replace(one, limit_a=None) for one in ratings.conversions),
        )

    def solve(
        self,
        answer: Reached,
        ratings: Ratings | None = None,
        without: frozenset[int] = frozenset(),
        extra: tuple[Across, ...] = (),
    ) -> Steady | Undecided:
        """The state in which the answer's question holds; what it does not name is at rest.

        `without` are wires, by index, that are open, `extra` what is added between terminals.
        Undecided says why it has no solution.
        """
        from netcheck.solve.nodal import SourcesInConflict, Undetermined
        from netcheck.solve.steady import Unsettled, solve_state

        values = assignment(self.states, answer)
        try:
            return solve_state(
                self.states.panel,
                ratings or self.ratings,
                lambda part: self._closed(part, values),
                lambda index: self._present(index, values),
                extra,
                without,
            )
        except (SourcesInConflict, Undetermined) as error:
            return Undecided(f"{error}, so that it cannot be solved in numbers")
        except Unsettled:
            return Undecided("its voltages and currents do not settle in numbers")

    def _closed(self, part: Part, values: Mapping[int, bool]) -> bool:
        return self.states.logic.evaluate(self.states.closed(part), values)

    def _present(self, index: int, values: Mapping[int, bool]) -> bool:
        """Of a source with inputs the solution itself decides."""
        source = self.states.panel.sources[index]
        if not source.mechanism:
            return not source.run or self._in(source.run, values)
        return self._in(source.mechanism, values)

    def _in(self, mechanism: str, values: Mapping[int, bool]) -> bool:
        literal = self.states.in_positions(mechanism, PRESENT)
        return self.states.logic.evaluate(literal, values)


def volts_across(steady: Steady, part: Part) -> float:
    """Volts across a part as a meter reads them; nought where it floats."""
    volts = steady.volts(part.a, part.b)
    return sum(abs(value) for value in volts.values()) if volts else 0.0


@concludes(Behaviour, ComponentValues)
def prepare_solutions(view: View) -> SolvedStates:
    return SolvedStates(view[Behaviour], view[ComponentValues].ratings)
