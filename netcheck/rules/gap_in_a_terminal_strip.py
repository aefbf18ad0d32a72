"""A strip whose numbers leave one out, or with a terminal left free between those in use.

It speaks of each strip whose terminals are numbered and skip a number, and of each with a
terminal between used ones to which nothing is wired or bridged and which is not said to be
spare.

It keeps silent on free terminals before the first and behind the last one in use, which is
the room left for more, on strips nothing is wired to (`device in no circuit`), and on bars.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device, mark_of
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="a terminal strip leaves a number out, or a terminal free between those in use",
    why="a wire that was forgotten and a terminal that is kept free look the same, and who "
    "builds the strip counts one block too many or too few",
    source="terminal lists are gapless and say what is spare: common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for device in panel.devices.values():
        if device.kind == "strip" and any(end in panel.wires_at for end in device.terminals):
            yield from _left_out(device)
            yield from _left_free(panel, device)


def _left_out(device: Device) -> Iterator[Finding]:
    numbers = {int(mark) for mark in map(mark_of, device.terminals) if mark.isdecimal()}
    missing = [
        str(number)
        for number in range(min(numbers, default=0), max(numbers, default=0))
        if number not in numbers
    ]
    if missing and len(missing) < len(numbers):
        yield Finding(
            f"the numbers of `{device.name}` leave out {listed(missing, most=6)}",
            Place(device.span, "not numbered through"),
            devices=(device.name,),
            condition=f"without {' '.join(missing)}",
            help="number the terminals through, and say which are spare",
        )


def _left_free(panel: Panel, device: Device) -> Iterator[Finding]:
    bridged = {
        end for index in device.parts for end in (panel.parts[index].a, panel.parts[index].b)
    }
    used = [end in panel.wires_at or end in bridged for end in device.terminals]
    first, last = used.index(True), len(used) - used[::-1].index(True)
    said = device.values.get("spare_terminals")
    spare = said if isinstance(said, tuple) else ()
    free = [
        end
        for end, in_use in zip(device.terminals[first:last], used[first:last], strict=True)
        if not in_use and mark_of(end) not in spare
    ]
    if free:
        one = len(free) == 1
        yield Finding(
            f"nothing is landed on {listed(free, most=6)}, between terminals in use, and "
            f"{'it is' if one else 'they are'} not said to be spare",
            Place(device.span, "a terminal left free" if one else "terminals left free"),
            devices=(device.name,),
            condition=f"free {' '.join(free)}",
            help="land the wire that was forgotten, or write `spare terminals` and their marks",
        )
