"""A DC coil that nothing quenches as it is switched off.

It speaks of coils, valves, solenoids and brakes on DC that a transistor output or other
electronic contact drives directly, with neither `with diode` nor `with suppressor` and no
diode or suppressor wired across them: one finding for each device that drives some.  Where
some DC coils of the panel say how they are quenched, those switched by plain contacts that
say nothing are asked about, all in one finding.

It keeps silent on panels that say nothing of it for any coil behind plain contacts, on AC
coils, and on spares.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed

PULLS = frozenset(("coil", "valve", "solenoid", "brake"))
QUENCHES = frozenset(("diode", "suppressor"))


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="a DC coil has neither a diode nor a suppressor across it",
    why="what it gives back as it is switched off kills transistor outputs and pits contacts",
    source="contact protection of inductive loads: makers' manuals, read second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, states = view.panel, view[Behaviour]
    across = {_ends(states, part) for part in panel.parts if _quenches(panel, part)}
    coils = [part for part in panel.parts if _is_dc_coil(panel, part)]
    bare = [part for part in coils if _ends(states, part) not in across]
    drivers = _drivers(states, panel) if bare else {}
    by_output: dict[str, list[Part]] = {}
    plain = []
    for coil in bare:
        own = [drivers[node] for node in sorted(_ends(states, coil)) if node in drivers]
        if own:
            by_output.setdefault(own[0], []).append(coil)
        else:
            plain.append(coil)
    for driver, driven in by_output.items():
        yield _finding(
            panel, driven, f"nothing quenches {_names(driven)}, which `{driver}` drives", driver
        )
    if plain and len(bare) < len(coils):
        yield _finding(
            panel, plain, f"nothing is said to quench {_names(plain)}, as it is of other coils"
        )


def _ends(states: Behaviour, part: Part) -> frozenset[int]:
    return frozenset((states.node(part.a), states.node(part.b)))


def _quenches(panel: Panel, part: Part) -> bool:
    return part.role in QUENCHES or panel.devices[part.device].kind in QUENCHES


def _is_dc_coil(panel: Panel, part: Part) -> bool:
    device = panel.devices[part.device]
    spare = part.spare or "spare" in device.marks or device.values.get("electronic")
    pulls = part.load is not None and part.load.works in PULLS and part.load.kind == "DC"
    return pulls and not spare and not part.inside and part.a in panel.wires_at


def _drivers(states: Behaviour, panel: Panel) -> dict[int, str]:
    """The device of an electronic contact that drives each node, poles of sources apart."""
    found: dict[int, str] = {}
    for part in panel.parts:
        if part.conducts is Conducts.CONTACT and part.role in ("transistor", "output"):
            for node in _ends(states, part) - states.rails:
                found.setdefault(node, part.device)
    return found


def _names(coils: list[Part]) -> str:
    return listed(list(dict.fromkeys(coil.device for coil in coils)))


def _finding(panel: Panel, coils: list[Part], message: str, driver: str = "") -> Finding:
    first = panel.devices[coils[0].device]
    return Finding(
        message,
        Place(first.span, "says neither diode nor suppressor"),
        devices=tuple(dict.fromkeys((*filter(None, (driver,)), *(c.device for c in coils)))),
        related=tuple(Place(panel.devices[coil.device].span, "and here") for coil in coils[1:5]),
        help="fit a diode or suppressor across the coil, or say `with diode` where one is built in",
    )
