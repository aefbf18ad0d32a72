"""A contact or protective device that meets more volts than the text rates it for.

A contact, of a button, relay, contactor, output or sensor, meets what stands across it
while it is open, in every reachable state.  A pole of a breaker, fuse or disconnect meets
what stands between the line it is fed from and the device's other poles, the places its
loads go home to, and ground.  Volts are nominal; a tenth above the rated ones is let pass,
for one nominal voltage goes by several numbers.

It is a danger, for an arc that a contact is not made for does not go out, and what should
clear a fault then burns.

A contact that says no volts is passed over: contacts of panel devices are made for the
circuits they are sold for, and a drawing seldom says it.  A breaker, fuse or disconnect that
says none is *not checked* above 250 V AC and 60 V DC; up to there any of them serves.
Slash ratings are another rule's (`breaker rating does not suit the system`), terminals have
no rating in the language.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.contact_volts import ContactVolts
from netcheck.facts.pole_volts import PoleVolts
from netcheck.finding import (
    Family,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.rule import rule
from netcheck.states.stress import Excess
from netcheck.telling import span_of, stress_finding, volts_in_words


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DANGER,
    summary="a contact or protective device meets more volts than it is rated for",
    why="the arc does not go out, or the insulation flashes over",
    source="contacts and breakers are rated for a voltage each (UL 508, UL 489)",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(ContactVolts, PoleVolts),
)
def find(view: View) -> Iterator[Outcome]:
    panel, contacts, poles = view.panel, view[ContactVolts], view[PoleVolts]
    for stress in (*contacts.found, *poles.found):
        if stress.excess is Excess.VOLTS:
            yield stress_finding(panel, stress, "fit one rated for what is there")
    for part, reason in contacts.undecided:
        place = Place(span_of(panel, part))
        yield NotDecided(f"what `{part.label}` meets: {reason}", place, (part.device,))
    for part, volts in poles.unsaid:
        place = Place(panel.devices[part.device].span)
        said = f"`{part.device}` says no rated voltage and meets {volts_in_words(volts)}"
        yield NotChecked(said, place, (part.device,))
