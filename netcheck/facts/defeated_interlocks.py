"""Opposing pairs that one welded contact lets close together.

Asked of the declared pairs that a contact of each keeps apart while everything is whole, and
that have no mechanical interlock: any one contact may weld while it is closed, a pole that
stays closed counts as its contactor's, and other contacts of a contactor follow its coil
unless they are declared `mirror contact`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.opposing_pairs import OpposingPair, OpposingPairs
from netcheck.facts.single_faults import OneFault, defeats_or_may
from netcheck.model.devices import Conducts, Mechanism, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.answers import Never, Undecided

if TYPE_CHECKING:
    from netcheck.states.breakable import Breakable
    from netcheck.states.single_faults import Broken, Condition


@record
class DefeatedInterlock:
    pair: OpposingPair
    answer: Broken | Undecided


@record
class DefeatedInterlocks:
    pairs: tuple[DefeatedInterlock, ...]


@concludes(OneFault, OpposingPairs)
def find_defeated_interlocks(view: View) -> DefeatedInterlocks:
    return DefeatedInterlocks(tuple(_found(view)))


def _found(view: View) -> Iterator[DefeatedInterlock]:
    for pair in view[OpposingPairs].pairs:
        if pair.held_apart or pair.unseen or not isinstance(pair.together, Never):
            continue
        answer = view[OneFault].welds.can_happen(_both_closed(view.panel, pair))
        if defeats_or_may(answer):
            yield DefeatedInterlock(pair, answer)


def _both_closed(panel: Panel, pair: OpposingPair) -> Condition:
    """A contact that works of the one is closed, and one of the other."""

    def condition(behaviour: Breakable) -> int:
        logic = behaviour.logic
        closed = [
            logic.any_of([behaviour.closed(behaviour.panel.parts[part.index]) for part in parts])
            for parts in (_working(panel, pair.first), _working(panel, pair.second))
        ]
        return logic.all_of(closed)

    return condition


def _working(panel: Panel, mechanism: Mechanism) -> list[Part]:
    """Contacts that are closed while it is in, the main poles alone where it has some."""
    contacts = [
        part
        for part in panel.parts
        if part.mechanism == mechanism.name
        and part.conducts is Conducts.CONTACT
        and 0 not in part.closed
        and not part.spare
    ]
    mains = [part for part in contacts if part.role == "main pole"]
    return mains or contacts
