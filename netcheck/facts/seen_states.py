"""States of a panel that are known without a proof: what is true in one of them can happen."""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.model.devices import Drive
from netcheck.record import record
from netcheck.states.samples import Samples


@record
class SeenStates:
    """Settled states of the certain behaviour, whose literals are asked about."""

    behaviour: Behaviour
    samples: Samples

    def happen(self, literal: int) -> bool:
        """Whether a settled state in which it holds is known, and no coil in doubt has a say in
        it.  False says nothing."""
        if not self.samples.happen(literal):
            return False
        return not self.behaviour.doubt or not self.behaviour.luck.coils(literal)


@concludes(CertainBehaviour)
def see_states(view: View) -> SeenStates:
    behaviour = view[CertainBehaviour].behaviour
    return SeenStates(behaviour, samples_of(behaviour))


def samples_of(behaviour: Behaviour) -> Samples:
    mechanisms = behaviour.panel.mechanisms.values()
    sources = [one.name for one in mechanisms if one.drive is Drive.SOURCE]
    return Samples(behaviour.machine, sources)
