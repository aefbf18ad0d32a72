"""Circuits every electrician knows, and what they can and cannot do.

Examples named j01 and so on are those of tests/published/examples/examples.jsonl, with their
sources there; the rest are facts of the trade, from memory.
"""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest

from netcheck.states.answers import Answer, Budget, Instant, Never, Reached, Undecided
from netcheck.states.expressions import TRUE
from netcheck.states.machine import Machine, Mover, Switch
from netcheck.states.proof import Prover

EXAMPLES = Path(__file__).parents[1] / "published" / "examples" / "examples.jsonl"
ENUMERATED = Budget()
PROVED = Budget(whole_variables=99, table_variables=-1, rounds=((50_000_000, 0),))
both_ways = pytest.mark.parametrize("budget", [ENUMERATED, PROVED], ids=["table", "proof"])


def published(identifier: str) -> dict[str, object]:
    lines = EXAMPLES.read_text(encoding="utf-8").splitlines()
    records = (json.loads(line) for line in lines)
    answer = next(record for record in records if record["id"] == identifier)["answer"]
    assert isinstance(answer, dict)
    return answer


def button(machine: Machine, name: str) -> Switch:
    """A button whose normally closed contact opens before its normally open one closes."""
    return machine.switch(name, ["released", "between", "pressed"], resting=[0, 2], start=[0, 2])


class Reversing:
    """Two contactors for two directions, and the two buttons that ask for them."""

    def __init__(self, *, contacts: bool, buttons: bool, mechanical: bool = False) -> None:
        self.machine = machine = Machine()
        logic = machine.logic
        self.forward, self.reverse = button(machine, "S1"), button(machine, "S2")
        self.supply = machine.switch("PS1", ["absent", "present"], start=[0])
        self.k1, self.k2 = machine.mover("K1"), machine.mover("K2")
        for mover, own, other, partner in (
            (self.k1, self.forward, self.reverse, self.k2),
            (self.k2, self.reverse, self.forward, self.k1),
        ):
            rung = [machine.position(self.supply, 1), machine.position(own, 2)]
            if contacts:
                rung.append(partner.state ^ 1)
            if buttons:
                rung.append(machine.position(other, 0))
            machine.attach_relay(mover, logic.all_of(rung))
        if mechanical:
            machine.exclude(self.k1, self.k2)
        self.both_in = logic.both(self.k1.state, self.k2.state)


def names_changed(answer: Answer) -> list[list[str]]:
    assert isinstance(answer, Reached)
    return [[change.name for change in step.changes] for step in answer.steps]


@both_ways
def test_without_an_interlock_two_buttons_bring_both_contactors_in(budget: Budget) -> None:
    circuit = Reversing(contacts=False, buttons=False)
    answer = Prover(circuit.machine, budget).can_happen(circuit.both_in, at="settled")
    assert isinstance(answer, Reached)
    assert "settled operation" == answer.kind
    assert {"K1", "K2"} <= {name for names in names_changed(answer) for name in names}
    assert (True, True) == (answer.state["K1"], answer.state["K2"])
    assert "absent" == answer.start["PS1"]


@both_ways
def test_contacts_of_each_other_keep_one_out_while_the_other_is_in(budget: Budget) -> None:
    assert "M2 blocked while M1 in, and vice versa" == published("j03")["result"]
    circuit = Reversing(contacts=True, buttons=False)
    assert isinstance(Prover(circuit.machine, budget).can_happen(circuit.both_in), Never)


@both_ways
def test_contacts_of_each_other_race_when_both_move_in_the_same_instant(budget: Budget) -> None:
    assert str(published("j03")["both pressed at the same instant"]).startswith("race")
    circuit = Reversing(contacts=True, buttons=False)
    answer = Prover(circuit.machine, budget).can_happen(circuit.both_in, same_instant=True)
    assert isinstance(answer, Reached)
    assert "race" == answer.kind
    assert {"K1", "K2"} == {change.name for change in answer.steps[-1].changes}


