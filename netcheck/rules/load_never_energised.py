"""A load that no reachable state energises, and where its path ends.

Nominal: in no settled state do paths without another load, over circuit conductors
only, lead from both its ends to poles of the voltage it is made for.  A coil is judged
in passing states too, a three-phase load by all its windings, a resistor by any path
that carries current.  The finding says the last terminal reached from the source's
side, the first from home, and what stands between.  A switch is an intended open and
no fault; contacts that can never be closed at once are, and where they keep a load dead
they are told here, not as `contacts never closed together`.

One cause is one finding: a lost common names all it cuts off, and what only waits for
a relay or supply that is dead is named with it.  Where all that is cut off is coils,
`relay never pulls in` speaks.  It keeps silent on loads that are fed
but only at another voltage, through other loads (`loads in series`) or by ground (`return
by grounding conductor`, `return by another source`), on spares, on inputs with nothing
wired to them (`spare not declared`) and on devices in no circuit.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.dead_circuits import DeadCircuits, Speaker
from netcheck.facts.load_feeds import LoadFeed, Verdict
from netcheck.facts.open_paths import OpenPath, names_of
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import listed, open_path_finding, open_path_undecided


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DEFECT,
    summary="no reachable state gives a load its working voltage",
    why="it will not work, and a load without a way home is live at both its terminals",
    source="a load works only in a closed path from its source and home: circuit theory",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(DeadCircuits,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, circuits = view.panel, view[DeadCircuits]
    for open_path in circuits.of(Speaker.LOAD):
        yield open_path_finding(panel, open_path, _said(open_path), "never energised")
    for question in circuits.left_open(Speaker.LOAD):
        yield open_path_undecided(panel, question, "can ever be energised")


def _said(open_path: OpenPath) -> str:
    names, others = names_of(open_path.loads), names_of(open_path.waiting)
    verb = "is" if len(names) == 1 else "are"
    with_it = f", and with {'it' if len(names) == 1 else 'them'} {listed(others)}" if others else ""
    return f"{listed(names)} {verb} {_how_dead(open_path.loads[0])}{with_it}"


def _how_dead(load: LoadFeed) -> str:
    if load.verdict is Verdict.MOMENTARY:
        return "energised only while relays are on their way"
    return "never energised on all its lines" if len(load.parts) > 1 else "never energised"
