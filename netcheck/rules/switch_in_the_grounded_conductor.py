"""A switch opens the grounded conductor of a load of the mains and leaves the load live.

Asked of lamps, heaters, outlets and loads of no other kind, at 50 V AC and more to ground.  It
speaks where, in some settled state, a switch or relay contact has opened the only way home
while the other end of the load is still joined to the ungrounded pole.

It keeps silent where both conductors are opened at once, where either end may be the one
that leads home, and on overload contacts in the return, which the trade accepts.  A fuse or
breaker pole in the grounded conductor, and coils, valves and motors that a ground fault would
start, have rules of their own.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.switched_returns import SwitchedReturn, SwitchedReturns
from netcheck.facts.wire_groups import by_cause
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.rule import rule
from netcheck.states.answers import Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DEFECT,
    summary="a switch opens the grounded conductor and leaves its load live",
    why="the lamp is dark, the switch is off, and whoever changes the bulb touches a live socket",
    source="NEC 404.2(B), second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(SwitchedReturns,),
)
def find(view: View) -> Iterator[Outcome]:
    for group in by_cause(view[SwitchedReturns].found, lambda one: one.devices):
        first = group[0]
        place = Place(view.panel.devices[first.devices[0]].span, "in the grounded conductor")
        if isinstance(first.answer, Undecided):
            reason = f"whether `{first.load.name}` stays live: {first.answer.reason}"
            yield NotDecided(reason, place, (first.devices[0], first.load.device))
        else:
            yield _finding(view, group, place)


def _finding(view: View, group: list[SwitchedReturn], place: Place) -> Finding:
    panel, first = view.panel, group[0]
    assert not isinstance(first.answer, Undecided)
    witness = tell(panel, first.answer)
    others = f" and {len(group) - 1} more" if len(group) > 1 else ""
    opens = "opens" if len(first.devices) == 1 else "open"
    return Finding(
        f"{listed(list(first.devices))} {opens} the grounded conductor of "
        f"`{first.load.name}`{others} and can leave it live",
        place,
        devices=tuple(dict.fromkeys([*first.devices, *(one.load.device for one in group)])),
        condition=first.load.name,
        related=tuple(Place(panel.devices[one.load.device].span, "off and live") for one in group),
        state=dict(witness.state),
        steps=witness.steps,
        help="put the switch in the ungrounded conductor, or let it open both at once",
    )