@both_ways
def test_a_mechanical_interlock_excludes_the_race_too(budget: Budget) -> None:
    circuit = Reversing(contacts=True, buttons=False, mechanical=True)
    answer = Prover(circuit.machine, budget).can_happen(circuit.both_in, same_instant=True)
    assert isinstance(answer, Never)


@both_ways
def test_an_interlock_of_buttons_alone_is_a_race_when_reversed_directly(budget: Budget) -> None:
    circuit = Reversing(contacts=False, buttons=True)
    answer = Prover(circuit.machine, budget).can_happen(circuit.both_in)
    assert isinstance(answer, Reached)
    assert "race" == answer.kind


@both_ways
def test_with_both_double_contact_buttons_pressed_neither_contactor_is_in(budget: Budget) -> None:
    assert "neither contactor energises" == published("j18")["result"]
    circuit = Reversing(contacts=False, buttons=True)
    machine, logic = circuit.machine, circuit.machine.logic
    pressed = [machine.position(circuit.forward, 2), machine.position(circuit.reverse, 2)]
    either_in = logic.either(circuit.k1.state, circuit.k2.state)
    bad = logic.all_of([*pressed, either_in])
    answer = Prover(machine, budget).can_happen(bad, at="settled")
    assert not isinstance(answer, Reached) or answer.kind == "race"


class StartStop:
    """Stop button, start button, and a contactor that seals itself in."""

    def __init__(self, *, has_stop: bool = True) -> None:
        self.machine = machine = Machine()
        logic = machine.logic
        self.supply = machine.switch("PS1", ["absent", "present"], start=[0])
        self.stop, self.start = button(machine, "S1"), button(machine, "S2")
        self.k1 = machine.mover("K1")
        seal = logic.either(machine.position(self.start, 2), self.k1.state)
        stop = machine.position(self.stop, 0) if has_stop else TRUE
        machine.attach_relay(self.k1, logic.all_of([machine.position(self.supply, 1), stop, seal]))

    def at(self, switch: Switch, index: int) -> int:
        return self.machine.position(switch, index)


@both_ways
def test_a_sealed_in_contactor_stays_in_after_start_is_released(budget: Budget) -> None:
    assert str(published("j04")["result"]).startswith("M1 stays in")
    circuit = StartStop()
    bad = circuit.machine.logic.both(circuit.k1.state, circuit.at(circuit.start, 0))
    answer = Prover(circuit.machine, budget).can_happen(bad, at="settled")
    assert isinstance(answer, Reached)
    assert "settled operation" == answer.kind
    assert {"PS1": "present", "S1": "released", "S2": "released", "K1": True} == answer.state


@both_ways
def test_a_sealed_in_contactor_is_never_in_while_stop_is_pressed(budget: Budget) -> None:
    circuit = StartStop()
    bad = circuit.machine.logic.both(circuit.k1.state, circuit.at(circuit.stop, 2))
    prover = Prover(circuit.machine, budget)
    settled = prover.can_happen(bad, at="settled")
    assert isinstance(settled, Never)
    # On its way out it is still in while the button goes from one contact to the other; a
    # finger that outruns it is a race.
    passing = prover.can_happen(bad, at="any instant")
    assert isinstance(passing, Reached)
    assert "race" == passing.kind


@both_ways
def test_without_a_stop_only_loss_of_power_drops_the_contactor(budget: Budget) -> None:
    assert str(published("j04")["result"]).endswith("only loss of power or OL drops it")
    circuit = StartStop(has_stop=False)
    logic = circuit.machine.logic
    bad = logic.all_of([circuit.k1.state, circuit.at(circuit.start, 0)])
    answer = Prover(circuit.machine, budget).can_happen(bad, at="settled")
    assert isinstance(answer, Reached)
    dropped = logic.all_of([circuit.k1.state, circuit.at(circuit.supply, 0)])
    assert isinstance(Prover(circuit.machine, budget).can_happen(dropped, at="settled"), Never)


