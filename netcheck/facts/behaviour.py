"""How the panel behaves: its nodes, what conducts when, and the proofs asked of it.

`Behaviour` takes both ways of every coil that may or may not pull in; `CertainBehaviour`
is the same with such coils out.  What happens in the second is certain, what happens only
in the first waits for the arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass

from netcheck.case import View, concludes
from netcheck.network.nodes import find_nodes
from netcheck.states.answers import Answer, Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour


@concludes()
def behave(view: View) -> Behaviour:
    return Behaviour(view.panel, find_nodes(view.panel))


@dataclass(frozen=True)
class CertainBehaviour:
    behaviour: Behaviour


@concludes(Behaviour)
def behave_certainly(view: View) -> CertainBehaviour:
    return CertainBehaviour(certain_of(view[Behaviour]))


def certain_of(behaviour: Behaviour) -> Behaviour:
    """The same behaviour with uncertain coils out; itself where there are none."""
    if not behaviour.uncertain_coils:
        return behaviour
    return Behaviour(behaviour.panel, behaviour.nodes, certain=True)


def decided(certain: Answer, wide: Answer, coils: list[str]) -> Answer:
    """The answer that holds whatever uncertain coils do; Undecided where they matter."""
    if isinstance(certain, Reached) or isinstance(wide, Never):
        return certain if isinstance(certain, Reached) else wide
    if isinstance(wide, Undecided):
        return wide
    names = ", ".join(coils)
    return Undecided(f"it depends on whether {names} pulls in on what voltage it gets", hint=wide)


__all__ = ["Behaviour", "CertainBehaviour", "behave", "certain_of", "decided"]
