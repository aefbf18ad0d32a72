"""A supply or transformer must give more than it is made for, to loads that are on together.

Loads count as rated, motors by the tables' full-load current; only loads that a reachable
state has on at the same time are added.  A supply or transformer that feeds loads and does
not say what it is made for is not checked, nor one that stands where it is warmer than it
says it `derates above`.

Supplies that all say `may be paralleled` and stand side by side are judged by what they give
together, and of two that are said to be redundant each by what it must give alone: a pair
that is alike is one finding.

It keeps silent on inrush, and on services, batteries and edges, which their protective
devices hold.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.load_currents import in_short
from netcheck.facts.source_loading import SourceLoad, SourceLoading
from netcheck.figure import figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.defaults import ambient_c
from netcheck.model.devices import Device
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed


@rule(
    family=Family.SUPPLY,
    severity=Severity.DEFECT,
    summary="a supply or transformer must give more than it is made for",
    why="an electronic supply folds back and everything on it drops out; a transformer sags "
    "and overheats",
    source="NFPA 79 and UL 508A ask for a source of sufficient capacity; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(SourceLoading,),
)
def find(view: View) -> Iterator[Outcome]:
    loading = view[SourceLoading]
    told: dict[str, SourceLoad] = {}
    for one in loading.overloaded:
        twin = _twin(view.panel, one.device)
        if twin in told and _alike(told[twin], one):
            continue
        told[one.device.name] = one
        place = Place(one.device.span, f"{one.rated_a:.3g} A at {one.pole}")
        if isinstance(one.answer, Undecided):
            reason = f"whether `{one.device.name}` must give too much: {one.answer.reason}"
            yield NotDecided(reason, place, (one.device.name,))
        elif isinstance(one.answer, Reached):
            yield _finding(view, one, one.answer, place, twin)
    for device in loading.unrated:
        reason = f"{device.name} does not say what current or VA it is made for"
        yield NotChecked(reason, Place(device.span), (device.name,))
    for one in loading.sources:
        yield from _too_warm(view.panel, one.device)


def _twin(panel: Panel, device: Device) -> str:
    """The supply that is said to be redundant with this one; empty where none is."""
    said = str(device.values.get("redundant_with", ""))
    others = panel.devices.values()
    back = (one.name for one in others if one.values.get("redundant_with") == device.name)
    return said or next(back, "")


def _alike(one: SourceLoad, other: SourceLoad) -> bool:
    return (one.loads, one.rated_a) == (other.loads, other.rated_a)


def _too_warm(panel: Panel, device: Device) -> Iterator[NotChecked]:
    derates_c, warm_c = device.number("derates_c"), ambient_c(panel, device.location)
    if derates_c is not None and warm_c > derates_c:
        reason = (
            f"{device.name} derates above {derates_c:g} degC and stands at {warm_c:g} degC: "
            "what it still gives there is not said"
        )
        yield NotChecked(reason, Place(device.span), (device.name,))


def _finding(view: View, one: SourceLoad, answer: Reached, place: Place, twin: str) -> Finding:
    needed, rated = figures_apart("A", one.needed_a, one.rated_a)
    witness = tell(view.panel, answer)
    names = [device.name for device in (one.device, *one.sharing)]
    if twin:
        message = (
            f"`{one.device.name}` must give {needed} alone once `{twin}` fails, and is made "
            f"for {rated}"
        )
    elif one.sharing:
        message = f"{listed(names)} together must give {needed} and are made for {rated}"
    else:
        message = f"`{one.device.name}` must give {needed} and is made for {rated}"
    return Finding(
        message,
        place,
        devices=(*names, *dict.fromkeys(load.device for load in one.loads)),
        condition=one.pole,
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(one)),
        help="a larger one, a second one for some of the loads, or loads kept from being on "
        "together",
    )


def _working(one: SourceLoad) -> Iterator[Working]:
    loads = sorted(one.loads, key=lambda load: -load.current_a)
    yield from in_short([load.working for load in loads])
    yield Working(f"from {one.device.name} at {one.pole}", one.needed_a, "A", "the sum of these")
