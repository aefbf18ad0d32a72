"""A load to which the sensors and outputs in its path leave too little voltage.

It speaks where two-wire sensors, transistor outputs or solid-state relays that say what they
`drop` stand in series with a load, and what is left of the nominal voltage on its best way
is less than it needs: what it says it is `on above` or `pulls in at`, else the foot of its
band.

It keeps silent on contacts that say no drop, and on what wires lose (`voltage drop too
large`, `voltage too low to pull in`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.electronic_drops import ElectronicDrops, Starved
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed, span_of


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DEFECT,
    summary="electronic contacts in series keep so much that their load gets too little",
    why="each looks on by its lamp, and the relay or input behind them never comes on",
    source="two-wire sensors keep up to 5 V to 7 V each: vendors' notes, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(ElectronicDrops,),
)
def find(view: View) -> Iterator[Outcome]:
    for starved in view[ElectronicDrops].starved:
        yield _finding(view.panel, starved)


def _finding(panel: Panel, starved: Starved) -> Finding:
    left, needs = figures_apart("V", starved.fed_v - starved.kept_v, starved.needed_v)
    labels = [part.label for part in starved.contacts]
    load = panel.devices[starved.load.device]
    several = sum(panel.parts[index].load is not None for index in load.parts) > 1
    name = starved.load.label if several else load.name
    return Finding(
        f"{listed(labels)} keep{'s' if len(labels) == 1 else ''} {figure(starved.kept_v, 'V')} of "
        f"{figure(starved.fed_v, 'V')}: `{name}` gets {left} and needs {needs}",
        Place(span_of(panel, starved.contacts[-1]), "keeps what the load needs"),
        devices=(*dict.fromkeys(part.device for part in starved.contacts), load.name),
        condition=name,
        related=(Place(load.span, f"needs {needs}"),),
        working=(
            Working("nominal", starved.fed_v, "V", "as described"),
            Working("kept by the contacts", starved.kept_v, "V", "as described"),
            Working("needed", starved.needed_v, "V", "as described or the foot of its band"),
        ),
        help="use three-wire sensors, or relays of their own, or contacts in place of sensors",
    )
