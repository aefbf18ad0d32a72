"""A contact rated for AC only that switches DC.

An alternating arc goes out by itself at the next zero; a direct one has to be drawn out, and
a contact for 10 A at 120 V AC may break half an ampere at 110 V DC.  The rule speaks where
the text rates a contact for AC, and for AC alone, and in a reachable state DC stands across
it while it is open, other loads counted as wire.

It keeps silent on mechanical contacts with 30 V DC and less, where no arc holds (`contact
without a rating on dc`), on contacts that say no kind, on those for DC that switch AC up to their
volts, on too many volts (`contact beyond its rated voltage`), and on breakers, fuses and
disconnects (`protection for the other kind of current`).
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
    severity=Severity.DEFECT,
    summary="a contact rated for AC only switches DC",
    why="the arc of direct current does not go out by itself: the contact burns or welds",
    source="makers rate one contact for AC and DC apart, DC at a tenth of the amperes",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(ContactVolts,),
)
def find(view: View) -> Iterator[Outcome]:
    for stress in view[ContactVolts].found:
        if stress.excess is Excess.KIND and not on_low_dc(view.panel, stress):
            yield stress_finding(
                view.panel, stress, "look up its rating on DC and say it, or fit one made for DC"
            )
