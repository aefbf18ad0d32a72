"""A device with metal that people touch has no way to ground by wire.

It speaks of a motor, heater, supply or anything else with a PE terminal whose loads or
circuits are above 50 V, of what says `metal housing`, and of metal enclosures, doors and
back plates (`enclosure`, `metal part`) of a panel with more than 50 V: where nothing is
wired to that terminal, or what is wired leads to no PE of a service, battery or edge.  What
hangs together and leads nowhere is one finding.  A text that draws no grounding conductor
at all leaves them out, or forgets them: then it is not checked, once for the panel.

It keeps silent up to 50 V, on enclosures of plastic, on spares and on what is in no
circuit, on sources that come from elsewhere, where only a ground rod is reached (`grounding
by a rod`), and where a switch or fuse stands between (`switch in a grounding conductor`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.ground_paths import GroundPaths, Ungrounded
from netcheck.finding import Family, Finding, NotChecked, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.GROUNDING,
    severity=Severity.DANGER,
    summary="metal that people touch is joined to no grounding conductor",
    why="one fault of insulation makes it live, and nothing opens until somebody touches it",
    source="NEC 250.110, 250.114, 250.4(A)(5); IEC 60204-1 8.2.1: from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(GroundPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    paths = view[GroundPaths]
    if paths.ungrounded and not paths.described:
        yield _not_described(view.panel, paths.ungrounded)
        return
    for island in paths.ungrounded:
        if island.rod is None:
            yield _finding(view.panel, island)


def _not_described(panel: Panel, islands: tuple[Ungrounded, ...]) -> NotChecked:
    devices = tuple(name for island in islands for name in island.devices)
    return NotChecked(
        f"no grounding conductor is drawn: whether {listed(devices)} "
        f"{'is' if len(devices) == 1 else 'are'} grounded",
        Place(panel.devices[devices[0]].span),
        devices,
    )


def _finding(panel: Panel, island: Ungrounded) -> Finding:
    first = island.terminals[0]
    wires = panel.wires_at.get(first, ())
    message = (
        f"the grounding conductor of {listed(island.devices)} leads to no ground of a source"
        if wires
        else f"`{island.devices[0]}` has no grounding conductor"
    )
    place = wires[0].span if wires else panel.devices[island.devices[0]].span
    return Finding(
        message,
        Place(place, "leads nowhere" if wires else f"nothing is wired to `{first}`"),
        devices=island.devices,
        help=f"wire {listed(island.terminals)} to the grounding bar, and the bar to the source"
        if wires
        else f"wire `{first}` to the grounding bar",
    )
