"""A closed loop of wire, contacts and sources that holds no load.

In a state that ordinary operation reaches, current leaves one pole of a source and
comes home through nothing but what counts as wire, and the voltages of the sources it
passes do not add to zero.  States passed through while relays settle count.

It keeps silent on loops that only a race closes (`missing load in a race`), on sources
side by side whose voltages cancel, and on a first ground fault of a floating system.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.shorts import Shorts
from netcheck.finding import Family, NotDecided, Outcome, Place, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import short_finding


@rule(
    family=Family.MISSING_LOAD,
    severity=Severity.DANGER,
    summary="a closed path joins the poles of a source without passing through a load",
    why="only the wire limits the current: protection opens, contacts weld, or the wire burns",
    source="one load's worth of impedance between the poles of a source: circuit theory",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Shorts,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for short in view[Shorts].found:
        if not short.race:
            yield short_finding(panel, short, "put the load in series, or remove what bridges it")
    for question in view[Shorts].undecided:
        device = panel.devices.get(question.start.partition(":")[0])
        span = device.span if device is not None else next(iter(panel.devices.values())).span
        yield NotDecided(
            f"whether {question.start} can meet {question.end} with no load: {question.reason}"
            if question.start
            else question.reason,
            Place(span),
            question.devices,
        )
