"""Whole panels, from their text to shorts, coils and loads, against every state tried in turn."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import pytest
from hypothesis import HealthCheck, assume, given, settings

from netcheck.case import Case
from netcheck.facts.as_built import AsBuilt
from netcheck.facts.shorts import OpenQuestion, Short, Shorts
from netcheck.model.build import build_panel
from netcheck.model.devices import Part
from netcheck.model.wires import Wire
from netcheck.reading.project import gather
from netcheck.states.answers import Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour
from tests.annotated import Texts
from tests.second_opinion.panel_oracle import PanelOracle, State
from tests.second_opinion.random_panels import Drawn, panels
from tests.second_opinion.tally import CONDITIONS, counts

SOME = settings(max_examples=40, suppress_health_check=list(HealthCheck))
FEW = settings(max_examples=20, suppress_health_check=list(HealthCheck))
MANY = settings(max_examples=100, suppress_health_check=list(HealthCheck))
MOST_STATES = 1_500


@dataclass
class Both:
    """One panel as netcheck reads it, and the oracle's view of what was drawn."""

    drawn: Drawn
    case: Case
    oracle: PanelOracle

    @property
    def wide(self) -> Behaviour:
        return self.case.conclude(AsBuilt).wide

    @property
    def certain(self) -> Behaviour:
        return self.case.conclude(AsBuilt).certain

    def part(self, load: str) -> Part:
        """The part that is the load of this name: `K1`, or `B2 input`."""
        panel = self.case.panel
        parts = [panel.parts[index] for index in panel.devices[load.split()[0]].parts]
        return next(part for part in parts if part.load is not None)

    def values(self, state: State) -> dict[int, bool]:
        """A state as the values of netcheck's variables."""
        machine, values = self.wide.machine, {}
        for name, place in zip(self.drawn.positions, state.setting, strict=True):
            for bit, variable in enumerate(machine.switches[name].bits):
                values[variable] = bool(place >> bit & 1)
        for name, moved in zip(self.drawn.relays, state.relays, strict=True):
            values[machine.movers[name].state] = moved
        return values


def both(drawn: Drawn) -> Both:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": drawn.text})))
    assert not mistakes, drawn.text
    oracle = PanelOracle(drawn)
    assume(sum(1 for _ in oracle.states()) <= MOST_STATES)
    return Both(drawn, Case(panel), oracle)


# ---- what conducts in one state --------------------------------------------------------------


@counts(CONDITIONS, lambda drawn: drawn.text)
def loads_agree(drawn: Drawn) -> None:
    """In every state without a short: each load on or off, each coil in, out or free to choose."""
    two = both(drawn)
    logic, machine = two.wide.logic, two.wide.machine
    for state in two.oracle.states():
        network, values = two.oracle.network(state), two.values(state)
        if network.short:
            continue
        on = {
            load.name
            for load in drawn.loads
            if logic.evaluate(two.wide.energised(two.part(load.name)), values)
        }
        assert network.energised == on, f"{drawn.text}\n{state}"
        for name in drawn.relays:
            motion = machine.motions[name]
            must_in, must_out = (
                logic.evaluate(literal, values) for literal in (motion.must_rise, motion.must_fall)
            )
            expected = (name in network.energised, name not in network.energised | network.maybe)
            # Whether a load in series is itself bypassed netcheck does not ask: then the coil may.
            found = (must_in, must_out or (expected[1] and len(drawn.sources) > 1))
            assert expected == found, f"{drawn.text}\n{state}\n{name}"


@SOME
@given(panels())
def test_loads_and_coils_are_as_the_second_opinion_says(drawn: Drawn) -> None:
    loads_agree(drawn)


# ---- shorts and races ------------------------------------------------------------------------


def verdict(oracle: PanelOracle, certain: bool) -> str:
    """Whether any short is met, and how: by settled operation, only in a race, never."""
    for settled, word in ((True, "short"), (False, "race")):
        if any(
            oracle.network(state).short
            for state in oracle.reached(certain=certain, settled=settled)
        ):
            return word
    return "never"


def told(shorts: Shorts, always: list[Short]) -> set[str]:
    """What is said of all shorts but those always there: one word, or two where both are said."""
    found = _others(shorts, always)
    if any(not short.race for short in found):
        return {"short"}
    said = ["not decided"] * bool(shorts.undecided) + ["race"] * bool(found)
    return set(said or ["never"])


def expected(oracle: PanelOracle) -> str:
    certain, wide = verdict(oracle, certain=True), verdict(oracle, certain=False)
    return certain if certain in (wide, "short") else "not decided"


