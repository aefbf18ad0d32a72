"""Relays that hold themselves in, and that nothing short of losing the supply lets go.

A relay holds itself where a reachable state feeds its coil through a contact of its own and
would not without.  It is never let go if in no reachable state, its sources present and no
overload tripped, that way would be open with its own contacts as they are while it is in.
Relays that hold one another only are not looked at.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import LoadFeeds, Verdict, ask, never
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Drive, Mechanism, Part
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import Behaviour as Behaving
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.witness import Witness, assignment, tell

IN = frozenset((1,))
MOST_WALKED = 200_000
"""Parts of the panel, path by path; after so many, relays are told without their paths."""


@record
class HeldRelay:
    """A state in which it holds itself, and the path its coil is then fed by."""

    mechanism: Mechanism
    witness: Witness
    path: tuple[Passed, ...]


@record
class HeldRelays:
    found: tuple[HeldRelay, ...]
    undecided: tuple[tuple[Mechanism, str], ...]


@concludes(Behaviour, CertainBehaviour, SeenStates, LoadFeeds)
def find_held_relays(view: View) -> HeldRelays:
    wide, certain = view[Behaviour], view[CertainBehaviour].behaviour
    seen = view[SeenStates]
    energised = {
        load.parts[0].index for load in view[LoadFeeds].loads if load.verdict is Verdict.ENERGISED
    }
    found: list[HeldRelay] = []
    undecided: list[tuple[Mechanism, str]] = []
    for mechanism in view.panel.mechanisms.values():
        if not mechanism.moved_by_coil or mechanism.drive is Drive.LATCH:
            continue
        if mechanism.coils[0] not in energised:
            continue
        relay = _Relay(mechanism)
        if relay.alone(certain) == FALSE or seen.happen(relay.let_go(certain)):
            continue
        answer = ask(wide, certain, relay.let_go, "any instant")
        if isinstance(answer, Undecided):
            undecided.append((mechanism, answer.reason))
        elif never(answer):
            holds = ask(wide, certain, relay.alone, "settled")
            if isinstance(holds, Reached):
                walked = len(found) * len(view.panel.parts) > MOST_WALKED
                witness = tell(view.panel, holds)
                path = () if walked else _path(certain, mechanism, holds)
                found.append(HeldRelay(mechanism, witness, path))
    return HeldRelays(tuple(found), tuple(undecided))


class _Relay:
    """The questions about one relay, as literals of either behaviour."""

    def __init__(self, mechanism: Mechanism) -> None:
        self.mechanism = mechanism

    def alone(self, behaviour: Behaving) -> int:
        """When it is in, and its coil fed through its own contacts alone."""
        fed, state = self._fed(behaviour), behaviour.in_positions(self.mechanism.name, IN)
        if state not in behaviour.logic.support(fed):
            return FALSE
        without = behaviour.logic.substitute(fed, {state: FALSE})
        return behaviour.logic.all_of([state, fed, without ^ 1])

    def let_go(self, behaviour: Behaving) -> int:
        """When its coil would be dead though it is in, its supply there and no overload tripped."""
        panel, fed = behaviour.panel, self._fed(behaviour)
        state = behaviour.in_positions(self.mechanism.name, IN)
        wanted = [behaviour.logic.substitute(fed, {state: TRUE}) ^ 1]
        for name in behaviour.prover.depends_on(fed):
            mechanism = panel.mechanisms[name]
            if mechanism.drive is Drive.SOURCE:
                wanted.append(behaviour.in_positions(name, IN))
            elif panel.devices[mechanism.device].kind == "overload":
                wanted.append(behaviour.in_positions(name, frozenset((0,))))
        return behaviour.logic.all_of(wanted)

    def _fed(self, behaviour: Behaving) -> int:
        return behaviour.energised(behaviour.panel.parts[self.mechanism.coils[0]])


def _path(behaviour: Behaving, mechanism: Mechanism, holds: Reached) -> tuple[Passed, ...]:
    coil, values = behaviour.panel.parts[mechanism.coils[0]], assignment(behaviour, holds)
    for feed in behaviour.feeds(coil):
        if behaviour.logic.evaluate(feed.condition, values):
            ends = (poles_at(behaviour, feed.rail_a), poles_at(behaviour, feed.rail_b))
            path = feed_path(behaviour, Circuit(coil, *ends, feed.volts), values)
            if path is not None:
                return path
    return ()


def own_contact(held: HeldRelay) -> Part | None:
    """The contact on the path by which it holds itself."""
    return next(
        (
            passed.by
            for passed in held.path
            if isinstance(passed.by, Part) and passed.by.mechanism == held.mechanism.name
        ),
        None,
    )
