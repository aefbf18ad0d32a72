"""Which movers may never settle.

A knot is a set of movers that all influence one another.  Any of these shows that one can
always come to rest, its movers moving one at a time:

- every circle of influence in it holds an even number of "its being in helps that one out"
  (let all that want in go in, then all that want out go out);
- each of its states was looked at, with everything outside it anyhow;
- once all that had to go out have gone, none that then comes in makes another go out; or the
  same the other way about.

A knot that none of them covers, such as a relay whose own normally closed contact is in its
coil circuit, is restless.
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.record import record
from netcheck.states.cone import Dynamics, Slicer
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.knots import knots
from netcheck.states.machine import Machine
from netcheck.states.solver import satisfiable
from netcheck.states.truth_table import Tables

_LARGEST_KNOT = 14
_LARGEST_WEB = 5_000
_SIGNS_BOTH = frozenset({True, False})
_HELP = frozenset({True})


@record
class RestlessKnot:
    """Movers that may never settle.

    `stuck` is true where, everything else staying as it is, they cannot come to rest; None
    where the knot is too large to tell.
    """

    names: frozenset[str]
    stuck: int | None


def restless_knots(machine: Machine, slicer: Slicer) -> tuple[RestlessKnot, ...]:
    """Every knot that was not shown always to come to rest."""
    logic = machine.logic
    by_state = {mover.state: name for name, mover in machine.movers.items()}
    needs = {}
    for name in machine.movers:
        moving = slicer.dynamics(name)
        support = logic.support(moving.must_rise) | logic.support(moving.must_fall)
        needs[name] = [by_state[v] for v in sorted(support & by_state.keys())]
    found = []
    for names in knots(needs):
        members = [slicer.dynamics(name) for name in names]
        if not _is_balanced(logic, members):
            stuck = _where_stuck(machine, slicer, members)
            if stuck != FALSE and not (stuck is None and _takes_turns(logic, members)):
                found.append(RestlessKnot(frozenset(names), stuck))
    return tuple(found)


def _where_stuck(machine: Machine, slicer: Slicer, members: list[Dynamics]) -> int | None:
    """Where forced moves of the knot cannot lead to rest; None if it is too large to tell."""
    logic = machine.logic
    if len(members) == 1:
        return logic.all_of(_undoing(logic, members[0]))
    states = [moving.mover.state for moving in members]
    outside = {v for moving in members for v in logic.support(moving.must)} - set(states)
    owners = sorted({slicer.owner_of(variable) for variable in outside})
    switches = [machine.switches[name] for name in owners if name in machine.switches]
    outside.update(bit for switch in switches for bit in switch.bits)
    variables = states + sorted(outside)
    if len(variables) > _LARGEST_KNOT:
        return None
    assumed = [c for c in machine.constraints if logic.support(c) <= set(variables)]
    tables = Tables(logic, variables)
    every = tables.all_of([*assumed, *(machine.valid_code(switch) for switch in switches)])
    return tables.written(every & ~_resting(tables, every, [tables.of(m.must) for m in members]))


def _resting(tables: Tables, every: int, forced: list[int]) -> int:
    """The states from which forced moves can lead to one in which none is left."""
    resting = every
    for table in forced:
        resting &= ~table
    before = None
    while resting != before:
        before = resting
        for place, table in enumerate(forced):
            resting |= every & table & tables.flipped(resting, place)
    return resting


def _takes_turns(logic: Logic, members: list[Dynamics]) -> bool:
    """Whether one kind of move, made until none is left, is never forced again by the other."""
    return any(_stays_done(logic, members, first_in) for first_in in (False, True))


def _stays_done(logic: Logic, members: list[Dynamics], first_in: bool) -> bool:
    """Whether moves in (or out) that are all done stay done while the others are made."""
    before, after = (FALSE, TRUE) if first_in else (TRUE, FALSE)
    first = {m.mover.state: m.must_rise if first_in else m.must_fall for m in members}
    second = {m.mover.state: m.must_fall if first_in else m.must_rise for m in members}
    # A move is pending where its literal is true and its mover still in the state before it.
    pending = {
        state: logic.both(wish, state ^ int(before == FALSE)) for state, wish in first.items()
    }
    if sum(len(logic.support(wish)) for wish in pending.values()) > _LARGEST_WEB:
        return False
    woken = []
    for state, wish in second.items():
        others = [p for p in pending.values() if state in logic.support(p)]
        again = logic.any_of(logic.substitute(p, {state: before}) for p in others)
        woken.append(logic.all_of([wish, state ^ int(after == FALSE), again]))
    done = [p ^ 1 for p in pending.values()]
    return satisfiable(logic, [*done, logic.any_of(woken)]) is False


def _is_balanced(logic: Logic, members: list[Dynamics]) -> bool:
    """Whether the movers have two sides: help in stays on a side, help out goes across."""
    states = {moving.mover.state for moving in members}
    links: dict[int, list[tuple[int, bool]]] = {state: [] for state in states}
    for moving in members:
        own = moving.mover.state
        if not _seals_in_at_most(logic, moving) and (
            satisfiable(logic, _undoing(logic, moving)) is not False
        ):
            return False
        others = states - {own}
        for other, signs in _influences(logic, moving, others).items() if others else ():
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


def _seals_in_at_most(logic: Logic, moving: Dynamics) -> bool:
    """Whether a mover falls where it need not rise, and its being in is written as help only: as
    most are, it then undoes nothing, and need not be asked of the solver."""
    written = logic.polarities(moving.must_rise).get(moving.mover.state, _HELP)
    return moving.must_fall == moving.must_rise ^ 1 and written == _HELP


def _undoing(logic: Logic, moving: Dynamics) -> list[int]:
    """Literals all true where the mover must rise while it is out, and fall while it is in."""
    own = moving.mover.state
    return [
        logic.substitute(moving.must_rise, {own: FALSE}),
        logic.substitute(moving.must_fall, {own: TRUE}),
    ]


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
