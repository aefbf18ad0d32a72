"""How the panel behaves once its solid shorts are mended: nodes, what conducts when, proofs.

A wire or bridge that joins the poles of a source whatever the state would make dead, or
unswitched, all that hangs on that source: one cause, a hundred findings.  It is found as a
missing load, and everything else is judged as if it were taken away.  Without such a short
this is the panel as it is described.

`Behaviour` takes both ways of every coil that may or may not pull in; `CertainBehaviour`
is the same with such coils out.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.as_built import AsBuilt, certain_of, decided, depends_on_luck
from netcheck.facts.shorts import Shorts
from netcheck.network.nodes import find_nodes
from netcheck.record import record
from netcheck.solve.coil_verdicts import CoilVerdicts
from netcheck.states.behaviour import Behaviour


@concludes(AsBuilt, Shorts)
def behave(view: View) -> Behaviour:
    mended = view[Shorts].mended
    if mended is view.panel:
        return view[AsBuilt].wide
    return Behaviour(mended, find_nodes(mended), verdicts=CoilVerdicts())


@record
class CertainBehaviour:
    behaviour: Behaviour


@concludes(AsBuilt, Behaviour)
def behave_certainly(view: View) -> CertainBehaviour:
    wide, built = view[Behaviour], view[AsBuilt]
    return CertainBehaviour(built.certain if wide is built.wide else certain_of(wide))


__all__ = ["Behaviour", "CertainBehaviour", "behave", "certain_of", "decided", "depends_on_luck"]