@both_ways
def test_after_power_returns_a_sealed_in_contactor_stays_out(budget: Budget) -> None:
    """Low voltage protection: a three-wire control does not restart by itself."""
    circuit = StartStop()
    machine, logic = circuit.machine, circuit.machine.logic
    machine.assume(circuit.at(circuit.start, 0))
    assert isinstance(Prover(machine, budget).can_happen(circuit.k1.state), Never)
    assert logic.support(circuit.k1.state)


@both_ways
def test_the_first_of_three_alarms_locks_out_the_others(budget: Budget) -> None:
    assert "K2 only, also after P2 clears" == published("j19")["latched"]
    machine = Machine()
    logic = machine.logic
    points = [machine.switch(f"P{n}", ["clear", "alarm"]) for n in (1, 2, 3)]
    relays = [machine.mover(f"K{n}") for n in (1, 2, 3)]
    for point, relay in zip(points, relays, strict=True):
        others = [other.state ^ 1 for other in relays if other is not relay]
        asks = logic.either(machine.position(point, 1), relay.state)
        machine.attach_relay(relay, logic.all_of([asks, *others]))
    prover = Prover(machine, budget)
    two = logic.any_of([logic.both(a.state, b.state) for a, b in pairwise(relays)])
    assert isinstance(prover.can_happen(two), Never)
    latched = logic.both(relays[1].state, machine.position(points[1], 0))
    held = prover.can_happen(latched, at="settled")
    assert isinstance(held, Reached)
    assert "settled operation" == held.kind
    raced = prover.can_happen(two, same_instant=True)
    assert isinstance(raced, Reached)
    assert "race" == raced.kind
    assert frozenset() == prover.possible_chatterers


@both_ways
def test_a_two_hand_scheme_with_a_selector_passes_off_on_its_way(budget: Budget) -> None:
    """Hand-off-auto: from hand to auto the selector passes off, where a seal-in drops out."""
    machine = Machine()
    logic = machine.logic
    selector = machine.switch("SS1", ["hand", "off", "auto"], start=[0])
    relay = machine.mover("K1", start=True)
    auto_seal = logic.both(machine.position(selector, 2), relay.state)
    machine.attach_relay(relay, logic.either(machine.position(selector, 0), auto_seal))
    bad = logic.both(relay.state, machine.position(selector, 2))
    answer = Prover(machine, budget).can_happen(bad)
    assert isinstance(answer, Reached)
    assert "race" == answer.kind


def star_delta(*, timed: bool) -> tuple[Machine, Mover, Mover]:
    """A timer takes over from the first relay to the second; each is kept out by the other."""
    machine = Machine()
    logic = machine.logic
    run = machine.switch("S1", ["off", "on"], start=[0])
    timer = machine.mover("T1", timed=timed)
    first, second = machine.mover("K1"), machine.mover("K2")
    on = machine.position(run, 1)
    machine.attach_on_delay(timer, on)
    machine.attach_relay(first, logic.all_of([on, timer.state ^ 1]))
    machine.attach_relay(second, logic.all_of([on, timer.state]))
    return machine, first, second


@both_ways
def test_a_timer_s_two_contacts_overlap_two_relays_in_passing(budget: Budget) -> None:
    machine, first, second = star_delta(timed=True)
    prover = Prover(machine, budget)
    both_in = machine.logic.both(first.state, second.state)
    passing = prover.can_happen(both_in)
    assert isinstance(passing, Reached)
    assert "settled operation" == passing.kind
    assert ["S1", "K1", "T1", "K2"] == [names[0] for names in names_changed(passing)]
    assert isinstance(prover.can_happen(both_in, at="settled"), Never)


