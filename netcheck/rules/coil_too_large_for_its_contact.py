"""A coil that takes more than the contact which switches it may make or break by its code.

It speaks where a contact says `pilot duty B300`: of each coil, valve, solenoid and brake in its
path that takes more volt-amperes as it pulls in than the code's letter makes, or more while it
is in than that breaks, and of one on more volts than the code's number.  A code that is none,
or is for the other kind of current, is not checked.

It keeps silent on contacts that say no code, and on coils of which no volt-amperes are known.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.figure import figure, figures_apart
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
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.rounding import with_slack
from netcheck.rule import rule
from netcheck.states.volts import kind_of, magnitude
from netcheck.telling import span_of

COILS = frozenset(("coil", "valve", "solenoid", "brake"))


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="a coil takes more than its contact may switch by its rating code",
    why="the contact welds as the coil pulls in, or draws an arc as it lets go",
    source="NEMA ICS 5, UL 508: contact rating codes",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Behaviour, CurrentPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths = view.panel, view[CurrentPaths]
    for part in panel.parts:
        code = str(part.value("pilot_duty") or "")
        if part.conducts is not Conducts.CONTACT or not code:
            continue
        loads = [paths.loads[number] for number in paths.loads_through(part)]
        coils = [load for load in loads if load.parts[0].load and load.parts[0].load.works in COILS]
        yield from _of(view, part, code, coils)


def _of(view: View, part: Part, code: str, coils: list[LoadCurrent]) -> Iterator[Outcome]:
    from netcheck.tables.nema_pilot_duty import SOURCE, pilot_duty

    known = pilot_duty(code)
    if known is None:
        reason = f"{part.label} says pilot duty {code}, and there is no such code"
        yield NotChecked(reason, Place(span_of(view.panel, part)), (part.device,))
        return
    row, most_v = known
    for load in coils:
        feeds = view[Behaviour].feeds(load.parts[0])
        if any(kind_of(feed.volts) != row.kind for feed in feeds):
            reason = f"{part.label} says pilot duty {code}, which is for {row.kind}"
            yield NotChecked(reason, Place(span_of(view.panel, part)), (part.device,))
            return
        volts = max((magnitude(feed.volts) for feed in feeds), default=0.0)
        pulls_in_va, held_va = _takes(view.panel, load, volts)
        source = f"{SOURCE.cite}, {code}"
        for does, may, takes, most, unit in (
            ("is fed", "is for up to", volts, most_v, "V"),
            ("pulls in with", "may make", pulls_in_va, row.makes_va, "VA"),
            ("is held with", "may break", held_va, row.breaks_va, "VA"),
        ):
            if takes > with_slack(most):
                yield _finding(view.panel, part, load, does, may, (takes, most), unit, source)
                break


def _takes(panel: Panel, load: LoadCurrent, volts: float) -> tuple[float, float]:
    """What a coil takes as it pulls in and while it is in, VA; 0 where it is not known."""
    device, part = panel.devices[load.device], load.parts[0]
    held = 0.0 if load.unknown else load.current_a * volts
    said = part.number("inrush_va") or device.number("coil_inrush_va")
    return said or device.number("inrush_va") or held, held


def _finding(
    panel: Panel,
    part: Part,
    load: LoadCurrent,
    does: str,
    may: str,
    figures: tuple[float, float],
    unit: str,
    source: str,
) -> Finding:
    takes, most = figures_apart(unit, *figures)
    return Finding(
        f"`{load.name}` {does} {takes}, and `{part.label}` {may} {most}",
        Place(span_of(panel, part), f"{may} {figure(figures[1], unit)}"),
        devices=(part.device, load.device),
        condition=f"{part.label} {load.name} {does}",
        related=(Place(panel.devices[load.device].span, takes),),
        working=(
            Working(f"{load.name} {does}", figures[0], unit, "as described"),
            Working(f"{part.label} {may}", figures[1], unit, source, confirmed=False),
        ),
        help="let a relay with a larger code switch it",
    )
