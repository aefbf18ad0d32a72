import pytest

from netcheck.states.expressions import TRUE
from netcheck.states.machine import Machine
from netcheck.states.proof import Prover


def test_a_switch_is_in_exactly_one_of_its_positions() -> None:
    machine = Machine()
    switch = machine.switch("SS1", ["hand", "off", "auto"])
    assert 2 == len(switch.bits)
    for number in range(3):
        values = {bit: bool(number >> k & 1) for k, bit in enumerate(switch.bits)}
        positions = [machine.position(switch, index) for index in range(3)]
        held = [machine.logic.evaluate(literal, values) for literal in positions]
        assert [index == number for index in range(3)] == held


def test_a_selector_goes_to_the_next_position_and_back() -> None:
    machine = Machine()
    switch = machine.switch("SS1", ["hand", "off", "auto"])
    assert {(0, 1), (1, 0), (1, 2), (2, 1)} == switch.moves


def test_a_switch_of_one_position_never_moves() -> None:
    machine = Machine()
    switch = machine.switch("LINK", ["closed"])
    assert ((), TRUE) == (switch.bits, machine.position(switch, 0))


@pytest.mark.parametrize("name", ["S1", "K1"])
def test_a_name_used_twice_is_refused(name: str) -> None:
    machine = Machine()
    machine.switch("S1", ["open", "closed"])
    machine.mover("K1")
    with pytest.raises(ValueError, match="declared twice"):
        machine.switch(name, ["open", "closed"])
    with pytest.raises(ValueError, match="declared twice"):
        machine.mover(name)


def test_a_position_that_does_not_exist_is_refused() -> None:
    machine = Machine()
    switch = machine.switch("S1", ["open", "closed"])
    with pytest.raises(ValueError, match="no position"):
        machine.position(switch, 2)
    with pytest.raises(ValueError, match="lacks a position"):
        machine.switch("S2", ["open", "closed"], start=[2])
    with pytest.raises(ValueError, match="needs a position"):
        machine.switch("S3", [])


def test_a_variable_that_nothing_moves_is_refused() -> None:
    machine = Machine()
    with pytest.raises(ValueError, match="X1 is neither a switch nor a mover"):
        Prover(machine).can_happen(machine.logic.variable("X1"))


def test_a_question_depends_only_on_what_has_a_say_in_it() -> None:
    machine = Machine()
    stop, start, lamp = (machine.switch(n, ["open", "closed"]) for n in ("S1", "S2", "S3"))
    pump, vent, light = (machine.mover(n) for n in ("K1", "K2", "K3"))
    logic = machine.logic
    seal = logic.either(machine.position(start, 1), pump.state)
    machine.attach_relay(pump, logic.both(machine.position(stop, 1), seal))
    machine.attach_relay(vent, pump.state)
    machine.attach_relay(light, machine.position(lamp, 1))
    prover = Prover(machine)
    assert ("S1", "S2", "K1", "K2") == prover.depends_on(vent.state)
    assert ("S3", "K3") == prover.depends_on(light.state)
    assert () == prover.depends_on(TRUE)


def test_a_mechanical_interlock_brings_its_partner_into_the_question() -> None:
    machine = Machine()
    forward, reverse = machine.mover("K1"), machine.mover("K2")
    button = machine.switch("S1", ["released", "pressed"])
    machine.attach_relay(reverse, machine.position(button, 1))
    machine.exclude(forward, reverse)
    assert ("S1", "K1", "K2") == Prover(machine).depends_on(forward.state)