@both_ways
def test_a_timed_mover_runs_out_only_when_relays_have_settled(budget: Budget) -> None:
    """The timer running out while the first relay is still pulling in is a race."""
    for timed, kind in ((True, "race"), (False, "settled operation")):
        machine, first, second = star_delta(timed=timed)
        # The second relay is in although the first never was: a latch remembers.
        seen = machine.mover("L1")
        machine.attach_latching(seen, first.state, 0)
        bad = machine.logic.both(second.state, seen.state ^ 1)
        answer = Prover(machine, budget).can_happen(bad)
        assert isinstance(answer, Reached)
        assert kind == answer.kind


@both_ways
def test_a_latching_relay_keeps_its_state_without_power(budget: Budget) -> None:
    machine = Machine()
    logic = machine.logic
    on, off = button(machine, "S1"), button(machine, "S2")
    relay = machine.mover("K1", start=None)
    machine.attach_latching(relay, machine.position(on, 2), machine.position(off, 2))
    rest = [machine.position(on, 0), machine.position(off, 0)]
    prover = Prover(machine, budget)
    for state in (relay.state, relay.state ^ 1):
        answer = prover.can_happen(logic.all_of([*rest, state]), at="settled")
        assert isinstance(answer, Reached)
        assert () == answer.steps
    both_pressed = [machine.position(on, 2), machine.position(off, 2)]
    for state in (relay.state, relay.state ^ 1):
        answer = prover.can_happen(logic.all_of([*both_pressed, state]), at="settled")
        assert isinstance(answer, Reached)


@both_ways
def test_an_uncertain_coil_is_explored_both_ways(budget: Budget) -> None:
    machine = Machine()
    switch = machine.switch("S1", ["open", "closed"], start=[0])
    relay = machine.mover("K1")
    closed = machine.position(switch, 1)
    machine.attach_relay(relay, closed, uncertain=closed)
    prover = Prover(machine, budget)
    for state in (relay.state, relay.state ^ 1):
        answer = prover.can_happen(machine.logic.both(closed, state), at="settled")
        assert isinstance(answer, Reached)
        assert "settled operation" == answer.kind


def buzzer(machine: Machine) -> tuple[Switch, Mover]:
    """A relay that breaks its own coil circuit."""
    switch = machine.switch("S1", ["open", "closed"], start=[0])
    relay = machine.mover("K1")
    machine.attach_relay(relay, machine.logic.both(machine.position(switch, 1), relay.state ^ 1))
    return switch, relay


@both_ways
def test_what_happens_only_past_a_chattering_relay_is_not_decided(budget: Budget) -> None:
    machine = Machine()
    switch, relay = buzzer(machine)
    prover = Prover(machine, budget)
    assert frozenset({"K1"}) == prover.possible_chatterers
    bad = machine.logic.both(relay.state, machine.position(switch, 0))
    answer = prover.can_happen(bad)
    assert isinstance(answer, Undecided)
    assert (("K1",), "`K1` may chatter") == (answer.chattering, answer.reason)
    assert isinstance(prover.can_happen(relay.state), Reached)


@both_ways
def test_a_relay_that_breaks_its_own_coil_chatters_once_it_is_switched_on(budget: Budget) -> None:
    machine = Machine()
    buzzer(machine)
    (chattering,) = Prover(machine, budget).chattering()
    assert ("K1",) == chattering.names
    assert [["S1"]] == names_changed(chattering.answer)


@both_ways
def test_three_relays_in_a_ring_of_normally_closed_contacts_chatter(budget: Budget) -> None:
    """An odd number of inversions in a ring has no state of rest; an even number has two."""
    for length, names in ((3, ("K1", "K2", "K3")), (4, ())):
        machine = Machine()
        relays = [machine.mover(f"K{n + 1}") for n in range(length)]
        for relay, before in zip(relays, [relays[-1], *relays], strict=False):
            machine.attach_relay(relay, before.state ^ 1)
        found = [name for knot in Prover(machine, budget).chattering() for name in knot.names]
        assert list(names) == found