def shorts_agree(drawn: Drawn) -> None:
    """Short, race or never; every short told is one; without the causes told there is none.

    A short that is there in every state is judged first, the others as if it were mended.
    """
    two = both(drawn)
    shorts = two.case.conclude(Shorts)
    always = [short for short in shorts.found if short.always]
    mended = two.oracle.changed(gone=frozenset(_taken(short.cause) for short in always))
    assume(not mended.chatters(certain=True) and not mended.chatters(certain=False))
    if always:
        assert "short" == expected(two.oracle), drawn.text
    assert expected(mended) in told(shorts, always), drawn.text
    for short in always:
        assert _is_shown(two, two.oracle, two.oracle.states(), short) or short is not always[0], (
            drawn.text
        )
    others = _others(shorts, always)
    for short in others:
        assert _is_shown(two, mended, mended.states(), short), f"{drawn.text}\n{short.witness}"
    # Some lie beyond others, where the second opinion does not go; not all of them do.
    reached = mended.reached(certain=True, settled=any(not short.race for short in others))
    assert not others or any(_is_shown(two, mended, reached, short) for short in others), drawn.text
    outcomes: list[Short | OpenQuestion] = [*shorts.found, *shorts.undecided]
    causes = [outcome.cause for outcome in outcomes]
    if None not in causes:
        rest = two.oracle.changed(gone=frozenset(_taken(cause) for cause in causes if cause))
        left = [
            state
            for state in mended.reached(certain=False, settled=False)
            if mended.network(state).short and rest.is_short_with(state, mended.network(state).live)
        ]
        assert [] == left, drawn.text


def _others(shorts: Shorts, always: list[Short]) -> list[Short]:
    return [short for short in shorts.found if short not in always]


def _is_shown(two: Both, oracle: PanelOracle, states: Iterable[State], short: Short) -> bool:
    """Whether one of these states is as the short is told, and is a short."""
    return any(
        _shows(two, state, short.witness.state) and oracle.network(state).short for state in states
    )


def _taken(cause: Wire | Part) -> tuple[str, frozenset[str]]:
    return "wire" if isinstance(cause, Wire) else "part", frozenset((cause.a, cause.b))


def _shows(two: Both, state: State, told: object) -> bool:
    """Whether a state is one of those that a witness describes."""
    assert isinstance(told, dict)
    places = dict(zip(two.drawn.positions, state.setting, strict=True))
    places.update(zip(two.drawn.relays, map(int, state.relays), strict=True))
    mechanisms = two.case.panel.mechanisms
    return all(mechanisms[name].positions[places[name]] == said for name, said in told.items())


@SOME
@given(panels())
def test_shorts_and_races_are_as_the_second_opinion_says(drawn: Drawn) -> None:
    shorts_agree(drawn)


# ---- what settled operation makes of the loads -------------------------------------------------


def settled_agrees(drawn: Drawn) -> None:
    """Each load on, and off, in some settled state or in none, whatever coils are free."""
    two = both(drawn)
    for certain, behaviour in ((True, two.certain), (False, two.wide)):
        assume(not two.oracle.chatters(certain=certain))
        raced = two.oracle.reached(certain=certain, settled=False)
        assume(not any(two.oracle.network(state).short for state in raced))
        reached = two.oracle.reached(certain=certain, settled=True)
        rests = [state for state in reached if two.oracle.rests(state, certain)]
        for load in drawn.loads:
            literal = behaviour.energised(two.part(load.name))
            for on in (True, False):
                answer = behaviour.prover.can_happen(literal ^ (not on), at="settled")
                assert not isinstance(answer, Undecided), drawn.text
                happens = any(
                    (load.name in two.oracle.network(state).energised) == on for state in rests
                )
                found = isinstance(answer, Reached) and answer.kind == "settled operation"
                assert happens == found, f"{drawn.text}\n{load.name} {on} {certain} {answer}"
                assert found or isinstance(answer, (Never, Reached))


@FEW
@given(panels(most_switches=3, most_relays=3))
def test_loads_in_settled_states_are_as_the_second_opinion_says(drawn: Drawn) -> None:
    settled_agrees(drawn)


@pytest.mark.slow
@pytest.mark.parametrize("agree", [loads_agree, shorts_agree, settled_agrees])
def test_many_more_panels_are_read_alike(agree: Callable[[Drawn], None]) -> None:
    MANY(given(panels())(lambda drawn: agree(drawn)))()
