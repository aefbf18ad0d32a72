"""One leg of a three-wire or wye source carries far more of its loads than another.

All loads between a leg and the neutral, or between two legs, count on each leg they touch,
as rated, whether they are ever on together or not: so is a panel laid out.  It speaks where
the heaviest leg has more than twice the lightest and 20 A more.

It keeps silent on sources with one leg, and on derived ones, which are judged by what they
must give.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.rule import rule

TIMES = 2.0
APART_A = 20.0


@rule(
    family=Family.SUPPLY,
    severity=Severity.QUERY,
    summary="one leg of the source carries far more than another",
    why="its main device opens, and its neutral runs warm, while the other leg is idle",
    source="balance of panelboards: common practice, figures from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Behaviour, CurrentPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for index, source in enumerate(panel.sources):
        legs = [pole for pole, potential in source.poles.items() if potential]
        if source.kind != "AC" or source.inputs or len(legs) == len(source.poles):
            continue
        on_leg = {leg: _on(view, index, leg) for leg in legs}
        if len(legs) < 2 or not any(on_leg.values()):
            continue
        total_a = {leg: sum(loads.values()) for leg, loads in on_leg.items()}
        most, least = max(legs, key=total_a.__getitem__), min(legs, key=total_a.__getitem__)
        apart_a = total_a[most] - total_a[least]
        if apart_a > APART_A and total_a[most] > TIMES * total_a[least]:
            device = panel.devices[source.device]
            heaviest = sorted(on_leg[most].items(), key=lambda load: -load[1])
            yield Finding(
                f"`{most}` of `{source.device}` carries {figure(total_a[most], 'A')} of loads, and "
                f"`{least}` {figure(total_a[least], 'A')}",
                Place(device.span, "its legs"),
                devices=(source.device,),
                condition="legs",
                working=tuple(
                    Working(f"{name} on {most}", amperes, "A", "as rated")
                    for name, amperes in heaviest[:6]
                ),
                help=f"move some of the loads of {most} to {least}",
            )


def _on(view: View, source: int, leg: str) -> dict[str, float]:
    """Loads, by name, that a state feeds from this leg, with their rated amperes."""
    states, paths = view[Behaviour], view[CurrentPaths]
    rail = states.pole_node(source, leg)
    found: dict[str, float] = {}
    for number in sorted(paths.fed):
        load = paths.loads[number]
        for part in load.parts:
            if any(rail in (feed.rail_a, feed.rail_b) for feed in states.feeds(part)):
                found[load.name] = load.current_a
    return found
