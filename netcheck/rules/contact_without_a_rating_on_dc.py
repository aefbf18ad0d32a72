"""A contact rated for AC only that switches up to 30 V DC: what it may switch there is not said.

At so few volts no arc holds, and makers mostly rate a contact for the same current on 30 V
DC as on 250 V AC; but it is their word that counts.  Each kind of contact of a device is
told once.

It keeps silent above 30 V DC and on electronic contacts, where the wrong kind of rating is
a fault (`contact for ac on dc`), and on contacts that say no kind of voltage.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.contact_volts import ContactVolts
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.states.stress import Excess, on_low_dc
from netcheck.telling import stress_finding


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.QUERY,
    summary="a contact rated for AC only switches low DC, and its rating there is not said",
    why="at 24 V it will most likely do, but with a large coil even there for fewer amperes",
    source="makers rate one contact alike for 250 V AC and 30 V DC, inductive loads for less",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(ContactVolts,),
)
def find(view: View) -> Iterator[Outcome]:
    for stress in view[ContactVolts].found:
        if stress.excess is Excess.KIND and on_low_dc(view.panel, stress):
            yield stress_finding(view.panel, stress, "look up its rating on DC and say it")
