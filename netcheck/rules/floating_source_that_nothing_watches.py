"""A control supply or transformer whose output is neither grounded nor watched.

It speaks of supplies and transformers that say their output floats, and feed coils, valves,
motors or inputs, where no insulation monitor watches one of their poles; and of those that
say `watched` where the text has no monitor on them.

It keeps silent on class 2 sources, on batteries and on what comes from elsewhere, on
outputs that feed lamps and heat alone, and on those that are joined to ground after all
(`grounding against what is said`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.drawn_bonds import DrawnBonds
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.rule import rule

ACTS = frozenset(("coil", "valve", "solenoid", "brake", "motor", "input"))


@rule(
    family=Family.GROUNDING,
    severity=Severity.QUERY,
    summary="a control supply is neither grounded nor watched by an insulation monitor",
    why="a first ground fault goes unseen, and a second one starts or holds what it pleases",
    source="NFPA 79 8.3, IEC 60204-1 9.4.3: grounded or monitored; read second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(Behaviour, CircuitVolts, DrawnBonds),
)
def find(view: View) -> Iterator[Outcome]:
    panel, states = view.panel, view[Behaviour]
    watched = {states.node(terminal) for terminal in _watching(panel)}
    for index, source in enumerate(states.panel.sources):
        loose = source.grounding in ("floating", "watched") and not source.class_2
        if not loose or source.mechanism or _is_joined_to_ground(view, source.device):
            continue
        places = {states.pole_node(index, mark) for mark in source.poles}
        if places & watched or not _feeds_what_acts(view, places):
            continue
        said = source.grounding == "watched"
        device = panel.devices[source.device]
        yield Finding(
            f"`{device.name}` is said to be watched, and no insulation monitor here watches it"
            if said
            else f"the output of `{device.name}` floats and nothing watches it",
            Place(device.span, "said to be watched" if said else "floats"),
            devices=(device.name,),
            help="ground one of its poles, or let an insulation monitor watch it",
        )


def _watching(panel: Panel) -> Iterator[str]:
    """The terminals at which insulation monitors measure."""
    for part in panel.parts:
        monitor = panel.devices[part.device].kind == "insulation monitor"
        if part.role == "measuring input" and monitor:
            yield part.a


def _is_joined_to_ground(view: View, device: str) -> bool:
    return any(
        conductor.bonds or conductor.declared
        for conductor in view[DrawnBonds].conductors
        if any(source.device == device for source, _ in conductor.poles)
    )


def _feeds_what_acts(view: View, poles: set[int]) -> bool:
    states, volts = view[Behaviour], view[CircuitVolts]
    return any(
        poles & (volts.rails(states.node(part.a)) | volts.rails(states.node(part.b)))
        for part in states.panel.parts
        if part.load is not None and part.load.works in ACTS
    )
