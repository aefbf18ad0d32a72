"""Process switches of which some say when they are at rest, and others do not.

`normally closed` is only half of it: at rest a float may hang or swim.  It speaks in panels
where some limit, float, pressure, temperature and flow switches say `at rest while "..."`,
of those that do not, all in one finding.

It keeps silent in panels where none says it, on spares, and on guard switches, which are at
rest with the guard closed.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed

MOVED = frozenset(
    ("limit switch", "float switch", "pressure switch", "temperature switch", "flow switch")
)


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="some process switches say when they are at rest, and others do not",
    why="two people read it two ways, and one of them sets the switch upside down",
    source="common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    switches = [
        device
        for device in panel.devices.values()
        if device.kind in MOVED and not _is_spare(panel, device)
    ]
    silent = [device for device in switches if "rest" not in device.values]
    if not silent or len(silent) == len(switches):
        return
    verb = "does" if len(silent) == 1 else "do"
    yield Finding(
        f"{listed([device.name for device in silent])} {verb} not say when "
        f"{'it is' if len(silent) == 1 else 'they are'} at rest, as others here",
        Place(silent[0].span, "at rest while?"),
        devices=tuple(device.name for device in silent),
        related=tuple(Place(device.span, "and this one") for device in silent[1:5]),
        help='say `at rest while "..."` and what the process does then',
    )


def _is_spare(panel: Panel, device: Device) -> bool:
    return "spare" in device.marks or all(panel.parts[index].spare for index in device.parts)