def test_a_ring_too_large_to_look_at_state_by_state_is_not_said_to_settle() -> None:
    machine = Machine()
    relays = [machine.mover(f"K{n}") for n in range(17)]
    for relay, before in zip(relays, [relays[-1], *relays], strict=False):
        machine.attach_relay(relay, before.state ^ 1)
    (chattering,) = Prover(machine).chattering()
    assert isinstance(chattering.answer, Undecided)
    assert 17 == len(chattering.names)


@pytest.mark.parametrize("stations", [3, 5, 24])
def test_a_first_out_of_any_size_settles(stations: int) -> None:
    machine = Machine()
    relays = [machine.mover(f"K{n}") for n in range(stations)]
    for number, relay in enumerate(relays):
        point = machine.switch(f"P{number}", ["clear", "alarm"])
        asks = machine.logic.either(machine.position(point, 1), relay.state)
        others = [other.state ^ 1 for other in relays if other is not relay]
        machine.attach_relay(relay, machine.logic.all_of([asks, *others]))
    assert () == Prover(machine).chattering()


@both_ways
def test_a_relay_that_chatters_only_in_a_state_never_reached_is_waited_for(budget: Budget) -> None:
    machine = Machine()
    _, relay = buzzer(machine)
    never = machine.mover("K2")
    machine.attach_relay(never, never.state)
    coil = machine.logic.both(never.state, relay.state ^ 1)
    machine.attach_relay(relay, coil)
    prover = Prover(machine, budget)
    assert ((), frozenset()) == (prover.chattering(), prover.possible_chatterers)


@both_ways
def test_assumptions_that_contradict_each_other_are_no_pass(budget: Budget) -> None:
    circuit = StartStop()
    pressed = circuit.at(circuit.start, 2)
    circuit.machine.assume(pressed)
    circuit.machine.assume(pressed ^ 1)
    for at in ("any instant", "settled"):
        instant: Instant = "settled" if at == "settled" else "any instant"
        answer = Prover(circuit.machine, budget).can_happen(circuit.k1.state, at=instant)
        assert Never("assumptions contradict") == answer


@both_ways
def test_an_assumption_keeps_two_buttons_from_being_pressed_together(budget: Budget) -> None:
    circuit = Reversing(contacts=False, buttons=False)
    machine, logic = circuit.machine, circuit.machine.logic
    pressed = [machine.position(s, 2) for s in (circuit.forward, circuit.reverse)]
    machine.assume(logic.all_of(pressed) ^ 1)
    answer = Prover(machine, budget).can_happen(circuit.both_in, at="settled")
    assert not isinstance(answer, Reached) or answer.kind == "race"


@both_ways
def test_no_operation_passes_a_position_assumed_away(budget: Budget) -> None:
    machine = Machine()
    selector = machine.switch("SS1", ["hand", "off", "auto"], start=[0])
    machine.assume(machine.position(selector, 1) ^ 1)
    answer = Prover(machine, budget).can_happen(machine.position(selector, 2))
    assert isinstance(answer, Reached)
    assert "race" == answer.kind


@both_ways
def test_a_relay_does_not_move_into_a_state_assumed_away(budget: Budget) -> None:
    """Not even when a switch, moved in the same breath, would make the state a good one."""
    machine = Machine()
    switch = machine.switch("S1", ["open", "closed"])
    relay = machine.mover("K1")
    machine.attach_relay(relay, machine.position(switch, 0))
    machine.assume(machine.logic.either(relay.state ^ 1, machine.position(switch, 1)))
    assert isinstance(Prover(machine, budget).can_happen(relay.state), Never)


@both_ways
def test_always_and_never_need_no_search(budget: Budget) -> None:
    prover = Prover(Machine(), budget)
    assert Never("logic alone") == prover.can_happen(0)
    always = prover.can_happen(1)
    assert isinstance(always, Reached)
    assert ((), {}) == (always.steps, dict(always.start))


