"""One fault in one question, against each fault put into the drawing and every state tried.

The fault comes to a panel whose relays have all come to rest, and stays: from each such state
the drawing with the wire gone, or with the contact closed whatever moves it, is operated on.
Facts of the trade, from memory: an open wire is no wire, a welded contact is a bridge, and a
contact welds only while it is closed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings

from netcheck.facts.single_faults import contacts_that_weld, wires_that_open
from netcheck.model.build import build_panel
from netcheck.model.faults import Fault, FaultKind, broken
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.answers import Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour
from netcheck.states.breakable import Breakable
from netcheck.states.open_wires import OpenWires
from netcheck.states.single_faults import Broken, SingleFaults
from tests.annotated import Texts
from tests.second_opinion.panel_oracle import PanelOracle, State
from tests.second_opinion.random_panels import Drawn, panels
from tests.second_opinion.test_conditions import controls

UNSHRUNK = (Phase.explicit, Phase.reuse, Phase.generate)
"""Each example is dear; a failing one is small enough as it is."""
SOME = settings(max_examples=5, phases=UNSHRUNK, suppress_health_check=list(HealthCheck))
STATIC = settings(max_examples=25, suppress_health_check=list(HealthCheck))
MANY = settings(max_examples=60, phases=UNSHRUNK, suppress_health_check=list(HealthCheck))
MOST_STATES = 120

Question = Callable[[Behaviour], int]


@dataclass
class Broke:
    """The drawing with one fault, and when that fault can come."""

    fault: Fault
    oracle: PanelOracle
    closed: tuple[str, frozenset[int]] | None = None
    held: int | None = None
    """The relay, by its number, that can no longer drop."""

    def can_come(self, drawn: Drawn, state: State) -> bool:
        if self.held is not None:
            return state.relays[self.held]
        if self.closed is None:
            return True
        positions = dict(zip(drawn.positions, state.setting, strict=True))
        positions.update(zip(drawn.relays, map(int, state.relays), strict=True))
        return positions[self.closed[0]] in self.closed[1]

    def may(self, state: State, certain: bool) -> list[int]:
        return [n for n in self.oracle.may(state, certain) if not self._stuck(state, n)]

    def must(self, state: State, certain: bool) -> list[int]:
        return [n for n in self.oracle.must(state, certain) if not self._stuck(state, n)]

    def _stuck(self, state: State, relay: int) -> bool:
        return relay == self.held and state.relays[relay]

    def rests(self, state: State, certain: bool) -> bool:
        drawn = self.oracle.panel
        places = zip(drawn.positions.values(), state.setting, strict=True)
        return not self.must(state, certain) and all(rests[place] for rests, place in places)


def drawn_with(sound: PanelOracle, fault: Fault, panel: Panel) -> Broke:
    """The same drawing with the fault in it, put in without netcheck."""
    drawn = sound.panel
    if fault.kind is FaultKind.OPEN:
        (wire,) = (w for w in panel.wires if w.index in fault.wires)
        gone = frozenset((("wire", frozenset((wire.a, wire.b))),))
        return Broke(fault, sound.changed(gone=gone))
    if fault.kind is FaultKind.HELD_IN:
        return Broke(fault, sound, held=drawn.relays.index(fault.mechanism))
    part = panel.parts[fault.parts[0]]
    number, contact = next(
        (n, c) for n, c in enumerate(drawn.contacts) if set(c.ends) == {part.a, part.b}
    )
    contacts = list(drawn.contacts)
    contacts[number] = replace(contact, closed=frozenset((0, 1, 2)))
    oracle = sound.changed(panel=replace(drawn, contacts=tuple(contacts)))
    return Broke(fault, oracle, (contact.device, contact.closed))


def onwards(sound: Broke, state: State, certain: bool) -> Iterable[State]:
    for number in sound.may(state, certain):
        relays = [moved ^ (place == number) for place, moved in enumerate(state.relays)]
        yield State(state.setting, tuple(relays))
    if sound.must(state, certain):
        return
    for place, positions in enumerate(sound.oracle.panel.positions.values()):
        for moved in (state.setting[place] - 1, state.setting[place] + 1):
            if 0 <= moved < len(positions):
                setting = (*state.setting[:place], moved, *state.setting[place + 1 :])
                yield State(setting, state.relays)


def all_from(one: Broke, starts: Iterable[State], certain: bool) -> set[State]:
    seen = set(starts)
    queue = deque(seen)
    while queue:
        for state in onwards(one, queue.popleft(), certain):
            if state not in seen:
                seen.add(state)
                queue.append(state)
    return seen


def settled_with(rested: set[State], one: Broke, certain: bool) -> set[State]:
    """The settled states that are reached once the fault has come in one of those `rested` in."""
    comes = {s for s in rested if one.can_come(one.oracle.panel, s)}
    return {s for s in all_from(one, comes, certain) if one.rests(s, certain)}


def is_calm(oracle: PanelOracle) -> bool:
    """Whether no state has a short and nothing chatters."""
    if any(oracle.network(state).short for state in oracle.states()):
        return False
    return not any(oracle.chatters(certain) for certain in (True, False))


def questions(drawn: Drawn) -> list[tuple[str, bool, Question]]:
    """Each relay in, each lamp on, and each with every switch at rest."""

    def relay(name: str) -> Question:
        return lambda b: b.in_positions(name, frozenset((1,)))

    def load(name: str) -> Question:
        return lambda b: b.on(name)

    asked: list[tuple[str, bool, Question]] = []
    for name in drawn.relays:
        asked.append((name, False, relay(name)))
    for one in drawn.loads:
        if one.name.startswith("H"):
            asked.append((one.name, False, load(one.name)))
    return [*asked, *((name, True, at_rest(drawn, q)) for name, _, q in asked)]


def at_rest(drawn: Drawn, question: Question) -> Question:
    sources = {one.name for one in drawn.sources}

    def condition(behaviour: Behaviour) -> int:
        still = [
            behaviour.in_positions(name, frozenset((0,)))
            for name in drawn.positions
            if name not in sources
        ]
        return behaviour.logic.all_of([question(behaviour), *still])

    return condition


def happens(drawn: Drawn, one: Broke, state: State, name: str, rest: bool) -> bool:
    sources = {source.name for source in drawn.sources}
    if rest and any(
        place
        for known, place in zip(drawn.positions, state.setting, strict=True)
        if known not in sources
    ):
        return False
    if name in drawn.relays:
        return state.relays[drawn.relays.index(name)]
    return name in one.oracle.network(state).energised


def agrees(drawn: Drawn, kind: str) -> None:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": drawn.text})))
    assert not mistakes
    oracle = PanelOracle(drawn)
    assume(sum(1 for _ in oracle.states()) <= MOST_STATES and is_calm(oracle))
    faults = list(wires_that_open(panel) if kind == "opens" else contacts_that_weld(panel))
    broke = [drawn_with(oracle, fault, panel) for fault in faults]
    broke = [one for one in broke if is_calm(one.oracle)]
    assume(broke)
    sound = Broke(broke[0].fault, oracle)
    before = {certain: all_from(sound, oracle.starts(), certain) for certain in (True, False)}
    rested = {c: {s for s in before[c] if not sound.must(s, c)} for c in before}
    states = {
        (one.fault, certain): settled_with(rested[certain], one, certain)
        for one in broke
        for certain in (True, False)
    }
    anyway = [
        state for certain in before for state in before[certain] if sound.rests(state, certain)
    ]
    single = SingleFaults(panel, [one.fault for one in broke])
    plain = OpenWires(Behaviour(panel, find_nodes(panel)))
    for name, rest, question in questions(drawn):
        if any(happens(drawn, sound, state, name, rest) for state in anyway):
            continue  # what happens anyway needs no fault

        def with_fault(certain: bool, name: str = name, rest: bool = rest) -> set[Fault]:
            return {
                one.fault
                for one in broke
                if any(happens(drawn, one, s, name, rest) for s in states[one.fault, certain])
            }

        surely, maybe = with_fault(True), with_fault(False)
        where = f"{drawn.text}\n{kind} {name} {'at rest' if rest else ''}"
        answers = single.all_ways(question)
        told = {
            fault
            for answer in answers
            if isinstance(answer, Broken) and answer.reached.kind == "settled operation"
            for fault in (answer.fault, *answer.alike)
        }
        assert told <= surely, f"{where}\n{told - surely}"
        last = answers[-1]
        if isinstance(last, Never) or (isinstance(last, Broken) and last.reached.kind == "race"):
            # Where a coil's luck may do it without any fault, that is what a rule tells first.
            without = plain._behaviour.prover.can_happen(question(plain._behaviour), at="settled")
            missed = (surely | maybe) - told
            assert not missed or isinstance(without, Reached), f"{where}\n{missed}"
        assert bool(told) == bool(surely) or isinstance(last, Undecided), where
        if kind == "opens" and plain.cannot_let(question(plain._behaviour)):
            assert not surely | maybe, where


@SOME
@given(panels(most_switches=3, most_relays=2))
def test_what_an_open_wire_lets_happen_is_as_the_second_opinion_says(drawn: Drawn) -> None:
    agrees(drawn, "opens")


@SOME
@given(panels(most_switches=3, most_relays=2))
def test_what_a_welded_contact_lets_happen_is_as_the_second_opinion_says(drawn: Drawn) -> None:
    agrees(drawn, "welds")


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["opens", "welds"])
def test_many_more_faults_come_to_what_the_second_opinion_says(kind: str) -> None:
    MANY(given(panels(most_switches=3, most_relays=3))(lambda drawn: agrees(drawn, kind)))()


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["opens", "welds"])
def test_faults_of_relays_that_hold_and_block_come_to_what_the_second_opinion_says(
    kind: str,
) -> None:
    """Among these many a fault does let something happen; among the others hardly one."""
    MANY(given(controls())(lambda drawn: agrees(drawn, kind)))()


def static_agrees(drawn: Drawn) -> None:
    """A fault there for good conducts as in the breakable behaviour once it has come."""
    panel, _ = build_panel("a.panel", gather("a.panel", Texts({"a.panel": drawn.text})))
    for fault in [*wires_that_open(panel), *contacts_that_weld(panel)]:
        if fault.kind is FaultKind.HELD_IN:
            continue
        one = Breakable(panel, [fault], certain=True)
        two = Behaviour(broken(panel, fault), find_nodes(broken(panel, fault)), certain=True)
        came = {one.came[0]: True}
        loads = [part for part in panel.parts if part.load is not None]
        fed = [one.energised(part) for part in loads]
        names = [*two.machine.movers, *two.machine.switches]
        for state in PanelOracle(drawn).states():
            first, second = dict(came), dict[int, bool]()
            for name, place in zip(drawn.positions, state.setting, strict=True):
                for machine, values in ((one.machine, first), (two.machine, second)):
                    for bit, variable in enumerate(machine.switches[name].bits):
                        values[variable] = bool(place >> bit & 1)
            for name, moved in zip(drawn.relays, state.relays, strict=True):
                first[one.machine.movers[name].state] = moved
                second[two.machine.movers[name].state] = moved
            for meaning, literal in one.meaning.items():
                first[meaning] = one.logic.evaluate(literal, first)
            for part, literal in zip(loads, fed, strict=True):
                same = two.panel.parts[part.index]
                expected = two.logic.evaluate(two.energised(same), second)
                found = one.logic.evaluate(literal, first)
                assert expected == found, f"{drawn.text}\n{fault.words} {part.label} {names}"


@STATIC
@given(panels(most_switches=2, most_relays=2))
def test_a_fault_that_came_conducts_as_one_that_was_always_there(drawn: Drawn) -> None:
    static_agrees(drawn)
