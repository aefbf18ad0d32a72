"""Small machines of every kind, made up by hypothesis."""

from __future__ import annotations

from hypothesis import strategies as st

from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.machine import Machine, Mover

_KINDS = ("relay", "relay", "uncertain", "on delay", "off delay", "latching", "anything")


@st.composite
def machines(
    draw: st.DrawFn, most_states: int = 800, most_movers: int = 5, most_switches: int = 4
) -> Machine:
    """Movers and switches of every kind, with assumptions and mechanical interlocks."""
    machine = Machine()
    states = 1
    for number in range(draw(st.integers(0, most_switches))):
        states *= _draw_switch(draw, machine, f"S{number + 1}")
        if states * 4 > most_states:
            break
    movers: list[Mover] = []
    for number in range(draw(st.integers(0, most_movers))):
        states *= 2
        if states > most_states:
            break
        start = draw(st.sampled_from([False, False, False, True, None]))
        movers.append(machine.mover(f"K{number + 1}", start=start, timed=draw(st.booleans())))
    for mover in movers:
        _attach(draw, machine, mover)
    for _ in range(draw(st.sampled_from([0, 0, 0, 1, 2]))):
        machine.assume(draw_expression(draw, machine))
    if len(movers) > 1 and draw(st.booleans()):
        machine.exclude(movers[0], movers[1])
    return machine


def draw_expression(draw: st.DrawFn, machine: Machine, depth: int = 3) -> int:
    """The literal of an expression over everything the machine has."""
    logic = machine.logic
    kind = draw(st.integers(0, 9)) if depth else draw(st.integers(0, 4))
    if kind <= 2 and machine.movers:
        state = draw(st.sampled_from(sorted(m.state for m in machine.movers.values())))
        return state ^ draw(st.integers(0, 1))
    if kind <= 4 and machine.switches:
        switch = machine.switches[draw(st.sampled_from(sorted(machine.switches)))]
        index = draw(st.integers(0, len(switch.positions) - 1))
        return machine.position(switch, index) ^ draw(st.integers(0, 1))
    if kind <= 4:
        return draw(st.sampled_from([FALSE, TRUE]))
    a = draw_expression(draw, machine, depth - 1)
    b = draw_expression(draw, machine, depth - 1)
    return logic.both(a, b) if kind <= 7 else logic.either(a, b)


def _draw_switch(draw: st.DrawFn, machine: Machine, name: str) -> int:
    kind = draw(st.sampled_from(["contact", "source", "button", "selector", "odd"]))
    if kind == "contact":
        machine.switch(name, ["open", "closed"])
    elif kind == "source":
        machine.switch(name, ["absent", "present"], start=[0])
    elif kind == "button":
        machine.switch(name, ["released", "between", "pressed"], resting=[0, 2], start=[0, 2])
    elif kind == "selector":
        machine.switch(name, ["hand", "off", "auto"])
    else:
        some = st.sets(st.integers(0, 2), min_size=1)
        moves = st.sets(st.tuples(st.integers(0, 2), st.integers(0, 2)))
        machine.switch(
            name, ["a", "b", "c"], resting=draw(some), start=draw(some), moves=draw(moves)
        )
    return len(machine.switches[name].positions)


def _attach(draw: st.DrawFn, machine: Machine, mover: Mover) -> None:
    kind = draw(st.sampled_from(_KINDS))
    one = draw_expression(draw, machine)
    if kind == "relay":
        machine.attach_relay(mover, one)
    elif kind == "uncertain":
        machine.attach_relay(mover, one, draw_expression(draw, machine))
    elif kind == "on delay":
        machine.attach_on_delay(mover, one)
    elif kind == "off delay":
        machine.attach_off_delay(mover, one)
    elif kind == "latching":
        machine.attach_latching(mover, one, draw_expression(draw, machine))
    else:
        rest = [draw_expression(draw, machine) for _ in range(3)]
        machine.attach(mover, may_rise=one, may_fall=rest[0], must_rise=rest[1], must_fall=rest[2])
