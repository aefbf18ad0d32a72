"""A breaker, fuse or disconnect for AC in a DC circuit, or one for DC in an AC circuit.

The rule speaks where the text gives a rated voltage with a kind, `240 V AC`, and the line
that feeds a pole is of the other kind, all contacts counted as closed.

It keeps silent where no voltage is said (up to 60 V DC any such device serves, above it
`contact beyond its rated voltage` asks for the rating), and on too many volts, which that
rule finds.  Which way round a polarised one is fed is asked by `polarised breaker fed
backwards`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.pole_volts import PoleVolts
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.states.stress import Excess
from netcheck.telling import stress_finding


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DANGER,
    summary="a breaker, fuse or disconnect is rated for the other kind of current",
    why="it does not put out the arc of a fault, and burns instead of clearing it",
    source="breakers and fuses are rated for AC and DC apart (UL 489, UL 248)",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(PoleVolts,),
)
def find(view: View) -> Iterator[Outcome]:
    for stress in view[PoleVolts].found:
        if stress.excess is Excess.KIND:
            yield stress_finding(view.panel, stress, "fit one rated for the kind of current there")
