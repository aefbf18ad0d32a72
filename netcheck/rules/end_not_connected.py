"""An end of a contact, pole or other two-ended part that leads nowhere.

One end is wired and the other is not: a circuit line stops in the middle, and what was
drawn can never carry current.  It keeps silent on spares, on strips, bars and
terminals, on the other throw of a change-over contact, on unused outputs of one common
(`spare not declared`), and where the end is where a load's path breaks: that is told
once, as `load never energised`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.open_ends import OpenEnd, OpenEnds
from netcheck.facts.open_paths import OpenPaths
from netcheck.finding import Family, Finding, Outcome, PathStep, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import span_of
from netcheck.text import Span


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DEFECT,
    summary="one end of a contact, pole or other two-ended part is wired and the other is not",
    why="nothing flows through it in any state: a wire was forgotten or landed elsewhere",
    source="current flows only in a closed path: circuit theory",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpenEnds, OpenPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    told = {end for path in view[OpenPaths].found for end in (path.broken.last, path.broken.first)}
    for end in view[OpenEnds].ends:
        if end.bare in told:
            continue
        wires = panel.wires_at.get(end.wired, ())
        yield Finding(
            f"`{end.bare}` leads nowhere: `{end.part.label}` is wired at one end only",
            Place(_span(panel, end), "the path ends here"),
            devices=(end.part.device,),
            condition=end.bare,
            path=_path(panel, end.wired, end.part.label, end.bare),
            help=f"wire `{end.bare}`, or mark it spare"
            if wires
            else f"wire `{end.part.device}`, or mark it spare",
        )


def _span(panel: Panel, end: OpenEnd) -> Span:
    """The part where a circuit line passes it, else the wire that comes to it."""
    wires = panel.wires_at.get(end.wired)
    if end.part.index not in panel.chain_spans and wires:
        return wires[-1].span
    return span_of(panel, end.part)


def _path(panel: Panel, wired: str, label: str, bare: str) -> tuple[PathStep, ...]:
    steps = [PathStep(wired, label), PathStep(bare, "no wire", True)]
    wires = panel.wires_at.get(wired, ())
    if wires:
        wire = wires[0]
        steps.insert(0, PathStep(wire.a if wire.b == wired else wire.b, panel.wire_name(wire)))
    return tuple(steps)
