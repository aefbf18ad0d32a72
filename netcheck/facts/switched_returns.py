"""Loads of the mains that a switch in their grounded conductor turns off and leaves live.

Both poles opened at once leave nothing live, and what may come home by either end is turned
round, not switched off.  Protective devices in the grounded conductor are told by themselves,
and so are coils, valves and motors, which a ground fault would start.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.facts.defeated_stops import grounded_rails
from netcheck.facts.ground_fed import in_the_return
from netcheck.facts.load_feeds import LoadFeed, LoadFeeds, Verdict
from netcheck.model.devices import Part
from netcheck.record import record
from netcheck.states.answers import Never, Reached, Undecided
from netcheck.states.volts import kind_of, magnitude

ASKED = frozenset(("lamp", "heater", "outlet", "load"))
PROTECTIVE = frozenset(("breaker", "fuse"))
LIVE_V = 50.0
"""From here on live parts are guarded (NEC 110.27)."""


@record
class SwitchedReturn:
    """One load, the devices that open its return, and the state in which it is off and live."""

    load: LoadFeed
    devices: tuple[str, ...]
    answer: Reached | Undecided


@record
class SwitchedReturns:
    found: tuple[SwitchedReturn, ...]


@concludes(Behaviour, CertainBehaviour, LoadFeeds)
def find_switched_returns(view: View) -> SwitchedReturns:
    return SwitchedReturns(tuple(_found(view)))


def _found(view: View) -> Iterator[SwitchedReturn]:
    wide, certain = view[Behaviour], view[CertainBehaviour].behaviour
    grounded = grounded_rails(wide)
    for load in view[LoadFeeds].loads:
        part = load.parts[0]
        if load.verdict is not Verdict.ENERGISED or part.load is None or len(load.parts) > 1:
            continue
        if part.load.works not in ASKED or not _on_the_mains(wide, part, grounded):
            continue
        names = in_the_return(wide, part, grounded)
        devices = dict.fromkeys(wide.panel.mechanisms[name].device for name in names)
        switches = [one for one in devices if wide.panel.devices[one].kind not in PROTECTIVE]
        if not switches:
            continue
        sure, maybe = (
            one.prover.can_happen(_off_and_live(one, part, grounded), at="settled")
            for one in (certain, wide)
        )
        answer = decided(sure, maybe, wide.uncertain_coils)
        if not isinstance(answer, Never):
            yield SwitchedReturn(load, tuple(switches), answer)


def _on_the_mains(behaviour: Behaviour, part: Part, grounded: frozenset[int]) -> bool:
    """Whether one pole that feeds it is grounded, and the other has a dangerous AC voltage."""
    return any(
        len({feed.rail_a, feed.rail_b} & grounded) == 1
        and kind_of(feed.volts) == "AC"
        and magnitude(feed.volts) >= LIVE_V
        for feed in behaviour.feeds(part)
    )


def _off_and_live(behaviour: Behaviour, part: Part, grounded: frozenset[int]) -> int:
    """One end is joined to a pole that is not grounded, the other to no pole at all."""
    logic, circuit = behaviour.logic, behaviour.circuit
    ends = (behaviour.node(part.a), behaviour.node(part.b))
    home = [any(rail in grounded for rail in circuit.rails_at(end)) for end in ends]
    far, near = ends if home[1] else ends[::-1]
    live = logic.any_of(
        circuit.to_rail(far, rail) for rail in circuit.rails_at(far) if rail not in grounded
    )
    lost = logic.any_of(circuit.to_rail(near, rail) for rail in circuit.rails_at(near)) ^ 1
    return logic.both(live, lost)
