"""A load that is off and would run, through others, if one common wire came off.

The rule speaks of a wire by which several loads come home and which nothing doubles, and
of a settled state in which one of them is off and others are on: solved with the wire open,
the one that is off gets a voltage it works at, back through those that are on and home by
a lamp or coil beside it that has another way home.  Pulling or losing one wire then starts
something.

Where the ratings would allow it but no state is known, it is *not decided*.

It keeps silent where it would get less than it works at, where a load does not say what it
draws, on inputs, on polarised loads, on loads that no other stands directly beside, and on a
neutral that two legs share (`unlike loads on a shared neutral`).  A common that a contact or plug
opens is `load fed through another load`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.lost_commons import LostCommon, LostCommons
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
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed, span_of


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.QUERY,
    summary="one common wire that comes off would run a load that is switched off",
    why="a loose screw starts what nobody started; pulling the wire to be safe does it too",
    source="sneak circuits: result of each single lost common; NASA PD-AP-1314, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(LostCommons,),
)
def find(view: View) -> Iterator[Outcome]:
    for found in view[LostCommons].found:
        yield _finding(view.panel, found)
    for wire, load in view[LostCommons].undecided:
        name = view.panel.wire_name(wire)
        reason = (
            f"whether `{load.device}` runs if {name} comes off: by its ratings it could, and no"
            " state is known in which it does"
        )
        yield NotDecided(reason, Place(wire.span), (load.device,))


def _finding(panel: Panel, found: LostCommon) -> Finding:
    load, wire = found.load, panel.wire_name(found.wire)
    made = load.load.volts if load.load is not None and load.load.volts else 0.0
    through = listed(list(dict.fromkeys(part.device for part in found.through)))
    feed = "feeds" if len({part.device for part in found.through}) == 1 else "feed"
    return Finding(
        f"if {wire} comes off, `{load.device}` runs while it is off: {through} then {feed} it"
        f" {figure(found.volts, 'V')} and `{found.beside.device}` brings it home",
        Place(found.wire.span, "this common alone brings them home"),
        devices=tuple(dict.fromkeys((load.device, *(p.device for p in found.through)))),
        wires=(panel.called(found.wire),),
        related=tuple(
            Place(span_of(panel, part), label)
            for part, label in (
                (load, "would run"),
                (found.beside, "leads home beside it"),
                *((part, "feeds it then") for part in found.through),
            )
        ),
        state=dict(found.witness.state),
        steps=found.witness.steps,
        working=(
            Working(f"{load.label} is made for", made, "V", "as described"),
            Working(
                f"{load.label} gets",
                round(found.volts, 2),
                "V",
                "the state solved with the wire open, loads at the ohms of their ratings",
            ),
        ),
        help="bring the load and what stands beside it home by one wire, or double the common",
    )
