"""How the panel behaves exactly as it is described, shorts included.

A coil on too little voltage is judged by what it gets, where its neighbourhood can be
solved.  Of one that may still pull in or not, both ways are taken in `wide`; in `certain` it
stays out.  What happens there is certain, what happens only in `wide` is open.
"""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.case import View, concludes
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.record import record
from netcheck.solve.coil_verdicts import CoilVerdicts
from netcheck.states.answers import Answer, Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour


@record
class AsBuilt:
    wide: Behaviour
    certain: Behaviour


@concludes()
def behave_as_built(view: View) -> AsBuilt:
    return build(view.panel)


def build(panel: Panel) -> AsBuilt:
    """How a panel behaves, whether it is the case's own or one with something taken away."""
    wide = Behaviour(panel, find_nodes(panel), verdicts=CoilVerdicts())
    return AsBuilt(wide, certain_of(wide))


def certain_of(behaviour: Behaviour) -> Behaviour:
    """The same behaviour with uncertain coils out; itself where there are none."""
    if not behaviour.uncertain_coils:
        return behaviour
    return Behaviour(behaviour.panel, behaviour.nodes, certain=True, verdicts=behaviour.verdicts)


def decided(certain: Answer, wide: Answer, coils: list[str]) -> Answer:
    """The answer that holds whatever uncertain coils do; Undecided where they matter."""
    if isinstance(certain, Reached) or isinstance(wide, Never):
        return certain if isinstance(certain, Reached) else wide
    if isinstance(wide, Undecided):
        return wide
    return depends_on_luck(coils, wide)


def depends_on_luck(coils: Sequence[str], hint: Reached) -> Undecided:
    names = ", ".join(coils)
    return Undecided(f"it depends on whether {names} pulls in at the voltage it gets", hint=hint)
