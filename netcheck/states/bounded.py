"""The shortest way to a bad state, looked for one step further at a time."""

from __future__ import annotations

from netcheck.states.solver import Clauses, Meter
from netcheck.states.system import System, instants
from netcheck.states.trace import Assignment


def shortest(system: System, depth: int, meter: Meter) -> list[Assignment] | None:
    """The instants of a shortest way of at most `depth` steps, or None if there is none.

    Raises OutOfBudget.
    """
    with Clauses() as clauses:
        moments = [system.moment(clauses)]
        for clause in system.start_clauses(moments[0]):
            clauses.add(clause)
        while True:
            clauses.add([moments[-1].allowed])
            if meter.solve(clauses.solver, [moments[-1].bad]):
                model = clauses.solver.get_model() or []
                return instants(moments, system.cone.variables, model)
            if len(moments) > depth:
                return None
            clauses.add([-moments[-1].bad])
            moments.append(system.moment(clauses, moments[-1].after))
