"""A relay that holds itself in through its own contact, and that nothing drops out again.

Exactly: a reachable state feeds its coil through its own contacts alone, and in no reachable
state, passing ones included, its sources present and no overload tripped, would its coil be
dead while it is in.  Only losing the supply, or a trip, lets it go.

It keeps silent on relays that are in whenever their supply is there (they watch it), on
those marked `always on`, on latching relays, of which a coil that is never energised is
`relay never pulls in`, and on relays that hold one another and not themselves.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.held_relays import HeldRelay, HeldRelays, own_contact
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.telling import span_of


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="a relay that holds itself in and that nothing lets go",
    why="what it runs or reports goes on until the supply is lost",
    source="what seals itself in has a stop or reset in series: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(HeldRelays,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for held in view[HeldRelays].found:
        if "always on" not in panel.devices[held.mechanism.device].marks:
            yield _finding(panel, held)
    for mechanism, reason in view[HeldRelays].undecided:
        yield NotDecided(
            f"whether anything drops `{mechanism.device}` out: {reason}",
            Place(panel.devices[mechanism.device].span),
            (mechanism.device,),
        )


def _finding(panel: Panel, held: HeldRelay) -> Finding:
    name, contact = held.mechanism.device, own_contact(held)
    through = f"its own `{contact.label}`" if contact is not None else "its own contact"
    span = panel.devices[name].span if contact is None else span_of(panel, contact)
    return Finding(
        f"`{name}`, once in, is held in through {through}, and nothing but losing its supply "
        "drops it out",
        Place(span, "holds it in for good"),
        devices=(name,),
        condition=f"{held.mechanism.name} held in",
        related=(Place(panel.devices[name].span, "never drops out"),),
        state=dict(held.witness.state),
        steps=held.witness.steps,
        path=told(panel, list(held.path), contact),
        help="put a stop or reset in series with its own contact; "
        "mark it `always on` if it is meant to stay in",
    )