def long_chain(length: int) -> tuple[Machine, Mover]:
    """Each relay pulls the next in."""
    machine = Machine()
    switch = machine.switch("S1", ["open", "closed"], start=[0])
    coil = machine.position(switch, 1)
    last = machine.mover("K0")
    machine.attach_relay(last, coil)
    for number in range(1, length):
        relay = machine.mover(f"K{number}")
        machine.attach_relay(relay, last.state)
        last = relay
    return machine, last


def let_go_at_one_end(length: int) -> tuple[Machine, int]:
    """Such a chain; asked about: the last in and the first out, which no power-up leads to."""
    machine, last = long_chain(length)
    return machine, machine.logic.both(last.state, machine.movers["K0"].state ^ 1)


def test_out_of_budget_is_not_decided_and_never_a_pass() -> None:
    machine, asked = let_go_at_one_end(40)
    answer = Prover(machine, Budget(rounds=((2_500, 0),))).can_happen(asked)
    assert isinstance(answer, Undecided)
    assert () == answer.chattering


def test_a_chain_longer_than_the_direct_search_is_still_followed_to_its_end() -> None:
    machine, last = long_chain(40)
    answer = Prover(machine).can_happen(last.state)
    assert isinstance(answer, Reached)
    assert 41 == len(answer.steps)


def test_what_is_not_decided_says_what_it_depends_on_and_what_was_tried() -> None:
    machine, asked = let_go_at_one_end(40)
    answer = Prover(machine, Budget(rounds=((2_500, 0),))).can_happen(asked)
    assert isinstance(answer, Undecided)
    assert (*machine.movers, "S1") == answer.concerned
    assert (
        "no proof was found within the budget; it depends on `K0`, `K1`, `K2`, `K3`, `K4` and "
        "36 more; tried: induction with 2,500 steps of the solver"
    ) == answer.reason


def test_a_question_too_large_to_prove_is_answered_by_diagrams() -> None:
    machine, asked = let_go_at_one_end(20)
    assert isinstance(Prover(machine, Budget(rounds=((2_500, 0),))).can_happen(asked), Undecided)
    answer = Prover(machine, Budget(rounds=((2_500, 400_000),))).can_happen(asked)
    assert isinstance(answer, Reached)
    assert 23 == len(answer.steps)


def test_where_no_search_ends_a_way_that_is_played_is_still_a_way() -> None:
    machine, last = long_chain(40)
    answer = Prover(machine, Budget(rounds=((2_500, 0),))).can_happen(last.state)
    assert isinstance(answer, Reached)
    assert 41 == len(answer.steps)


def test_a_question_like_one_that_was_in_vain_is_given_less_work() -> None:
    machine, asked = let_go_at_one_end(40)
    prover = Prover(machine, Budget(rounds=((2_500, 0), (5_000, 0))))
    bads = (asked, machine.logic.both(asked, machine.movers["K1"].state))
    told = [prover.can_happen(bad) for bad in bads]
    assert ["5,000", "2,500"] == [
        answer.tried[0].split()[2] for answer in told if isinstance(answer, Undecided)
    ]


def test_small_questions_never_load_the_solver() -> None:
    """Loading it costs as much as reading a small panel."""
    import subprocess
    import sys

    program = (
        "import sys\n"
        "from netcheck.states.machine import Machine\n"
        "from netcheck.states.proof import Prover\n"
        "machine = Machine()\n"
        "relay = machine.mover('K1')\n"
        "switch = machine.switch('S1', ['open', 'closed'], start=[0])\n"
        "machine.attach_relay(relay, machine.position(switch, 1))\n"
        "answer = Prover(machine).can_happen(relay.state)\n"
        "print(type(answer).__name__, 'pysolvers' in sys.modules)\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    assert "Reached False" == run.stdout.strip()
