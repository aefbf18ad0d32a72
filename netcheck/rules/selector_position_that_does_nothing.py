"""Two positions of a selector that no contact of it tells apart.

Said where the same contacts are closed in both, whether they are wired or not.  Contacts
that are spare, or that nothing is wired to, count: they show what the position is for, and
`spare not declared` speaks of them.  A position whose contacts are wired and yet change
nothing is a `contact that never matters`.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Device
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import in_words


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="two positions of a selector in which the same contacts are closed",
    why="whoever turns it there expects something to change, and nothing does",
    source="a position is there to switch something: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
)
def find(view: View) -> Iterator[Outcome]:
    for device in view.panel.devices.values():
        if device.kind == "selector" and "spare" not in device.marks:
            for alike in _alike(view.panel, device):
                yield Finding(
                    f"`{device.name}` does the same in {in_words(alike)}: no contact of it tells "
                    "them apart",
                    Place(device.span, "two positions do the same"),
                    devices=(device.name,),
                    condition=" ".join(alike),
                    help="give each position its contact, or name only positions that differ",
                )


def _alike(panel: Panel, device: Device) -> Iterator[tuple[str, ...]]:
    """The named positions that close the same contacts, wherever there are two or more."""
    mechanism = panel.mechanisms[device.mechanisms[0]]
    contacts = [panel.parts[index] for index in device.parts]
    contacts = [part for part in contacts if part.conducts is Conducts.CONTACT]
    groups: dict[tuple[bool, ...], list[str]] = {}
    for index in sorted(mechanism.resting):
        closed = tuple(index in part.closed for part in contacts)
        groups.setdefault(closed, []).append(mechanism.positions[index])
    for names in groups.values():
        if len(names) > 1:
            yield tuple(names)
