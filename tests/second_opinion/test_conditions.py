"""Printed conditions, read back from their JSON, against every state tried in turn.

Nothing of netcheck says what a state does here: that is the oracle's word, which walks the
graph of each state.  Facts of the trade, from memory: what settled means, and that a relay
holds itself in through its own contact.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from netcheck.model.build import build_panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.report.condition_sheet import sheet_of
from netcheck.report.conditions_json import render
from netcheck.states.behaviour import Behaviour
from netcheck.states.conditions import Conditions
from tests.annotated import Texts
from tests.second_opinion.panel_oracle import PanelOracle, State
from tests.second_opinion.random_panels import SWITCHES, Draft, Drawn, panels
from tests.second_opinion.tally import CONDITIONS, counts

SOME = settings(max_examples=15, suppress_health_check=list(HealthCheck))
MANY = settings(max_examples=400, suppress_health_check=list(HealthCheck))
SMALL = settings(max_examples=700, suppress_health_check=list(HealthCheck))
MOST_STATES = 1_500

Sum = dict[str, Any]

POSITIONS = {
    "button": {2: ["released", "pressed"], 3: ["released", "half pressed", "pressed"]},
    "limit": {2: ["at rest", "operated"], 3: ["at rest", "between", "operated"]},
    "source": {2: ["absent", "present"]},
}


@dataclass
class Told:
    """One panel's document, and the oracle's view of what was drawn."""

    drawn: Drawn
    document: dict[str, Any]
    oracle: PanelOracle
    _positions: dict[State, dict[str, str]] = field(default_factory=dict)

    def positions(self, state: State) -> dict[str, str]:
        """Each device's position in words."""
        if state not in self._positions:
            self._positions[state] = self._in_words(state)
        return self._positions[state]

    def _in_words(self, state: State) -> dict[str, str]:
        found = {}
        sources = {one.name for one in self.drawn.sources}
        for (name, rests), place in zip(self.drawn.positions.items(), state.setting, strict=True):
            limit = f"limit switch {name} " in self.drawn.text
            kind = "source" if name in sources else "limit" if limit else "button"
            found[name] = POSITIONS[kind][len(rests)][place]
        for name, is_in in zip(self.drawn.relays, state.relays, strict=True):
            found[name] = "in" if is_in else "out"
        return found

    def holds(self, told: Sum, state: State) -> bool:
        assert not told["too_large"]
        now = self.positions(state)
        return any(
            all(now[name] in wanted for name, wanted in product.items())
            for product in told["any_of"]
        )

    def resting(self) -> Iterator[State]:
        """States with every switch where it can be left, and no short."""
        for state in self.oracle.states():
            places = zip(self.drawn.positions.values(), state.setting, strict=True)
            rests = all(rests[place] for rests, place in places)
            if rests and not self.oracle.network(state).short:
                yield state

    @cached_property
    def reached(self) -> list[State]:
        """Those of them that operation at any moment leads to from power-up."""
        reached = self.oracle.reached(certain=False, settled=False)
        return [state for state in self.resting() if state in reached]

    def unsettled(self, state: State) -> set[str]:
        return {self.drawn.relays[number] for number in self.oracle.must(state, certain=False)}

    def load_of(self, entry: dict[str, Any]) -> set[str]:
        """The drawn loads that an entry speaks of."""
        ends = [set(pair) for pair in entry["terminals"]]
        return {load.name for load in self.drawn.loads if set(load.ends) in ends}


def told(drawn: Drawn) -> Told:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": drawn.text})))
    assert not mistakes, drawn.text
    oracle = PanelOracle(drawn)
    assume(sum(1 for _ in oracle.states()) <= MOST_STATES)
    conditions = Conditions(Behaviour(panel, find_nodes(panel)))
    return Told(drawn, json.loads(render(sheet_of(conditions, []))), oracle)


def every_load_is_told(one: Told) -> None:
    named = [name for entry in one.document["loads"] for name in one.load_of(entry)]
    assert sorted(named) == sorted(load.name for load in one.drawn.loads)
    assert [entry["relay"] for entry in one.document["relays"]] == list(one.drawn.relays)


