"""A load that the leakage of an electronic contact keeps on.

It speaks where sensors, outputs or solid-state relays that say what they leak stand in a
load's path, and that leakage leaves the load more than it says it `drops out at` or is `off
below`, in volts and in amperes.  Contacts side by side add; a bleeder resistor or another
load beside it takes its share.  Where the load does not say, and gets more than the
standards let it go at (a relay 5 % of its voltage, a 24 V input 5 V), it is not checked.

It keeps silent on contacts that say no leakage, and on motors, heaters and lamps that say
nothing, which a few milliamperes do not run.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.leaking_contacts import HeldOn, LeakingContacts
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed, span_of

HELD = frozenset(("coil", "input", "valve", "solenoid", "brake"))


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="the leakage of a contact that is off is enough to keep its load on",
    why="it does not go off: a relay stays in, an input goes on reading what is over",
    source="leakage and off levels of two-wire sensors and inputs: makers' manuals, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(LeakingContacts,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for held in view[LeakingContacts].held:
        name = _name(panel, held)
        if held.said:
            yield _finding(panel, held, name)
        elif held.load.load is not None and held.load.load.works in HELD:
            yield NotChecked(
                f"whether `{name}` lets go at the {figure(held.leakage_a, 'A')} that "
                f"{listed([part.label for part in held.contacts])} leaves it: it does not say "
                "where it drops out",
                Place(panel.devices[held.load.device].span),
                (held.load.device,),
            )


def _name(panel: Panel, held: HeldOn) -> str:
    loads = [panel.parts[i] for i in panel.devices[held.load.device].parts if panel.parts[i].load]
    return held.load.device if len(loads) == 1 else held.load.label


def _finding(panel: Panel, held: HeldOn, name: str) -> Finding:
    contacts = listed([part.label for part in held.contacts])
    verb = "leaks" if len(held.contacts) == 1 else "leak"
    if held.lets_go_v is not None:
        left, lets_go = figure(held.left_v, "V"), figure(held.lets_go_v, "V")
    else:
        left, lets_go = figure(held.left_a, "A"), figure(held.lets_go_a or 0.0, "A")
    return Finding(
        f"{contacts} {verb} {figure(held.leakage_a, 'A')} while off: `{name}` keeps {left} and "
        f"lets go at {lets_go}",
        Place(span_of(panel, held.contacts[0]), "leaks while off"),
        devices=(*dict.fromkeys(part.device for part in held.contacts), held.load.device),
        condition=name,
        related=(Place(panel.devices[held.load.device].span, f"lets go at {lets_go}"),),
        working=tuple(_working(held)),
        help="put a bleeder resistor across the load, or use a contact that leaks less",
    )


def _working(held: HeldOn) -> Iterator[Working]:
    yield Working("leakage, all contacts side by side", held.leakage_a, "A", "as described")
    yield Working("left across the load", held.left_v, "V", "loads at the ohms of their ratings")
    yield Working("left in the load", held.left_a, "A", "loads at the ohms of their ratings")
    if held.lets_go_v is not None:
        yield Working("surely off at", held.lets_go_v, "V", "as described")
    if held.lets_go_a is not None:
        yield Working("surely off at", held.lets_go_a, "A", "as described")
