"""A terminal that holds more wires than it is made for.

Where a device says `2 wires each terminal`, every terminal of it with more is named.  Where
nothing is said it speaks from the fourth wire on at terminals of devices and bars, and from
the fifth at terminal blocks, which have two sides: as something to confirm, all of them in
one finding.  A wire of conductors in parallel counts as so many.

It keeps silent on terminals of sources that come from elsewhere, and up to three wires
where no number is said: circuit lines often land the wires of a node where that is short to
write.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device, device_of
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.rule import rule
from netcheck.telling import listed

MOST, MOST_OF_A_BLOCK = 3, 4


@record
class Full:
    """A terminal, how many wires it holds, and how many it takes where that is said."""

    terminal: str
    wires: int
    takes: int | None


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.QUERY,
    summary="a terminal holds more wires than it is made for",
    why="one of the wires is loose under the screw, and heats or falls off",
    source="NEC 110.14(A): one conductor unless identified for more; read second-hand",
    kind=ReferenceKind.STANDARD,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    full = list(_full(panel))
    for one in full:
        if one.takes is not None:
            yield _finding(panel, [one])
    unsaid = [one for one in full if one.takes is None]
    if unsaid:
        yield _finding(panel, unsaid)


def _full(panel: Panel) -> Iterator[Full]:
    for terminal, wires in panel.wires_at.items():
        device = panel.devices[device_of(terminal)]
        said = device.number("wires_each")
        if len(wires) < 2 or _comes_from_elsewhere(panel, device):
            continue
        count = sum(
            (wire.properties.parallel or 1) * (2 if wire.a == wire.b else 1) for wire in wires
        )
        block = device.values.get("terminal") and not device.values.get("bar")
        if count > (said if said is not None else MOST_OF_A_BLOCK if block else MOST):
            yield Full(terminal, count, None if said is None else int(said))


def _comes_from_elsewhere(panel: Panel, device: Device) -> bool:
    return any(panel.sources[index].mechanism for index in device.sources)


def _finding(panel: Panel, full: list[Full]) -> Finding:
    first = full[0]
    if first.takes is not None:
        said = "one wire" if first.takes == 1 else f"{first.takes} wires"
        message = f"`{first.terminal}` holds {first.wires} wires and takes {said}"
    elif len(full) == 1:
        message = f"`{first.terminal}` holds {first.wires} wires, and nothing says it takes so many"
    else:
        names = listed([one.terminal for one in full])
        message = f"{names} hold up to {max(one.wires for one in full)} wires each, and nothing "
        message += "says they take so many"
    wires = panel.wires_at[first.terminal]
    return Finding(
        message,
        Place(wires[-1].span, f"one more at `{first.terminal}`"),
        devices=tuple(dict.fromkeys(device_of(one.terminal) for one in full)),
        wires=tuple(dict.fromkeys(panel.called(wire) for wire in wires)),
        condition=" ".join(one.terminal for one in full),
        help="use another terminal or a bridged block, or say how many wires each terminal takes",
    )
