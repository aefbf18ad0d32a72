"""Failures on request: what can go wrong with a wire or a device, and the words for it.

`wire 204 open`, `wire 204 S1:12 to S2:13 open`, `S1:12 loose`, `K1 welded`, `K1:13-14 welded`,
`K1 held in`, `K1 held out`, `S1 open`, `K1:A1-A2 open`, `PLC1:+ to Q1 open`, `FU1 blown`,
`CB1 tripped`, `H1 shorted`, `wire 204 grounded`, `wire 204 shorted to wire 205`.

Facts of the trade, from memory: a contactor is welded when its main poles are; its auxiliary
contacts then follow the coil, but mirror contacts (IEC 60947-4-1 annex F) and force-guided ones
(IEC 60947-5-1 annex L) cannot close.  Where the weld keeps the armature from dropping, the
contactor is held in: a fault of its own, for which of the two happens nobody knows beforehand.
A contact with direct opening (IEC 60947-5-1 annex K) is torn open: it is never welded for good.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum

from netcheck.model.devices import (
    Conducts,
    Device,
    Drive,
    Mechanism,
    Part,
    device_of,
    from_to,
    mark_of,
)
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.wire_names import wire_in_words
from netcheck.model.wires import Wire
from netcheck.reading.near import did_you_mean
from netcheck.reading.unit_mistakes import with_article
from netcheck.record import record, replace


class FaultKind(StrEnum):
    """What has gone wrong, by the word that ends it."""

    OPEN = "open"
    LOOSE = "loose"
    WELDED = "welded"
    HELD_IN = "held in"
    HELD_OUT = "held out"
    BLOWN = "blown"
    TRIPPED = "tripped"
    SHORTED = "shorted"
    GROUNDED = "grounded"


OPENING = frozenset((FaultKind.OPEN, FaultKind.LOOSE, FaultKind.BLOWN, FaultKind.TRIPPED))
"""What takes a way for current away."""
JOINING = frozenset((FaultKind.GROUNDED, FaultKind.SHORTED))
"""What joins wires to something, where it is a fault of wires."""


@record
class Fault:
    """One failure of one panel: its wires and parts by their numbers there, and its words.

    Of a short between wires, `wires` are the two; of `held in` and `held out`, `mechanism`
    is what cannot move.
    """

    kind: FaultKind
    words: str
    wires: tuple[int, ...] = ()
    parts: tuple[int, ...] = ()
    mechanism: str = ""

    @property
    def comes(self) -> str:
        """What happens when it comes: `wire 204 opens`."""
        return f"{self.words.removesuffix(f' {self.kind}')} {_COMES[self.kind]}".strip()


_COMES = {
    FaultKind.OPEN: "opens",
    FaultKind.LOOSE: "comes loose",
    FaultKind.WELDED: "welds",
    FaultKind.HELD_IN: "is held in",
    FaultKind.HELD_OUT: "is held out",
    FaultKind.BLOWN: "blows",
    FaultKind.TRIPPED: "trips",
    FaultKind.SHORTED: "is shorted",
    FaultKind.GROUNDED: "is grounded",
}

_WORDS = (
    r"(?P<what>.+?) (?P<kind>open|loose|welded|held in|held out|blown|tripped|shorted|grounded)"
)
_SHORTED_TO = r"(?P<a>wire .+?) shorted to (?P<b>wire .+)"
EXAMPLES = "`K1 welded`, `wire 204 open`, `S1 open`, `FU1 blown`, `wire 204 grounded`"
MOST_LISTED = 8


# ---- from words ------------------------------------------------------------------------------


def fault_in_words(panel: Panel, words: str) -> Fault:
    """The fault that words name.  Raises NameMistake, with near names or what can be meant."""
    said = " ".join(words.split())
    between = re.fullmatch(_SHORTED_TO, said)
    if between is not None:
        a, b = (wire_in_words(panel.wires, between[side]) for side in "ab")
        return shorted_wires(panel, a, b)
    found = re.fullmatch(_WORDS, said)
    if found is None:
        raise NameMistake(f"`{words}` is no fault", f"write one like {EXAMPLES}")
    what, kind = found["what"], FaultKind(found["kind"])
    if what == "wire" or what.startswith("wire "):
        return _of_wire(panel, wire_in_words(panel.wires, what), kind)
    device = _device(panel, device_of(what))
    if kind is FaultKind.LOOSE:
        return loose(panel, _terminal(device, what))
    if kind in (FaultKind.HELD_IN, FaultKind.HELD_OUT):
        return held(_relay(panel, device), kind)
    if ":" in what:
        return of_parts(panel, [_part(panel, device, what)], kind)
    return _of_device(panel, device, kind)


def _of_wire(panel: Panel, wire: Wire, kind: FaultKind) -> Fault:
    if kind is FaultKind.OPEN:
        return wire_open(panel, wire)
    if kind is FaultKind.GROUNDED:
        return grounded(panel, wire)
    raise NameMistake(
        f"a wire is never `{kind}`",
        "a wire can be open, grounded, or `wire 204 shorted to wire 205`",
    )


def _of_device(panel: Panel, device: Device, kind: FaultKind) -> Fault:
    """A fault of the device as a whole: of its main poles, of a fuse, or of its only part."""
    parts = [panel.parts[index] for index in device.parts]
    if kind is FaultKind.WELDED:
        poles = [part for part in parts if part.role == "main pole"]
        fit = poles or [part for part in parts if can_weld(part)]
        several = len(fit) > 1 and not poles
    elif kind in (FaultKind.BLOWN, FaultKind.TRIPPED):
        fit = [part for part in parts if _is_protection(panel, part)]
        several = False
    else:
        fit = [part for part in parts if _fits(panel, part, kind)]
        several = len(fit) > 1 and len({part.role for part in fit}) > 1
        several = several or (len(fit) > 1 and fit[0].conducts is Conducts.CONTACT)
    if not fit:
        raise NameMistake(
            f"{device.name} is {with_article(device.kind)}: it is never `{kind}`",
            _can_be(panel, parts),
        )
    if several:
        listed = ", ".join(f"`{_way(part)} {kind}`" for part in fit[:MOST_LISTED])
        raise NameMistake(
            f"{device.name} has {len(fit)} places that may be {kind}", f"say which: {listed}"
        )
    return of_parts(panel, fit, kind, device.name)


def _device(panel: Panel, name: str) -> Device:
    found = panel.devices.get(name)
    if found is None:
        raise NameMistake(
            f"there is no device {name}",
            did_you_mean(name, panel.devices, f"write {EXAMPLES}", 0.5),
        )
    return found


def _terminal(device: Device, text: str) -> str:
    if text in device.terminals:
        return text
    marks = [mark_of(terminal) for terminal in device.terminals]
    has = f"it has {', '.join(marks[:MOST_LISTED])}"
    raise NameMistake(f"{device.name} has no terminal {mark_of(text)}", has)


def _part(panel: Panel, device: Device, text: str) -> Part:
    """The part of `K1:13-14`, or of `PLC1:+ to Q1`."""
    first, to, last = mark_of(text).partition(" to ")
    marks = [first, last.removeprefix(f"{device.name}:")] if to else first.split("-")
    ends = {f"{device.name}:{mark}" for mark in marks}
    parts = [panel.parts[index] for index in device.parts]
    real = [part for part in parts if part.conducts not in (Conducts.BOND, Conducts.NOTHING)]
    fit = [part for part in real if {part.a, part.b} == ends]
    if fit:
        return next((part for part in fit if part.load is not None), fit[0])
    listed = ", ".join(_way(part) for part in real[:MOST_LISTED])
    raise NameMistake(
        f"there is no way through {device.name} from {' to '.join(marks)}",
        f"its ways: {listed}" if listed else "nothing leads through it",
    )


def _relay(panel: Panel, device: Device) -> Mechanism:
    for name in device.mechanisms:
        if panel.mechanisms[name].moved_by_coil:
            return panel.mechanisms[name]
    raise NameMistake(
        f"{device.name} is {with_article(device.kind)}, with no coil",
        "what has a coil can be held in or out",
    )


def _is_protection(panel: Panel, part: Part) -> bool:
    return _is_moved_by_hand(panel, part) and part.conducts is Conducts.JOINS


def moves_with_poles(panel: Panel, part: Part) -> bool:
    """Whether a contact stands as the poles of its breaker or disconnect do."""
    return _is_moved_by_hand(panel, part) and part.conducts is Conducts.CONTACT


def _is_moved_by_hand(panel: Panel, part: Part) -> bool:
    mechanism = panel.mechanisms.get(part.mechanism)
    return mechanism is not None and mechanism.drive is Drive.PROTECTION


def _fits(panel: Panel, part: Part, kind: FaultKind) -> bool:
    if kind is FaultKind.SHORTED:
        return part.load is not None
    if kind is FaultKind.WELDED:
        return can_weld(part)
    if kind in (FaultKind.BLOWN, FaultKind.TRIPPED):
        return _is_protection(panel, part)
    if kind is FaultKind.OPEN:
        return part.conducts not in (Conducts.BOND, Conducts.NOTHING)
    return False


def can_weld(part: Part) -> bool:
    """Whether a part is a contact that may stay closed.  Transistors fail so too."""
    contact = part.conducts is Conducts.CONTACT and bool(part.mechanism)
    return contact and not part.value("direct_opening")


def _can_be(panel: Panel, parts: Sequence[Part]) -> str:
    kinds = (
        FaultKind.OPEN, FaultKind.WELDED, FaultKind.BLOWN, FaultKind.SHORTED,
    )  # fmt: skip
    fit = [kind for kind in kinds if any(_fits(panel, part, kind) for part in parts)]
    return f"it can be {', '.join(fit)}" if fit else f"write {EXAMPLES}"


def _way(part: Part) -> str:
    return f"{part.device}:{from_to(part.a, part.b)}"


# ---- faults as they are made -------------------------------------------------------------------


def wire_open(panel: Panel, wire: Wire) -> Fault:
    return Fault(FaultKind.OPEN, f"{panel.wire_name(wire)} open", wires=(wire.index,))


def loose(panel: Panel, terminal: str) -> Fault:
    """Every wire on a terminal open at once."""
    wires = tuple(wire.index for wire in panel.wires_at.get(terminal, ()))
    return Fault(FaultKind.LOOSE, f"{terminal} loose", wires=wires)


def grounded(panel: Panel, wire: Wire) -> Fault:
    return Fault(FaultKind.GROUNDED, f"{panel.wire_name(wire)} grounded", wires=(wire.index,))


def shorted_wires(panel: Panel, a: Wire, b: Wire) -> Fault:
    words = f"{panel.wire_name(a)} shorted to {panel.wire_name(b)}"
    return Fault(FaultKind.SHORTED, words, wires=(a.index, b.index))


def welded(panel: Panel, part: Part) -> Fault:
    return of_parts(panel, [part], FaultKind.WELDED)


def held(mechanism: Mechanism, kind: FaultKind) -> Fault:
    return Fault(kind, f"{mechanism.name} {kind}", mechanism=mechanism.name)


def of_parts(panel: Panel, parts: Sequence[Part], kind: FaultKind, name: str = "") -> Fault:
    """The fault of one part, `K1:13-14 welded`, or of several that go together, `K1 welded`."""
    for part in parts:
        if not _fits(panel, part, kind):
            raise NameMistake(f"{_way(part)} is never `{kind}`", _can_be(panel, [part]))
    return Fault(kind, f"{name or _way(parts[0])} {kind}", parts=tuple(p.index for p in parts))


def blocked_by(panel: Panel, part: Part) -> tuple[Part, ...]:
    """The contacts that cannot close while this one is welded: mirror contacts where it is a
    main pole, and of force-guided ones those that are closed only where it is open."""
    device = panel.devices[part.device]
    forced = bool(device.values.get("forced"))
    contacts = (panel.parts[index] for index in device.parts)
    return tuple(
        other
        for other in contacts
        if other.conducts is Conducts.CONTACT
        and other.mechanism == part.mechanism
        and not other.closed & part.closed
        and (forced or (part.role == "main pole" and other.value("mirror")))
    )


# ---- the panel with a fault there for good -------------------------------------------------------


def broken(panel: Panel, fault: Fault) -> Panel:
    """The panel with the fault there for good."""
    if fault.kind in (FaultKind.HELD_IN, FaultKind.HELD_OUT):
        return holding(panel, fault.mechanism, int(fault.kind is FaultKind.HELD_IN))
    if fault.kind in JOINING and fault.wires:
        more = joining_parts(panel, [fault]).values()
        return replace(panel, parts=(*panel.parts, *more))
    if fault.wires or fault.kind is FaultKind.LOOSE:
        gone = frozenset(fault.wires)
        return replace(panel, wires=tuple(w for w in panel.wires if w.index not in gone))
    return replace(panel, parts=tuple(_broken_parts(panel, fault)))


def holding(panel: Panel, mechanism: str, position: int) -> Panel:
    """The panel with a mechanism kept in one position for good."""
    kept = replace(panel.mechanisms[mechanism], held=position)
    return replace(panel, mechanisms={**panel.mechanisms, mechanism: kept})


def _wires(panel: Panel, fault: Fault) -> list[Wire]:
    """The wires of a fault, in its order.  A panel that was mended leaves numbers out."""
    known = {wire.index: wire for wire in panel.wires}
    return [known[index] for index in fault.wires]


def _broken_parts(panel: Panel, fault: Fault) -> list[Part]:
    parts = list(panel.parts)
    for index in fault.parts:
        part = parts[index]
        if fault.kind is FaultKind.WELDED:
            everywhere = frozenset(range(len(panel.mechanisms[part.mechanism].positions)))
            parts[index] = replace(part, closed=everywhere)
            for blocked in blocked_by(panel, part):
                parts[blocked.index] = replace(blocked, closed=frozenset())
        elif fault.kind is FaultKind.SHORTED:
            short = replace(part, role="internal fault", conducts=Conducts.JOINS, load=None)
            parts.append(replace(short, index=len(parts), mechanism=""))
        elif part.conducts is Conducts.CONTACT or part.mechanism:
            parts[index] = replace(part, closed=frozenset())
        elif part.load is not None:
            # What it was made for stays known; nothing reaches its other end.
            parts[index] = replace(part, b=part.a)
        else:
            parts[index] = replace(part, conducts=Conducts.NOTHING)
    for index in following_a_trip(panel, fault):
        part = parts[index]
        everywhere = frozenset(range(len(panel.mechanisms[part.mechanism].positions)))
        parts[index] = replace(part, closed=everywhere if 0 in part.closed else frozenset())
    return parts


def following_a_trip(panel: Panel, fault: Fault) -> tuple[int, ...]:
    """The contacts, by their numbers, that a trip moves with the poles."""
    if fault.kind not in (FaultKind.TRIPPED, FaultKind.BLOWN):
        return ()
    devices = {panel.parts[index].device for index in fault.parts}
    return tuple(
        part.index
        for part in panel.parts
        if part.device in devices and moves_with_poles(panel, part)
    )


def _joining(panel: Panel, faults: Iterable[Fault]) -> Iterator[tuple[Fault, str, str]]:
    """For each fault that joins what should be apart, the two terminals that it joins.

    A wire is grounded to the grounded pole of the source that it has a circuit in common with:
    the first ground fault on a floating source joins nothing.
    """
    at_ground: list[tuple[str, set[str]]] | None = None
    for fault in faults:
        if fault.kind is FaultKind.SHORTED and fault.wires:
            a, b = _wires(panel, fault)
            yield fault, a.a, b.a
        elif fault.kind is FaultKind.GROUNDED:
            at_ground = _grounded_circuits(panel) if at_ground is None else at_ground
            (wire,) = _wires(panel, fault)
            pole = next((pole for pole, circuit in at_ground if wire.a in circuit), None)
            if pole is not None:
                yield fault, wire.a, pole


def _grounded_circuits(panel: Panel) -> list[tuple[str, set[str]]]:
    """Each grounded pole, and the terminals that wires, contacts, loads and sources, but no
    grounding, connect to it."""
    grounded = [s for s in panel.sources if s.grounded_pole]
    return [
        (pole := f"{source.device}:{source.grounded_pole}", _connected(panel, pole))
        for source in grounded
    ]


def _connected(panel: Panel, start: str) -> set[str]:
    poles: dict[str, list[str]] = {}
    for source in panel.sources:
        own = [f"{source.device}:{pole}" for pole in source.poles]
        for pole in own:
            poles.setdefault(pole, []).extend(own)
    seen, todo = {start}, [start]
    while todo:
        at = todo.pop()
        onwards = [*poles.get(at, ())]
        for wire in panel.wires_at.get(at, ()):
            onwards += (wire.a, wire.b)
        for part in panel.parts_at.get(at, ()):
            if part.conducts not in (Conducts.BOND, Conducts.NOTHING):
                onwards += (part.a, part.b)
        todo += (new := set(onwards) - seen)
        seen |= new
    return seen


_ROLES = {FaultKind.GROUNDED: "ground fault", FaultKind.SHORTED: "fault between wires"}


def joining_parts(panel: Panel, faults: Iterable[Fault]) -> dict[Fault, Part]:
    """For each fault that joins something the part that does, numbered on from the panel's own."""
    return {
        fault: Part(place, device_of(a), _ROLES[fault.kind], a, b, Conducts.JOINS)
        for place, (fault, a, b) in enumerate(_joining(panel, faults), len(panel.parts))
    }
