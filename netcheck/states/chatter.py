"""Which movers may never settle.

A knot is a set of movers that all influence one another.  Two arguments show that one can
always come to rest, its movers moving one at a time:

- every circle of influence in it holds an even number of "its being in helps that one out"
  (let all that want in go in, then all that want out go out); or
- each of its states was looked at, with everything outside it anyhow.

A knot that neither argument covers, such as a relay whose own normally closed contact is in
its coil circuit, may never settle.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from netcheck.states.cone import Dynamics, Slicer
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.machine import Machine
from netcheck.states.solver import satisfiable
from netcheck.states.truth_table import Tables

_LARGEST_KNOT = 16
_SIGNS_BOTH = frozenset({True, False})


def possible_chatterers(machine: Machine, slicer: Slicer) -> frozenset[str]:
    """Names of the movers in knots that may never settle."""
    by_state = {mover.state: name for name, mover in machine.movers.items()}
    needs = {
        name: [by_state[v] for v in sorted(_must_support(machine.logic, moving)) if v in by_state]
        for name, moving in ((name, slicer.dynamics(name)) for name in machine.movers)
    }
    found: set[str] = set()
    for knot in _knots(needs):
        members = [slicer.dynamics(name) for name in knot]
        if not (_is_balanced(machine.logic, members) or _comes_to_rest(machine, slicer, members)):
            found.update(knot)
    return frozenset(found)


def _comes_to_rest(machine: Machine, slicer: Slicer, members: list[Dynamics]) -> bool:
    """Whether from each state of a knot forced moves can lead to rest; False if it is too large."""
    logic = machine.logic
    states = [moving.mover.state for moving in members]
    outside = {v for moving in members for v in logic.support(moving.must)} - set(states)
    owners = sorted({slicer.owner_of(variable) for variable in outside})
    switches = [machine.switches[name] for name in owners if name in machine.switches]
    outside.update(bit for switch in switches for bit in switch.bits)
    if len(states) + len(outside) > _LARGEST_KNOT:
        return False
    own = outside.union(states)
    assumed = [c for c in machine.constraints if logic.support(c) <= own]
    tables = Tables(logic, states + sorted(outside))
    every = tables.all_of([*assumed, *(machine.valid_code(switch) for switch in switches)])
    forced = [tables.of(moving.must) for moving in members]
    resting = every
    for table in forced:
        resting &= ~table
    while True:
        before = resting
        for place, table in enumerate(forced):
            resting |= every & table & tables.flipped(resting, place)
        if resting == before:
            return resting == every


def _must_support(logic: Logic, moving: Dynamics) -> frozenset[int]:
    return logic.support(moving.must_rise) | logic.support(moving.must_fall)


def _is_balanced(logic: Logic, members: list[Dynamics]) -> bool:
    """Whether the movers have two sides: help in stays on a side, help out goes across."""
    states = {moving.mover.state for moving in members}
    links: dict[int, list[tuple[int, bool]]] = {state: [] for state in states}
    for moving in members:
        own = moving.mover.state
        if _undoes_itself(logic, moving):
            return False
        for other, signs in _influences(logic, moving, states - {own}).items():
            if signs == _SIGNS_BOTH:
                return False
            for sign in signs:
                links[own].append((other, sign))
                links[other].append((own, sign))
    return _two_sides(links)


def _two_sides(links: Mapping[int, list[tuple[int, bool]]]) -> bool:
    side: dict[int, bool] = {}
    for first in links:
        if first in side:
            continue
        side[first] = True
        todo = [first]
        while todo:
            here = todo.pop()
            for there, helps_in in links[here]:
                wanted = side[here] == helps_in
                if there not in side:
                    side[there] = wanted
                    todo.append(there)
                elif side[there] != wanted:
                    return False
    return True


def _undoes_itself(logic: Logic, moving: Dynamics) -> bool:
    own = moving.mover.state
    rise_while_out = logic.substitute(moving.must_rise, {own: FALSE})
    fall_while_in = logic.substitute(moving.must_fall, {own: TRUE})
    return satisfiable(logic, [rise_while_out, fall_while_in]) is not False


def _influences(logic: Logic, moving: Dynamics, others: set[int]) -> dict[int, frozenset[bool]]:
    """For each of the others, whether its being in helps this mover in (True) or out (False)."""
    found: dict[int, set[bool]] = {}
    own = moving.mover.state
    rise = logic.substitute(moving.must_rise, {own: FALSE})
    fall = logic.substitute(moving.must_fall, {own: TRUE})
    for function, helps in ((rise, True), (fall, False)):
        written = logic.polarities(function)
        for other in others & written.keys():
            signs = written[other]
            if signs == _SIGNS_BOTH:
                signs = _true_signs(logic, function, other)
            found.setdefault(other, set()).update(sign == helps for sign in signs)
    return {other: frozenset(signs) for other, signs in found.items()}


def _true_signs(logic: Logic, function: int, variable: int) -> frozenset[bool]:
    """How the function really depends on a variable that is written both plain and negated."""
    without = logic.substitute(function, {variable: FALSE})
    given = logic.substitute(function, {variable: TRUE})
    differs = {True: [given, without ^ 1], False: [without, given ^ 1]}
    return frozenset(s for s, both in differs.items() if satisfiable(logic, both) is not False)


def _knots(needs: Mapping[str, list[str]]) -> Iterator[list[str]]:
    """The strongly connected parts, each a list of names (Tarjan's algorithm, no recursion)."""
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    place: dict[str, int] = {}
    stack: list[str] = []
    stacked: set[str] = set()
    for root in needs:
        if root in index:
            continue
        work: list[tuple[str, Iterator[str]]] = []
        entering: str | None = root
        while entering is not None or work:
            if entering is not None:
                index[entering] = low[entering] = len(index)
                place[entering] = len(stack)
                stack.append(entering)
                stacked.add(entering)
                work.append((entering, iter(needs[entering])))
                entering = None
            name, rest = work[-1]
            for other in rest:
                if other not in index:
                    entering = other
                    break
                if other in stacked:
                    low[name] = min(low[name], index[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[name])
                if low[name] == index[name]:
                    knot, stack[place[name] :] = stack[place[name] :], []
                    stacked.difference_update(knot)
                    yield knot
