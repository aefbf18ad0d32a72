"""DC sources of one nominal voltage side by side, with nothing between that keeps them apart.

Both poles meet, in a state of ordinary operation, through what counts as wire, and their
volts cancel: no short, but nothing shares the load between them.

It keeps silent where a diode stands in one of the leads or a supply is `decoupled`, on
sources that all say `may be paralleled` (a battery beside such a one, which charges it, need
not), on AC (sources that are not synchronised are a missing load) and on what only a race
joins.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.paralleled import Paralleled, SideBySide
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.panel import Panel
from netcheck.network.traces import name_of, told
from netcheck.rule import rule
from netcheck.telling import in_words, span_of, when, wires_on


@rule(
    family=Family.SUPPLY,
    severity=Severity.QUERY,
    summary="two DC sources feed one circuit side by side with no diode between them",
    why="the one of higher voltage carries the load alone; if one fails it takes the other down",
    source="supplies are decoupled or made to share their load: common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Paralleled,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for pair in view[Paralleled].found:
        yield _finding(panel, pair)
    for devices, reason in view[Paralleled].undecided:
        place = Place(panel.devices[devices[0]].span)
        names = in_words(f"`{name}`" for name in devices)
        yield NotDecided(f"whether {names} can stand side by side: {reason}", place, devices)


def _finding(panel: Panel, pair: SideBySide) -> Finding:
    state = dict(pair.witness.state)
    devices = (*pair.one, *pair.other)
    cause = name_of(panel, pair.cause)
    return Finding(
        f"{_side(pair.one)} and {_side(pair.other)} stand side by side"
        f" with nothing between to keep them apart{when(panel, pair.path, state)}",
        Place(span_of(panel, pair.cause), f"{cause} joins them"),
        devices=devices,
        wires=wires_on(panel, tuple(passed for passed in pair.path if passed.by is pair.cause)),
        condition=f"through {cause}",
        related=tuple(Place(panel.devices[name].span, "one of the sources") for name in devices),
        state=state,
        steps=pair.witness.steps,
        path=told(panel, list(pair.path), pair.cause),
        help="put a diode into each plus lead, or say `decoupled` of a supply that has one, or "
        "`may be paralleled` of two that are made to share a load",
    )


def _side(devices: tuple[str, ...]) -> str:
    names = [f"`{name}`" for name in devices]
    return names[0] if len(names) == 1 else f"the string of {in_words(names)}"
