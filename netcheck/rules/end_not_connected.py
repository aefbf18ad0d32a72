"""An end of a contact, pole or other two-ended part that leads nowhere.

One end is wired and the other is not: a circuit line stops in the middle, and what was
drawn can never carry current.  A source of two poles counts as a part, and a terminal of a
strip at which a single wire ends.  Two such ends in one circuit are told together, for one
wire may be missing between them.

It keeps silent on spares and what is brought out from them, on grounding conductors, on
bars and single terminals, on the other throw of a change-over contact, on unused outputs of
one common (`spare not declared`), and where a load's path breaks there or comes home by
ground for want of it: that is told once, as `load never energised` or by the rules on returns.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.improper_returns import ImproperReturns
from netcheck.facts.open_ends import OpenEnd, OpenEnds
from netcheck.facts.open_paths import OpenPaths
from netcheck.finding import Family, Finding, Outcome, PathStep, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import listed, span_of
from netcheck.text import Span


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DEFECT,
    summary="one end of a contact, pole or other two-ended part is wired and the other is not",
    why="nothing flows through it in any state: a wire was forgotten or landed elsewhere",
    source="current flows only in a closed path: circuit theory",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpenEnds, OpenPaths, ImproperReturns),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    told = {end for path in view[OpenPaths].found for end in (path.broken.last, path.broken.first)}
    by_ground = {found.sent_by for found in view[ImproperReturns].found}
    every = (*view[OpenEnds].ends, *view[OpenEnds].at_strips)
    ends = [end for end in every if end.bare not in told and end.device not in by_ground]
    for together in _in_pairs(panel, ends):
        end = together[-1]
        names = [one.bare for one in together]
        yield Finding(
            f"{listed(names)} {_why(panel, together)}",
            Place(_span(panel, end), "the path ends here"),
            devices=tuple(dict.fromkeys(one.device for one in together)),
            condition=" ".join(names),
            related=tuple(Place(_span(panel, one), "and here") for one in together[:-1]),
            path=_path(panel, end),
            help=f"wire {listed(names)}, or mark what is spare",
        )


def _in_pairs(panel: Panel, ends: list[OpenEnd]) -> Iterator[list[OpenEnd]]:
    """The ends one by one, but two of one circuit together."""
    by_circuit: dict[str, list[OpenEnd]] = {}
    for end in ends:
        wires = panel.wires_at.get(end.wired, ())
        by_circuit.setdefault(wires[0].circuit if wires else "", []).append(end)
    for circuit, found in by_circuit.items():
        if circuit and len(found) == 2:
            yield found
        else:
            yield from ([end] for end in found)


def _why(panel: Panel, ends: list[OpenEnd]) -> str:
    if len(ends) > 1:
        return "lead nowhere: each is one end of what is wired at its other end only"
    end = ends[0]
    if end.part is not None:
        return f"leads nowhere: `{end.part.label}` is wired at one end only"
    if _only_wire(panel, end) is not None:
        return f"leads nowhere: only the wire from `{end.wired}` is landed there"
    return f"leads nowhere: `{end.device}` is wired at `{end.wired}` only"


def _only_wire(panel: Panel, end: OpenEnd) -> Wire | None:
    """The one wire that ends at a terminal of a strip."""
    return next(iter(panel.wires_at.get(end.bare, ())), None)


def _span(panel: Panel, end: OpenEnd) -> Span:
    """The part where a circuit line passes it, else the wire that comes to it."""
    only, wires = _only_wire(panel, end), panel.wires_at.get(end.wired)
    if only is not None:
        return only.span
    if wires and (end.part is None or end.part.index not in panel.chain_spans):
        return wires[-1].span
    return panel.devices[end.device].span if end.part is None else span_of(panel, end.part)


def _path(panel: Panel, end: OpenEnd) -> tuple[PathStep, ...]:
    only = _only_wire(panel, end)
    if only is not None:
        return PathStep(end.wired, panel.wire_name(only)), PathStep(end.bare, "no wire", True)
    through = end.part.label if end.part is not None else end.device
    steps = [PathStep(end.wired, through), PathStep(end.bare, "no wire", True)]
    for wire in panel.wires_at.get(end.wired, ())[:1]:
        before = wire.a if wire.b == end.wired else wire.b
        steps.insert(0, PathStep(before, panel.wire_name(wire)))
    return tuple(steps)
