"""What is described and leads nowhere: ends, contacts and whole devices to which nothing is wired.

Loads are left out: one that lacks an end is never energised, which is a finding of its
own.  So are bars, and poles of breakers, fuses and overloads of which neither end is used.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.load_feeds import is_unused_input, is_wired
from netcheck.model.devices import Conducts, Device, Part, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.record import record


@record
class OpenEnd:
    """A part wired at `wired` whose other end, `bare`, leads nowhere.

    Without a part it is a source with one pole wired and not the other, or a terminal of a
    strip, `bare`, at which the wire from `wired` ends.
    """

    part: Part | None
    wired: str
    bare: str

    @property
    def device(self) -> str:
        return device_of(self.bare)


@record
class OpenEnds:
    """`unused` gives, by device, the contacts, poles and inputs with nothing wired to them.

    `outputs` are those of them that are fed from a common; `at_strips` wires that end at a
    terminal of a strip.
    """

    ends: tuple[OpenEnd, ...]
    at_strips: tuple[OpenEnd, ...]
    outputs: tuple[OpenEnd, ...]
    unused: dict[str, tuple[Part, ...]]
    in_no_circuit: tuple[Device, ...]


@concludes()
def find_open_ends(view: View) -> OpenEnds:
    panel = view.panel
    ends: list[OpenEnd] = []
    unused: dict[str, tuple[Part, ...]] = {}
    in_no_circuit: list[Device] = []
    at_strips: list[OpenEnd] = []
    for device in panel.devices.values():
        if device.kind == "strip":
            at_strips += _ends_at_strip(panel, device)
        if "spare" in device.marks or _only_joins_wires(panel, device):
            continue
        if not is_wired(panel, device.name):
            if not any(panel.parts[index].spare for index in device.parts):
                in_no_circuit.append(device)
            continue
        ends += _open_ends(panel, device)
        ends += _open_poles(panel, device)
        parts = tuple(_unused(panel, device))
        if parts:
            unused[device.name] = parts
    outputs = [end for parts in unused.values() for end in _outputs(panel, parts)]
    return OpenEnds(tuple(ends), tuple(at_strips), tuple(outputs), unused, tuple(in_no_circuit))


def _ends_at_strip(panel: Panel, device: Device) -> Iterator[OpenEnd]:
    """Terminals at which one wire ends, of a circuit and in use at its other end."""
    spare = device.values.get("spare_terminals")
    for end in device.terminals:
        wires = panel.wires_at.get(end, ())
        kept = isinstance(spare, tuple) and mark_of(end) in spare
        if len(wires) != 1 or panel.parts_at.get(end) or kept or "spare" in device.marks:
            continue
        wired = wires[0].a if wires[0].b == end else wires[0].b
        beyond = panel.parts_at.get(wired, ())
        grounds = any(part.conducts is Conducts.BOND for part in beyond)
        if not (grounds or any(part.spare for part in beyond) or mark_of(wired) == "PE"):
            yield OpenEnd(None, wired, end)


def _outputs(panel: Panel, parts: tuple[Part, ...]) -> Iterator[OpenEnd]:
    for part in parts:
        connected = [end for end in (part.a, part.b) if _connected(panel, end, part)]
        if part.conducts is Conducts.CONTACT and len(connected) == 1:
            yield OpenEnd(part, connected[0], part.b if connected[0] == part.a else part.a)


def _only_joins_wires(panel: Panel, device: Device) -> bool:
    """Strips, bars, terminals, bonds and bare metal; and what has no terminal at all."""
    bond = all(panel.parts[index].conducts is Conducts.BOND for index in device.parts)
    plain = not device.sources and bool(device.parts) and bond
    bare = device.terminals in ((), (f"{device.name}:PE",))
    return bool(device.values.get("terminal")) or plain or bare


def _two_ended(panel: Panel, device: Device) -> Iterator[Part]:
    """Contacts, poles and other parts with two ends; no loads, nor what lies across them."""
    parts = [panel.parts[index] for index in device.parts]
    loads = {frozenset((part.a, part.b)) for part in parts if part.load is not None}
    for part in parts:
        if part.conducts in (Conducts.LOAD, Conducts.BOND) or part.spare or part.inside:
            continue
        if frozenset((part.a, part.b)) not in loads:
            yield part


def _open_ends(panel: Panel, device: Device) -> Iterator[OpenEnd]:
    told: set[str] = set()
    for part in _two_ended(panel, device):
        connected = [end for end in (part.a, part.b) if _connected(panel, end, part)]
        if len(connected) != 1:
            continue
        wired = connected[0]
        bare = part.b if wired == part.a else part.a
        throws = _sharing(panel, part, wired)
        if throws and not _sharing(panel, part, bare) and _is_one_of(panel, part, throws, wired):
            continue
        of_one_mechanism = wired if throws else bare
        if of_one_mechanism not in told:
            told.add(of_one_mechanism)
            yield OpenEnd(part, wired, bare)


def _open_poles(panel: Panel, device: Device) -> Iterator[OpenEnd]:
    """A source of two poles with one of them wired; the third of three may well be unused."""
    for index in device.sources:
        poles = [f"{device.name}:{mark}" for mark in panel.sources[index].poles]
        wired = [end for end in poles if end in panel.wires_at]
        bare = [end for end in poles if end not in wired and not _linked(panel, end)]
        if len(poles) == 2 and len(wired) == len(bare) == 1:
            yield OpenEnd(None, wired[0], bare[0])


def _linked(panel: Panel, pole: str) -> bool:
    """Whether a pole is one with another terminal of its device, such as a common 0V.  Ground
    is no way home: where current takes it, that is told by itself."""
    return any(part.conducts is Conducts.JOINS for part in panel.parts_at.get(pole, ()))


def _unused(panel: Panel, device: Device) -> Iterator[Part]:
    """Contacts and contactor poles used at neither end; outputs and inputs not used at theirs."""
    for index in device.parts:
        part = panel.parts[index]
        if part.spare or part.inside:
            continue
        if is_unused_input(panel, part):
            yield part
        if part.conducts is not Conducts.CONTACT:
            continue
        connected = [end for end in (part.a, part.b) if _connected(panel, end, part)]
        if not connected and not _throws_used(panel, part):
            yield part
        elif len(connected) == 1:
            beside = _sharing(panel, part, connected[0])
            if beside and beside[0].mechanism != part.mechanism:
                yield part


def _connected(panel: Panel, end: str, part: Part) -> bool:
    """Wired, or joined inside the device to a load or link that is wired at its other end."""
    if end in panel.wires_at:
        return True
    beside = (other for other in panel.parts_at.get(end, ()) if other is not part)
    return any(
        other.conducts in (Conducts.LOAD, Conducts.JOINS)
        and (other.b if other.a == end else other.a) in panel.wires_at
        for other in beside
    )


def _is_one_of(panel: Panel, part: Part, throws: list[Part], common: str) -> bool:
    """Whether it is one throw of a change-over of which another is used, or one of several
    outputs."""
    return throws[0].mechanism != part.mechanism or _used(panel, throws, common)


def _sharing(panel: Panel, part: Part, end: str) -> list[Part]:
    """The other contacts that share this end: throws of a change-over, outputs of one common."""
    return [
        other
        for other in panel.parts_at.get(end, ())
        if other is not part and other.conducts is Conducts.CONTACT
    ]


def _used(panel: Panel, parts: list[Part], common: str) -> bool:
    """Whether one of them, moved as one with the rest, is wired at its own end."""
    return any((other.b if other.a == common else other.a) in panel.wires_at for other in parts)


def _throws_used(panel: Panel, part: Part) -> bool:
    """Whether another throw of the same change-over contact is wired."""
    return any(
        other.mechanism == part.mechanism and _used(panel, [other], end)
        for end in (part.a, part.b)
        for other in _sharing(panel, part, end)
    )