def drawn_conditions_agree(one: Told) -> None:
    """As drawn: in every state of the contacts, settled or not."""
    for state in one.resting():
        network = one.oracle.network(state)
        for entry in one.document["loads"]:
            names, drawn = one.load_of(entry), entry["drawn"]
            sure, possible = (one.holds(drawn[part], state) for part in ("sure", "possible"))
            assert {sure} == {name in network.energised for name in names}, (one.drawn.text, state)
            # With two sources netcheck does not ask whether a load in series is itself bypassed.
            maybe = network.energised | network.maybe
            assert possible or not names & maybe, (one.drawn.text, state)
            if len(one.drawn.sources) == 1:
                assert {possible} == {name in maybe for name in names}, (one.drawn.text, state)


def full_conditions_agree(one: Told) -> None:
    """In full: in every state reached in which all relays have settled."""
    for state in one.reached:
        if one.unsettled(state):
            continue
        network, now = one.oracle.network(state), one.positions(state)
        for entry in one.document["loads"]:
            sure, possible = (one.holds(entry["full"][k], state) for k in ("sure", "possible"))
            for name in one.load_of(entry):
                is_on, maybe = name in network.energised, name in network.maybe
                where = (one.drawn.text, name, state, entry["full"])
                assert is_on or not sure, where
                assert possible or not (is_on or maybe), where
                if entry["full"]["decided"]:
                    assert is_on == sure, where
        for entry in one.document["relays"]:
            if entry["way"] in ("follows", "not decided"):
                is_in = now[entry["relay"]] == "in"
                when = entry["when"]
                assert is_in or not one.holds(when["sure"], state), (one.drawn.text, state)
                assert one.holds(when["possible"], state) or not is_in, (one.drawn.text, state)


def held_relays_agree(one: Told) -> None:
    """What starts, keeps and stops a relay: wherever all the others have settled."""
    held = [entry for entry in one.document["relays"] if entry["way"] == "held"]
    for state in one.reached:
        unsettled, now = one.unsettled(state), one.positions(state)
        for entry in held:
            name = entry["relay"]
            if unsettled - {name}:
                continue
            moves, where = name in unsettled, (one.drawn.text, state, entry)
            if now[name] == "out":
                assert one.holds(entry["held"]["started"], state) == moves, where
            else:
                assert one.holds(entry["held"]["stopped"], state) == moves, where
                assert one.holds(entry["held"]["kept"], state) != moves, where


@counts(CONDITIONS, lambda drawn: drawn.text)
def all_agree(drawn: Drawn) -> None:
    one = told(drawn)
    every_load_is_told(one)
    drawn_conditions_agree(one)
    full_conditions_agree(one)
    held_relays_agree(one)


@st.composite
def controls(draw: st.DrawFn) -> Drawn:
    """Relays that start one another, hold themselves in and lock one another out."""
    draft = Draft()
    draft.battery("B1", 24)
    relays = [f"K{number + 1}" for number in range(draw(st.integers(1, 3)))]
    for name in relays:
        draft.relay(name)
    for number in range(draw(st.integers(1, 3))):
        draft.switch(f"S{number + 1}", draw(st.sampled_from(sorted(SWITCHES))))
    draft.lamp("H1", 24)
    contacts = [contact.ends for contact in draft.contacts]
    for name in [*relays, "H1"]:
        first = draw(st.sampled_from(contacts))
        others = draw(st.lists(st.sampled_from(contacts), max_size=2))
        coil = next(load.ends for load in draft.loads if load.name == name)
        passes = [first, *others, coil]
        draft.chain("B1:+", passes, "B1:-")
        if name in relays and draw(st.booleans()):
            beside = draw(st.sampled_from([(f"{name}:1", f"{name}:2"), *contacts]))
            for own, other in zip(beside, first, strict=True):
                draft.wire(own, other)
    return draft.drawn()


@SOME
@given(panels())
def test_conditions_of_made_up_panels_are_as_the_second_opinion_says(drawn: Drawn) -> None:
    all_agree(drawn)


@SOME
@given(controls())
def test_conditions_of_relays_that_hold_and_block_are_as_the_second_opinion_says(
    drawn: Drawn,
) -> None:
    all_agree(drawn)


@pytest.mark.slow
@pytest.mark.parametrize("kind", [panels, controls])
def test_conditions_of_many_more_panels_are_as_the_second_opinion_says(
    kind: Callable[[], st.SearchStrategy[Drawn]],
) -> None:
    MANY(given(kind())(all_agree))()


@pytest.mark.slow
@SMALL
@given(panels(most_switches=2, most_relays=1))
def test_conditions_of_hundreds_of_small_panels_are_as_the_second_opinion_says(
    drawn: Drawn,
) -> None:
    all_agree(drawn)
