"""Circuits that are hard to prove anything of: few relays, all tied to one another."""

from __future__ import annotations

import random
from itertools import combinations, product

from netcheck.model.panel import Panel
from netcheck.states.machine import Machine
from tests.benchmarks.ladders import Drawing


def interlocked(count: int) -> tuple[Machine, int]:
    """Relays that each keep all others out; asked about: any two in."""
    machine = Machine()
    relays = [machine.mover(f"K{n}") for n in range(count)]
    for number, relay in enumerate(relays):
        asked = machine.position(machine.switch(f"S{number}", ["open", "shut"]), 1)
        others = [other.state ^ 1 for other in relays if other is not relay]
        machine.attach_relay(relay, machine.logic.all_of([asked, *others]))
    two = [machine.logic.both(a.state, b.state) for a, b in combinations(relays, 2)]
    return machine, machine.logic.any_of(two)


def chain(count: int) -> tuple[Machine, int]:
    """Relays that each pull the next in; asked about: the last in."""
    machine = Machine()
    coil = machine.position(machine.switch("S1", ["open", "shut"], start=[0]), 1)
    for number in range(count):
        relay = machine.mover(f"K{number}")
        machine.attach_relay(relay, coil)
        coil = relay.state
    return machine, coil


def contactors(count: int) -> tuple[Machine, int]:
    """Contactors that each have a button of their own, on one source; asked about: all in."""
    machine = Machine()
    logic = machine.logic
    on = machine.position(machine.switch("E1", ["absent", "present"], start=[0]), 1)
    relays = []
    for number in range(count):
        positions = ["released", "between", "pressed"]
        pressed = machine.switch(f"S{number}", positions, resting=[0, 2], start=[0, 2])
        relays.append(machine.mover(f"K{number}"))
        machine.attach_relay(relays[-1], logic.both(on, machine.position(pressed, 2)))
    return machine, logic.all_of(relay.state for relay in relays)


def reflected_counter(count: int) -> tuple[Machine, int]:
    """Relays stepping through all 2 ** count states, one relay a step; asked about: the last."""
    machine = Machine()
    logic = machine.logic
    on = machine.position(machine.switch("S1", ["open", "shut"], start=[0]), 1)
    relays = [machine.mover(f"K{number}") for number in range(count)]
    odd = 0
    for relay in relays:
        odd = logic.choose(relay.state, odd ^ 1, odd)
    for number, relay in enumerate(relays):
        below = [other.state ^ 1 for other in relays[: max(number - 1, 0)]]
        before = [odd, relays[number - 1].state] if number else [odd ^ 1]
        steps = logic.all_of([on, *before, *below])
        machine.attach(relay, may_rise=steps, may_fall=steps, must_rise=0, must_fall=0)
    return machine, logic.all_of([relays[-1].state, *(k.state ^ 1 for k in relays[:-1])])


def no_locality(count: int, seed: int = 0) -> tuple[Machine, int]:
    """Sealing rungs that refer to any relay at all; asked about: both of any reversing pair in."""
    choice = random.Random(seed)
    machine = Machine()
    logic = machine.logic
    relays = [machine.mover(f"K{number}") for number in range(count)]
    pairs = []
    for number, relay in enumerate(relays):
        stop = machine.position(machine.switch(f"S{number}a", ["shut", "open"]), 0)
        start = machine.position(machine.switch(f"S{number}b", ["open", "shut"]), 1)
        rung = [stop, logic.either(start, relay.state)]
        rung += [choice.choice(relays).state ^ choice.randrange(2) for _ in range(2)]
        partner = relays[number ^ 1] if number ^ 1 < count else None
        if partner is not None and number % 8 < 2:
            rung.append(partner.state ^ 1)
            if number % 8 == 0:
                pairs.append(logic.both(relay.state, partner.state))
        rung = [literal for literal in rung if literal != relay.state ^ 1]
        machine.attach_relay(relay, logic.all_of(rung))
    return machine, logic.any_of(pairs)


def grid(size: int, *, closes: bool) -> Panel:
    """Sensors between all neighbours of a square grid, its opposite corners at two poles.

    Where it never `closes`, each way crosses two rows: one of open contacts of a relay, one of
    its closed ones.
    """
    drawing = Drawing()
    drawing.mains("MAINS")
    drawing.supply("PS1")
    drawing.chain("MAINS:L1", "PS1:L-N", "MAINS:N")
    contacts = [
        (f"{row}{column}-{row}{column}b", row == 1) for row in (1, 2) for column in range(size)
    ]
    drawing.relay("K1", contacts)
    drawing.chain("PS1:+", drawing.sensor("B1"), "K1:A1-A2", "PS1:0V")
    at: dict[tuple[int, int], str] = {(0, 0): "MAINS:L1", (size - 1, size - 1): "MAINS:N"}
    for row, column in product(range(size), range(size)):
        for down, right in ((1, 0), (0, 1)):
            there = row + down, column + right
            if max(there) < size:
                way = drawing.sensor(f"B{row}_{column}{'d' if down else 'r'}")
                crossed = size // 2 - row if down and not closes else 0
                if crossed in (1, 2):
                    way = f"K1:{crossed}{column}-{crossed}{column}b"
                device, _, marks = way.partition(":")
                for place, mark in zip(((row, column), there), marks.split("-"), strict=True):
                    _tie(drawing, at, place, f"{device}:{mark}")
    return drawing.panel()


def _tie(
    drawing: Drawing, at: dict[tuple[int, int], str], place: tuple[int, int], terminal: str
) -> None:
    if place in at:
        drawing.chain(at[place], terminal)
    else:
        at[place] = terminal
