"""A load that no reachable state energises, and where its path ends.

Nominal: in no settled state do paths without another load, over circuit conductors
only, lead from both its ends to poles of the voltage it is made for.  A coil is judged
in passing states too, a three-phase load by all its windings, a resistor by any path
that carries current.  The finding says the last terminal reached from the source's
side, the first from home, and what stands between.  A switch is an intended open and
no fault; contacts that can never be closed at once are, and where they keep a load dead
they are told here, not as `contacts never closed together`.

One cause is one finding: a lost common names all it cuts off, and what only waits for
a relay or supply that is dead is named with it.  It keeps silent on loads that are fed
but only at another voltage, through other loads (`loads in series`) or by ground (`return
by grounding conductor`, `return by another source`), on spares, on inputs with nothing
wired to them (`spare not declared`) and on devices in no circuit.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.breaks import Break, Kind
from netcheck.facts.load_feeds import LoadFeed, Verdict
from netcheck.facts.open_paths import OpenPath, OpenPaths, devices_of, names_of
from netcheck.finding import Family, Finding, NotDecided, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import break_in_words, listed, span_of


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DEFECT,
    summary="no reachable state gives a load its working voltage",
    why="it will not work, and a load without a way home is live at both its terminals",
    source="a load works only in a closed path from its source and home: circuit theory",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpenPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for open_path in view[OpenPaths].found:
        yield _finding(panel, open_path)
    for question in view[OpenPaths].undecided:
        names = listed(names_of(question.loads))
        yield NotDecided(
            f"whether {names} can ever be energised: {question.reason}",
            Place(span_of(panel, question.loads[0].parts[0])),
            devices_of(question.loads),
        )


def _finding(panel: Panel, open_path: OpenPath) -> Finding:
    broken, loads, waiting = open_path.broken, open_path.loads, open_path.waiting
    names, others = names_of(loads), names_of(waiting)
    verb = "is" if len(names) == 1 else "are"
    with_it = f", and with {'it' if len(names) == 1 else 'them'} {listed(others)}" if others else ""
    contacts = [part.label for part in broken.parts]
    related = [Place(panel.devices[name].span, "never energised") for name in devices_of(loads)]
    related += [Place(panel.devices[name].span, "waits for it") for name in devices_of(waiting)]
    reason = break_in_words(panel, broken, loads[0])
    return Finding(
        f"{listed(names)} {verb} {_how_dead(loads[0])}{with_it}: {reason}",
        Place(span_of(panel, broken.at), _label(panel, broken)),
        devices=tuple(dict.fromkeys((*_devices(open_path), *(p.device for p in broken.parts)))),
        wires=(panel.called(broken.at),) if isinstance(broken.at, Wire) else (),
        condition=" ".join(filter(None, (broken.kind, broken.last, broken.first, *contacts))),
        related=tuple(related),
        path=broken.path,
        help=HELP[broken.kind],
    )


HELP = {
    Kind.NO_WIRE: "complete the path with the wire that is missing",
    Kind.ON_GROUND: "bring the load home by a circuit conductor",
    Kind.BOTH_ENDS: "give each end of the load a node of its own, or take away the wire across it",
    Kind.ONE_POLE: "bring one of its ends to the other pole",
    Kind.OTHER_SOURCE: "bring the load home to the source that feeds it",
    Kind.CONTACTS: "look for the contact that is of the wrong kind or landed on the wrong terminal",
    Kind.ONE_WAY: "turn it round",
    Kind.WAITING: "put what starts it beside this contact, not in series with it",
    Kind.NO_SOURCE: "describe the source, or an edge where the description begins",
    Kind.NOT_SHOWN: "follow its path and see which positions it asks for",
}


def _how_dead(load: LoadFeed) -> str:
    if load.verdict is Verdict.MOMENTARY:
        return "energised only while relays are on their way"
    return "never energised on all its lines" if len(load.parts) > 1 else "never energised"


def _devices(open_path: OpenPath) -> tuple[str, ...]:
    return devices_of((*open_path.loads, *open_path.waiting))


def _label(panel: Panel, broken: Break) -> str:
    if broken.kind is Kind.CONTACTS and len(broken.parts) > 1:
        return "this contact would have to be closed too"
    if broken.kind is Kind.NO_WIRE and isinstance(broken.at, Part):
        return "the path ends here"
    return LABELS.get(broken.kind, "the path ends beyond this")


LABELS = {
    Kind.CONTACTS: "never closed",
    Kind.BOTH_ENDS: "this joins both its ends",
    Kind.ONE_POLE: "this comes to the pole its other end is on",
    Kind.OTHER_SOURCE: "this comes to another source",
    Kind.ONE_WAY: "conducts the other way",
    Kind.WAITING: "closed only once the load is energised",
    Kind.NO_SOURCE: "nothing feeds it",
    Kind.NOT_SHOWN: "its path is closed in no state",
}
