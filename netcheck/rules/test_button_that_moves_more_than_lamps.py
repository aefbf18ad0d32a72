"""A button for testing lamps through which something else is fed as well.

It speaks of buttons and switches that say `for testing`, and of relays that they alone pull
in: of every load but lamps, horns and inputs that may draw through one of their contacts,
and is energised at other times too.

It keeps silent where a diode stands between, on what is energised by the test alone, such as
a relay that passes the test on, and on buttons that do not say what they are for.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Mechanism, Part
from netcheck.rule import rule
from netcheck.states.answers import Never, Reached
from netcheck.states.tagged import Tagged
from netcheck.telling import listed, span_of

TESTED = frozenset(("lamp", "horn", "input"))


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.DEFECT,
    summary="a button that tests lamps feeds something else too",
    why="whoever tests the lamps starts or holds what hangs on the same wire",
    source="lamp circuits are tied together for a test through diodes: common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour, CurrentPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for device in panel.devices.values():
        if device.values.get("purpose") != "testing":
            continue
        button = panel.mechanisms[device.mechanisms[0]]
        told: set[str] = set()
        for contact in _contacts_of_the_test(view, button):
            moved = [
                load
                for load in _through(view, contact)
                if load.name not in told and not _by_the_test_alone(view, button, load)
                if _feeds(view, contact, load)
            ]
            told |= {load.name for load in moved}
            if moved:
                yield _finding(view, button, contact, moved)


def _contacts_of_the_test(view: View, button: Mechanism) -> list[Part]:
    """The button's own, and those of relays that it alone pulls in."""
    panel = view.panel
    movers = {button.name}
    for mechanism in panel.mechanisms.values():
        coils = [panel.parts[index] for index in mechanism.coils]
        if coils and all(_only_with(view, button, coil) for coil in coils):
            movers.add(mechanism.name)
    return [
        part
        for part in panel.parts
        if part.conducts is Conducts.CONTACT and part.mechanism in movers and 0 not in part.closed
    ]


def _through(view: View, contact: Part) -> list[LoadCurrent]:
    paths = view[CurrentPaths]
    loads = [paths.loads[number] for number in paths.loads_through(contact)]
    return [load for load in loads if load.parts[0].load and load.parts[0].load.works not in TESTED]


def _by_the_test_alone(view: View, button: Mechanism, load: LoadCurrent) -> bool:
    return all(_only_with(view, button, part) for part in load.parts)


def _feeds(view: View, contact: Part, load: LoadCurrent) -> bool:
    """Whether in some settled state the load is fed with the contact closed, and not without."""
    states, tagged = view[Behaviour], Tagged(view[Behaviour], [contact])
    closed = states.closed(contact)
    fed = [states.logic.both(tagged.changes(contact, part), closed) for part in load.parts]
    return any(isinstance(states.prover.can_happen(on, at="settled"), Reached) for on in fed)


def _only_with(view: View, button: Mechanism, load: Part) -> bool:
    """Whether it is energised in no settled state with the button at rest."""
    states = view[Behaviour]
    at_rest = states.in_positions(button.name, frozenset((0,)))
    on = states.logic.both(states.energised(load), at_rest)
    return isinstance(states.prover.can_happen(on, at="settled"), Never)


def _finding(view: View, button: Mechanism, contact: Part, moved: list[LoadCurrent]) -> Finding:
    panel = view.panel
    names = [load.name for load in moved]
    return Finding(
        f"`{button.name}`, which is for testing, feeds {listed(names)} too",
        Place(span_of(panel, contact), "feeds more than what it tests"),
        devices=(button.device, *dict.fromkeys(load.device for load in moved)),
        condition=contact.label,
        related=tuple(Place(panel.devices[load.device].span, "fed by the test") for load in moved),
        help="put a diode between the test and each lamp, or give the lamps a contact of their own",
    )
