"""If a neutral that two legs share came open, a load would see more than it is made for.

The loads of both legs would then stand in series, and the lighter one take the greater
share.  It speaks of conductors that carry the neutral of some of a source's loads, where
loads of different legs can be on together and one would see more than its band allows.

It keeps silent on the neutral of the whole source, on neutrals that lie in a ring, and on
loads that are alike enough to share fairly.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.shared_neutrals import LostNeutral, SharedNeutrals
from netcheck.facts.wire_groups import by_cause, called
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.QUERY,
    summary="one open neutral would put more voltage on a load than it is made for",
    why="a loose neutral is a common break, nothing trips, and the lighter load burns",
    source="Ohm's law over two loads in series; shared neutrals: NEC 210.4, read second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(SharedNeutrals,),
)
def find(view: View) -> Iterator[Outcome]:
    for group in by_cause(view[SharedNeutrals].lost, lambda one: one.loads):
        worst = max(group, key=lambda one: (isinstance(one.answer, Reached), one.volts))
        if isinstance(worst.answer, Undecided):
            name = view.panel.wire_name(worst.wire)
            reason = f"what an open `{name}` would do: {worst.answer.reason}"
            yield NotDecided(reason, Place(worst.wire.span))
        else:
            yield _finding(view, worst, worst.answer)


def _finding(view: View, worst: LostNeutral, answer: Reached) -> Finding:
    panel = view.panel
    witness = tell(panel, answer)
    partners = ", ".join(f"`{load.name}`" for load in worst.partners)
    return Finding(
        f"if `{panel.wire_name(worst.wire)}` came open, `{worst.load.name}` would see "
        f"{figure(worst.volts, 'V')} in series with {partners}; it is made for up to "
        f"{figure(worst.limit_v, 'V')}",
        Place(worst.wire.span, "neutral of both legs"),
        related=(Place(panel.devices[worst.load.device].span, "would see too much"),),
        devices=(worst.load.device, *dict.fromkeys(load.device for load in worst.partners)),
        wires=called(panel, [worst.wire]),
        condition=worst.load.name,
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(worst)),
        help="give each leg a neutral of its own, or join the neutrals in a splice that "
        "no device's removal opens",
    )


def _working(worst: LostNeutral) -> Iterator[Working]:
    yield worst.load.working
    yield from (load.working for load in worst.partners)
    yield Working(
        f"across {worst.load.name}", worst.volts, "V", "solved in this state, the wire open"
    )
