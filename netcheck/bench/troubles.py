"""A fault of an exercise: its words, and what of the panel is then otherwise."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.model.devices import Conducts, Load, Part, device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record, replace

JOINT = "joint fault"


@record
class Edit:
    """Wires, parts and sources by their numbers.

    `opened` parts never conduct, `dead` loads draw nothing.  `joints` lie between two
    terminals: of nought ohm as good as a wire, of more a bad joint.  `moved` wires have an
    end elsewhere: the wire, the terminal it leaves, the one it comes to.  `volts` is the share
    of its voltage that a source gives.
    """

    wires_out: tuple[int, ...] = ()
    opened: tuple[int, ...] = ()
    dead: tuple[int, ...] = ()
    joints: tuple[tuple[str, str, float], ...] = ()
    moved: tuple[tuple[int, str, str], ...] = ()
    volts: tuple[tuple[int, float], ...] = ()


@record
class Trouble:
    """`sort` is one of: open wire, loose terminal, failed contact, burned-out load, blown fuse,
    short, ground fault, wrong supply, swapped wires."""

    sort: str
    words: str
    edit: Edit


def troubled(panel: Panel, edit: Edit) -> Panel:
    """The panel with the fault in it."""
    parts = list(panel.parts)
    for index in edit.opened:
        parts[index] = _never_closed(parts[index])
    for index in edit.dead:
        parts[index] = replace(parts[index], b=parts[index].a)
    for a, b, ohm in edit.joints:
        parts.append(_joint(len(parts), a, b, ohm))
    shares = dict(edit.volts)
    sources = list(panel.sources)
    for index, share in shares.items():
        poles = {pole: volts * share for pole, volts in sources[index].poles.items()}
        sources[index] = replace(sources[index], poles=poles, volts=sources[index].volts * share)
    return replace(
        panel, parts=tuple(parts), wires=tuple(_wires(panel, edit)), sources=tuple(sources)
    )


def _never_closed(part: Part) -> Part:
    if part.conducts is Conducts.CONTACT or part.mechanism:
        return replace(part, closed=frozenset())
    return replace(part, conducts=Conducts.NOTHING)


def _joint(index: int, a: str, b: str, ohm: float) -> Part:
    if not ohm:
        return Part(index, device_of(a), JOINT, a, b, Conducts.JOINS)
    load = Load("resistor", resistance_ohm=ohm)
    return Part(index, device_of(a), JOINT, a, b, Conducts.LOAD, load=load)


def _wires(panel: Panel, edit: Edit) -> Iterator[Wire]:
    moved: dict[int, dict[str, str]] = {}
    for index, leaves, comes_to in edit.moved:
        moved.setdefault(index, {})[leaves] = comes_to
    for wire in panel.wires:
        if wire.index in edit.wires_out:
            continue
        ends = moved.get(wire.index)
        if ends is None:
            yield wire
        else:
            yield replace(wire, a=ends.get(wire.a, wire.a), b=ends.get(wire.b, wire.b))
