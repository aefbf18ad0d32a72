"""Loads that have a feed of their own, and in some state current through another load instead.

While nothing feeds such a load directly, a path leads to it from a pole through other
loads, and home: left so by an open return, or by a switch that opens one of two.  The
state is solved in numbers, loads at the ohms of their ratings; one that is polarised and
would be passed backwards carries nothing.

A load that only others ever feed is another matter (`loads in series`).  Less than their
voltage does heaters and resistors no harm, and a resistor without a voltage of its own is
made to stand in series.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.component_values import ComponentValues
from netcheck.facts.load_feeds import ask, is_made_for_series, is_settled
from netcheck.facts.loads_in_series import SeriesLoads
from netcheck.facts.solved_states import SolvedStates, volts_across
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.network.traces import Passed
from netcheck.record import record, replace
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import Feed
from netcheck.states.expressions import FALSE
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.feeds_through_loads import Neighbourhoods
from netcheck.states.truth_table import Tables
from netcheck.states.witness import Witness, assignment, tell_path

if TYPE_CHECKING:
    from netcheck.solve.steady import Steady

NOTICED = 0.1
"""Of its voltage, up to which nothing shows of a load: a relay is surely out at and below a
tenth, where its text does not say when it drops out (makers' data, from memory)."""
MOST_TABLE_VARIABLES = 14
UNHARMED = frozenset(("heater", "resistor"))


@record
class FedThrough:
    """Loads left with part of a voltage, the first of them on `path`, and what each load near
    gets, V, by its index."""

    loads: tuple[Part, ...]
    share_v: Mapping[int, float]
    path: tuple[Passed, ...]
    witness: Witness


@record
class OpenThrough:
    """A load of which it is open what it gets through others, with the path as far as known."""

    load: Part
    reason: str
    path: tuple[Passed, ...] = ()


@record
class ThroughOtherLoads:
    found: tuple[FedThrough, ...]
    undecided: tuple[OpenThrough, ...]


@concludes(Behaviour, CertainBehaviour, SeriesLoads, SolvedStates, ComponentValues)
def find_through_other_loads(view: View) -> ThroughOtherLoads:
    return _Judge(view).find()


class _Judge:
    def __init__(self, view: View) -> None:
        self.view = view
        self.wide, self.certain = view[Behaviour], view[CertainBehaviour].behaviour
        self.panel = self.wide.panel
        self.near = {id(self.wide): Neighbourhoods(self.wide)}

    def find(self) -> ThroughOtherLoads:
        found: list[FedThrough] = []
        undecided: list[OpenThrough] = []
        told: set[int] = set()
        for load in self._asked_about():
            if load.index in told:
                continue
            verdict = self._judge(load)
            if isinstance(verdict, FedThrough):
                found.append(verdict)
            elif verdict is not None:
                undecided.append(verdict)
            if verdict is not None:
                told.update(part.index for part in self._around(load))
        return ThroughOtherLoads(tuple(found), tuple(undecided))

    def _asked_about(self) -> Iterator[Part]:
        """Loads that by the look of their conditions are ever fed through others alone."""
        for load in self.panel.parts:
            if load.load is None or load.spare or load.load.works in UNHARMED:
                continue
            literal = self._only_through(self.wide, load)
            needs_others = literal != FALSE and self._can_hold(literal)
            if needs_others and load.index not in self.view[SeriesLoads].parts:
                yield load

    def _only_through(self, states: Behaviour, load: Part) -> int:
        """While others feed it and, at whatever voltage, nothing feeds it directly."""
        if id(states) not in self.near:
            self.near[id(states)] = Neighbourhoods(states)
        through = [feed.condition for feed in self.near[id(states)].feeds(load)]
        if not through:
            return FALSE
        own = states.logic.any_of([feed.condition for feed in states.feeds(load)])
        return states.logic.both(states.logic.any_of(through), own ^ 1)

    def _can_hold(self, literal: int) -> bool:
        logic = self.wide.logic
        variables = sorted(logic.support(literal))
        if len(variables) > MOST_TABLE_VARIABLES:
            return True
        return Tables(logic, variables).of(literal) != 0

    def _around(self, load: Part) -> list[Part]:
        """The load and all others near it."""
        around = self.near[id(self.wide)].around(load)
        return [load, *(part for part in around if part.load is not None)]

    # ---- one load ------------------------------------------------------------------------------

    def _judge(self, load: Part) -> FedThrough | OpenThrough | None:
        def condition(states: Behaviour) -> int:
            return self._only_through(states, load)

        answer = ask(self.wide, self.certain, condition, "settled")
        if isinstance(answer, Undecided):
            return OpenThrough(load, answer.reason)
        if not isinstance(answer, Reached) or not is_settled(answer):
            return None
        return self._in_numbers(load, answer)

    def _in_numbers(self, load: Part, answer: Reached) -> FedThrough | OpenThrough | None:
        values = assignment(self.wide, answer)
        path = self._path(load, values)
        around = self._around(load)
        unsaid = [part.device for part in around if self._is_unsaid(part)]
        if unsaid:
            reason = f"`{unsaid[0]}` does not say what current it draws"
            return OpenThrough(load, reason, path)
        steady, blocked = self._solved(answer, around)
        if isinstance(steady, Undecided):
            return OpenThrough(load, steady.reason, path)
        share_v = {
            part.index: volts_across(steady, part) for part in around if part.index not in blocked
        }
        literal = self.wide.logic.evaluate
        left = [
            part
            for part in around
            if share_v.get(part.index, 0.0) > _least_v(self.panel, part)
            and part.load is not None
            and part.load.works not in UNHARMED
            and not literal(
                self.wide.logic.any_of([feed.condition for feed in self.wide.feeds(part)]), values
            )
        ]
        if not left:
            return None
        first = load if load in left else left[0]
        path = path if first is load else self._path(first, values)
        on_path = [p.by for p in path if isinstance(p.by, Part) and p.by.load is not None]
        if all(part is first or is_made_for_series(part) for part in on_path):
            return None
        return FedThrough(
            tuple(dict.fromkeys((first, *left))),
            share_v,
            path,
            tell_path(self.panel, answer, path),
        )

    def _is_unsaid(self, part: Part) -> bool:
        ratings = self.view[ComponentValues].ratings
        made = {one.input for one in ratings.conversions} | {one.first for one in ratings.couplings}
        return part.index not in ratings.draws and part.index not in made

    def _solved(
        self, answer: Reached, around: list[Part]
    ) -> tuple[Steady | Undecided, frozenset[int]]:
        """The state in numbers, and the polarised loads that stand against the current."""
        ratings = self.view[ComponentValues].ratings
        blocked: set[int] = set()
        while True:
            draws = {index: one for index, one in ratings.draws.items() if index not in blocked}
            steady = self.view[SolvedStates].solve(answer, replace(ratings, draws=draws))
            if isinstance(steady, Undecided):
                return steady, frozenset()
            against = {
                part.index
                for part in around
                if part.load is not None
                and part.load.polarised
                and part.index not in blocked
                and _dc_v(steady, part) < 0
            }
            if not against:
                return steady, frozenset(blocked)
            blocked |= against

    def _path(self, load: Part, values: Mapping[int, bool]) -> tuple[Passed, ...]:
        others = frozenset(part.index for part in self._around(load) if part is not load)
        for feed in self.near[id(self.wide)].feeds(load):
            if self.wide.logic.evaluate(feed.condition, values):
                path = feed_path(self.wide, self._circuit(load, feed), values, through_loads=others)
                if path is not None:
                    return path
        return ()

    def _circuit(self, load: Part, feed: Feed) -> Circuit:
        poles_a, poles_b = poles_at(self.wide, feed.rail_a), poles_at(self.wide, feed.rail_b)
        return Circuit(load, poles_a, poles_b, feed.volts)


def _dc_v(steady: Steady, part: Part) -> float:
    volts = steady.volts(part.a, part.b)
    return volts.get("DC", 0j).real if volts else 0.0


def _least_v(panel: Panel, part: Part) -> float:
    """The volts up to which nothing shows of a load; of one without a voltage of its own, any."""
    dropped_v = panel.devices[part.device].number("coil_drop_out_v")
    if dropped_v is not None and part.role == "coil":
        return dropped_v
    assert part.load is not None
    return NOTICED * part.load.volts if part.load.volts is not None else float("inf")
