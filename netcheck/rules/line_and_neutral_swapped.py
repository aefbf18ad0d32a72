"""A device with terminals L and N whose L is on the grounded conductor and N on a live one.

It speaks of supplies, receptacles and other loads with such terminals, where L is always
joined to a pole that is declared grounded, and N is fed from another pole.

It keeps silent on terminals of other marks, and on sources that do not say how they are
grounded.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.protection import Protection
from netcheck.facts.sections import Sections
from netcheck.finding import Family, Finding, Outcome, PathStep, Place, ReferenceKind, Severity
from netcheck.rule import rule


@rule(
    family=Family.DEVICE,
    severity=Severity.DANGER,
    summary="line and neutral of a device are swapped",
    why="its switch and fuse stand in the neutral: it is live inside while it is off",
    source="NEC 200.11, 406.4: polarity of connections; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Protection, Sections),
)
def find(view: View) -> Iterator[Outcome]:
    panel, grounded = view.panel, view[Sections].grounded
    for device in panel.devices.values():
        line, home = f"{device.name}:L", f"{device.name}:N"
        if line not in device.terminals or home not in device.terminals:
            continue
        is_source = any(panel.sources[index].mechanism for index in device.sources)
        if is_source or line not in grounded or home in grounded:
            continue
        ahead = view[Protection].worst(home)
        if ahead is None:
            continue
        wires = [wire for end in (line, home) for wire in panel.wires_at.get(end, ())[:1]]
        yield Finding(
            f"`{line}` is on the grounded conductor and `{home}` on a live one: they are swapped",
            Place(wires[0].span if wires else device.span, "grounded, and landed on L"),
            devices=(device.name,),
            related=tuple(Place(wire.span, "live, and landed on N") for wire in wires[1:]),
            path=tuple(
                PathStep(end, panel.wire_name(wire), end == line)
                for end, wire in zip((line, home), wires, strict=False)
            ),
            help="swap the two wires",
        )
