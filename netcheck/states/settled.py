"""What follows at once from where a few switches stand, once all has settled.

A relay whose coil is then surely dead is out, one whose coil is surely fed is in, and so on
through the relays that hang on them.  Most questions about stops and trips end here: the
coil that the stop opens is dead whatever else moves.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.machine import Machine, Mover


def where_settled(machine: Machine, literal: int, standing: Mapping[str, int]) -> int:
    """The literal in settled states with these switches in these positions (by number).

    FALSE proves that it is true in none of them; anything else decides nothing.
    """
    logic = machine.logic
    known = {
        bit: TRUE if position >> place & 1 else FALSE
        for name, position in standing.items()
        for place, bit in enumerate(machine.switches[name].bits)
    }
    open_movers = list(_concerned(machine, literal))
    while True:
        literal = logic.substitute(literal, known)
        if literal in (FALSE, TRUE):
            return literal
        found = {
            mover.state: stuck
            for mover in open_movers
            if mover.state not in known and (stuck := _stuck(machine, mover, known)) is not None
        }
        if not found:
            return literal
        known.update(found)


def _stuck(machine: Machine, mover: Mover, known: Mapping[int, int]) -> int | None:
    """FALSE where it must be out, TRUE where it must be in, None where that is not plain."""
    motion, logic = machine.motions[mover.name], machine.logic
    if logic.substitute(motion.must_fall, known) == TRUE:
        return FALSE
    if logic.substitute(motion.must_rise, known) == TRUE:
        return TRUE
    return None


def _concerned(machine: Machine, literal: int) -> Iterable[Mover]:
    """The movers that have a say in a literal, near ones first."""
    logic = machine.logic
    by_state = {mover.state: mover for mover in machine.movers.values()}
    found: dict[str, Mover] = {}
    todo = [literal]
    while todo:
        for variable in sorted(logic.support(todo.pop())):
            mover = by_state.get(variable)
            if mover is not None and mover.name not in found:
                found[mover.name] = mover
                motion = machine.motions[mover.name]
                todo += [motion.must_fall, motion.must_rise]
    return found.values()
