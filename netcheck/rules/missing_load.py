"""A closed loop of wire, contacts and sources that holds no load.

In a state that ordinary operation reaches, current leaves one pole of a source and
comes home through nothing but what counts as wire, and the nominal voltages of the sources
it passes do not add to zero.  Grounding conductors and bonds count as wire; a diode counts
forwards, on AC if all of the loop conduct in one half of the cycle, as no two arms of a bridge
do; a source that is absent, and a supply or winding that nothing feeds, is no way through.
States passed through while relays settle count.

It keeps silent on loops that only a race closes (`missing load in a race`), on DC sources
of one nominal voltage side by side (`paralleled sources`), on batteries in series and a
common 0 V, which close no loop, and on a first ground fault of a floating system.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.shorts import OpenQuestion, Shorts
from netcheck.finding import Family, NotDecided, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.telling import short_finding, span_of


@rule(
    family=Family.MISSING_LOAD,
    severity=Severity.DANGER,
    summary="a closed path joins the poles of a source without passing through a load",
    why="only the wire limits the current: protection opens, contacts weld, or the wire burns",
    source="Kirchhoff's voltage law: what sources drive round a loop, only a load can take up",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Shorts,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for short in view[Shorts].found:
        if not short.race:
            yield short_finding(panel, short, "put the load in series, or remove what bridges it")
    for question in view[Shorts].undecided:
        yield _not_decided(panel, question)


def _not_decided(panel: Panel, question: OpenQuestion) -> NotDecided:
    path = told(panel, list(question.path), question.cause)
    if question.cause is not None:
        place = Place(span_of(panel, question.cause), "here the path would close")
    else:
        device = panel.devices.get(question.start.rpartition(":")[0])
        place = Place((device or next(iter(panel.devices.values()))).span)
    if not question.start:
        return NotDecided(question.reason, place, question.devices, path)
    asked = f"whether `{question.start}` can reach `{question.end}` with no load in the path"
    return NotDecided(f"{asked}: {question.reason}", place, question.devices, path)
