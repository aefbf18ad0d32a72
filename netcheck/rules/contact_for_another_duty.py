"""A contact that is rated for resistive loads and switches a coil or a motor.

It speaks where a contact says its ratings with their utilisation category, and none that
holds at the voltage and kind of what it switches is for such loads: coils, valves,
solenoids and brakes want AC-14, AC-15, DC-13 or DC-14, AC motors AC-3 or AC-4, and a rating
without a category will do for either.  One finding for each contact.

It keeps silent on contacts that say no category, on DC motors, and where no rating is for
that voltage or kind, which is another fault.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Part, Rated
from netcheck.rule import rule
from netcheck.states.volts import Volts, kind_of, magnitude
from netcheck.telling import in_words, listed, span_of

SAME_VOLTAGE = 1.1
MOTORS = frozenset(("AC-3", "AC-4"))
COILS = MOTORS | {"AC-14", "AC-15", "DC-13", "DC-14"}
WANTS = {
    "coil": COILS,
    "valve": COILS,
    "solenoid": COILS,
    "brake": COILS,
    "motor": MOTORS,
}


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="a contact rated for resistive loads switches a coil or a motor",
    why="an inductive load draws an arc as it is switched off: the contact burns or welds early",
    source="IEC 60947-5-1, 60947-4-1: utilisation categories; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Behaviour, CurrentPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths = view.panel, view[CurrentPaths]
    for part in panel.parts:
        if part.conducts is not Conducts.CONTACT or not any(one.duty for one in part.ratings):
            continue
        loads = [paths.loads[number] for number in paths.loads_through(part)]
        unfit = [load for load in loads if _unfit(view, part, load)]
        if not unfit:
            continue
        duties = list(dict.fromkeys(one.duty for one in part.ratings if one.duty))
        names = [load.name for load in unfit]
        yield Finding(
            f"`{part.label}` is rated {in_words(duties)} and switches {listed(names)}",
            Place(span_of(panel, part), f"rated {in_words(duties)}"),
            devices=(part.device, *dict.fromkeys(load.device for load in unfit)),
            condition=part.label,
            help="look up what it may switch of such loads and say it, or use a contact for them",
        )


def _unfit(view: View, part: Part, load: LoadCurrent) -> bool:
    """Whether ratings hold at the load's voltage, and none of them for such a load."""
    made = load.parts[0].load
    wants = WANTS.get(made.works) if made is not None else None
    if wants is None:
        return False
    if wants is MOTORS and made is not None and made.kind == "DC":
        return False
    holding = [
        rated
        for feed in view[Behaviour].feeds(load.parts[0])
        for rated in part.ratings
        if _holds(rated, feed.volts)
    ]
    return bool(holding) and not any(not one.duty or one.duty in wants for one in holding)


def _holds(rated: Rated, volts: Volts) -> bool:
    right_kind = not rated.kind or kind_of(volts) in rated.kind
    return right_kind and rated.volts * SAME_VOLTAGE >= magnitude(volts)
