"""What can happen in several ways, asked way by way."""

from netcheck.model.panel import Panel
from netcheck.record import replace
from netcheck.states.alternatives import alternatives, grouped
from netcheck.states.cone import Slicer
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.machine import Machine
from netcheck.states.proof import Prover
from netcheck.states.truth_table import Tables
from tests.benchmarks.ladders import ladder
from tests.facts.panels import panel_of


def test_an_or_of_ors_is_taken_apart_to_its_last_member() -> None:
    logic = Logic()
    a, b, c = (logic.variable(name) for name in "abc")
    assert [a, b, c] == sorted(alternatives(logic, logic.either(a, logic.either(b, c))))


def test_what_every_way_needs_stays_with_each() -> None:
    logic = Logic()
    a, b, c = (logic.variable(name) for name in "abc")
    found = alternatives(logic, logic.both(a, logic.either(b, c)))
    assert [logic.both(a, b), logic.both(a, c)] == sorted(found)


def test_what_is_no_or_is_left_as_it_is() -> None:
    logic = Logic()
    a, b = logic.variable("a"), logic.variable("b")
    for literal in (FALSE, TRUE, a, a ^ 1, logic.both(a, b), logic.both(a, b ^ 1)):
        assert [literal] == alternatives(logic, literal)


def test_the_ways_together_are_the_question() -> None:
    logic = Logic()
    names = [logic.variable(f"v{number}") for number in range(6)]
    a, b, c, d, e, f = names
    question = logic.both(logic.either(a, logic.both(b, c ^ 1)), logic.any_of([d, e ^ 1, f]))
    tables = Tables(logic, names)
    ways = alternatives(logic, question)
    assert len(ways) == 3
    assert tables.of(question) == tables.of(logic.any_of(ways))


def test_ways_that_depend_on_the_same_relays_are_asked_together() -> None:
    machine = Machine()
    one, two, three, lone = (machine.mover(name) for name in ("K1", "K2", "K3", "K4"))
    machine.attach_relay(one, two.state)
    machine.attach_relay(two, one.state ^ 1)
    machine.attach_relay(three, one.state)
    ways = [one.state, two.state, three.state, lone.state]
    found = grouped(machine.logic, Slicer(machine), ways)
    assert [machine.logic.any_of(ways[:3]), lone.state] == found


def test_a_pair_of_a_large_panel_is_answered_as_if_it_were_alone() -> None:
    machine = Machine()
    logic = machine.logic
    pairs = []
    for number in range(30):
        wish = machine.position(machine.switch(f"S{number}", ["open", "shut"]), 1)
        one, other = machine.mover(f"K{number}a"), machine.mover(f"K{number}b")
        machine.attach_relay(one, logic.both(wish, other.state ^ 1))
        machine.attach_relay(other, logic.both(wish, one.state ^ 1) if number != 20 else wish)
        pairs.append(logic.both(one.state, other.state))
    prover = Prover(machine)
    assert prover.can_happen(logic.any_of(pairs)) == prover.can_happen(pairs[20])


def _compared(panel: Panel) -> tuple[object, ...]:
    """What proofs depend on; currents and powers are left aside."""
    parts = [
        part
        if part.load is None
        else replace(part, load=replace(part.load, current_a=None, power_w=None))
        for part in panel.parts
    ]
    moved = [replace(one, steps=()) for one in panel.mechanisms.values()]
    wires = [(wire.a, wire.b) for wire in panel.wires]
    return parts, moved, panel.sources, wires, [one.terminals for one in panel.devices.values()]


def test_a_ladder_built_directly_is_the_one_its_text_describes() -> None:
    for local in (True, False):
        drawing = ladder(60, local=local)
        assert _compared(drawing.panel()) == _compared(panel_of(drawing.text()))
