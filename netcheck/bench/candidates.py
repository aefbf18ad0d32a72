"""What may be wrong on the ways of some loads: one fault each, and how it is put in.

Opens and stuck contacts come first, for they are tried quickly.  The others are tried on a panel
that is operated (see `trial.py`), since they may open a fuse.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from netcheck.bench.drills import swaps_of
from netcheck.bench.likelihoods import Sort
from netcheck.bench.troubles import Edit, troubled
from netcheck.bench.walks import Walk
from netcheck.bench.whereabouts import ENCLOSED
from netcheck.model.devices import Conducts, Drive, Mechanism, Part, device_of, from_to
from netcheck.model.faults import (
    Fault,
    FaultKind,
    broken,
    can_weld,
    fault_in_words,
    grounded,
    held,
    holding,
    joining_parts,
    of_parts,
    welded,
    wire_open,
)
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.supposed import in_breaking_order
from netcheck.model.wires import Wire
from netcheck.record import record, replace

JOINT_SHARES = (1.0, 0.1, 4.0)
"""Of a bad joint's ohm to those of the load behind it: the one in the middle first, then from a
load that hardly notices to one that gets a fifth of its volts."""
FAIL_SHORT = frozenset(("diode", "suppressor", "capacitor"))
"""Kinds of device that fail short more often than open: from memory."""
SUPPLY_SHARES = (0.5, 0.8, 0.2, 0.05)


@record
class Candidate:
    """`changes` are the ways it may be, of which one is the case: of a bad joint nobody knows the
    ohms.  `held` is a source that is not there; `operated` wants a panel that is operated."""

    words: str
    sort: Sort
    location: str
    faults: tuple[Fault, ...] = ()
    edits: tuple[Edit, ...] = ()
    held: str = ""
    operated: bool = False
    wires: tuple[int, ...] = ()
    both: tuple[Candidate, ...] = ()

    @property
    def is_soft(self) -> bool:
        """Whether a load may get some of its volts, so that on and off is a matter of degree."""
        return len(self.edits) > 1

    @property
    def touched(self) -> frozenset[int]:
        """The wires that it opens, grounds or moves: of two that are swapped both."""
        moved = (wire for edit in self.edits for wire, _, _ in edit.moved)
        return frozenset((*self.wires, *moved))

    @property
    def may_short(self) -> bool:
        """Whether it joins what is apart, or keeps it joined."""
        return self.sort is Sort.WELD or (self.operated and not self.held)

    def put_into(self, panel: Panel) -> tuple[Panel, ...]:
        """The panel in each of the ways it may then be."""
        return tuple(self.put_in(panel, way) for way in range(len(self.edits) or 1))

    def put_in(self, panel: Panel, way: int) -> Panel:
        """The panel in one of the ways it may then be."""
        for fault in in_breaking_order(self.faults):
            panel = broken(panel, fault)
        if self.held:
            panel = holding(panel, self.held, 0)
        return troubled(panel, self.edits[way]) if self.edits else panel

    def and_(self, other: Candidate) -> Candidate:
        """Both at once.  No more than one is a source that is not there; where both are put in by
        edits, they are shorts."""
        return Candidate(
            f"{self.words} and {other.words}",
            Sort.OTHER,
            ", ".join(dict.fromkeys(p for p in (self.location, other.location) if p)),
            (*self.faults, *other.faults),
            _together(self.edits, other.edits),
            self.held or other.held,
            self.operated or other.operated,
            (*self.wires, *other.wires),
            (self, other),
        )


def _together(some: tuple[Edit, ...], others: tuple[Edit, ...]) -> tuple[Edit, ...]:
    if not some or not others:
        return some or others
    (one,), (other,) = some, others
    return (replace(one, joints=(*one.joints, *other.joints)),)


def distinct(found: Iterable[Candidate]) -> list[Candidate]:
    """Each by its words once."""
    return list({one.words: one for one in reversed([*found])}.values())[::-1]


# ---- opens, and contacts that stick ------------------------------------------------------------


def plain(panel: Panel, ways: Iterable[Walk], *, stays_on: bool) -> Iterator[Candidate]:
    """What takes a way away; with `stays_on` also what keeps one closed."""
    for way in ways:
        for passed in way.passed:
            if isinstance(passed.by, Wire):
                yield _open_wire(panel, passed.by)
            else:
                for fault in _faults_of(panel, passed.by, stays_on):
                    yield _of_device(panel, passed.by, fault)


def _open_wire(panel: Panel, wire: Wire) -> Candidate:
    fault, place = wire_open(panel, wire), outside(panel, wire)
    sort = Sort.FIELD_WIRE if place else Sort.WIRE
    return Candidate(fault.words, sort, place or "panel", (fault,), wires=(wire.index,))


def outside(panel: Panel, wire: Wire) -> str:
    """Where a wire leaves the panel to; empty where it stays in it."""
    places = {panel.devices[device_of(end)].location for end in (wire.a, wire.b)}
    return min(places - ENCLOSED, default="")


def _faults_of(panel: Panel, by: Part, stays_on: bool) -> Iterator[Fault]:
    mechanism = panel.mechanisms.get(by.mechanism)
    device = panel.devices[by.device]
    protects = mechanism is not None and mechanism.drive is Drive.PROTECTION
    if protects and device.kind != "disconnect":
        kind = "blown" if device.kind == "fuse" else "tripped"
        try:
            yield fault_in_words(panel, f"{by.device} {kind}")
        except NameMistake:
            yield of_parts(panel, [by], FaultKind.OPEN)
        return
    yield of_parts(panel, [by], FaultKind.OPEN)
    for relay in _relays_of(panel, by):
        yield held(relay, FaultKind.HELD_OUT)
        if stays_on:
            yield held(relay, FaultKind.HELD_IN)
    if stays_on and by.conducts is Conducts.CONTACT and can_weld(by):
        yield welded(panel, by)


def _relays_of(panel: Panel, by: Part) -> Iterator[Mechanism]:
    """What a contact is moved by, or a coil moves."""
    for name, mechanism in panel.mechanisms.items():
        if mechanism.moved_by_coil and (name == by.mechanism or by.index in mechanism.coils):
            yield mechanism


def _of_device(panel: Panel, by: Part, fault: Fault) -> Candidate:
    device = panel.devices[by.device]
    return Candidate(fault.words, _sort(panel, by, fault), device.location, (fault,))


def _sort(panel: Panel, by: Part, fault: Fault) -> Sort:
    if fault.kind in (FaultKind.BLOWN, FaultKind.TRIPPED):
        return Sort.PROTECTION
    if fault.kind in (FaultKind.WELDED, FaultKind.HELD_IN):
        return Sort.WELD
    if fault.kind is FaultKind.HELD_OUT:
        return Sort.CONTACT
    if by.load is not None:
        return Sort.LOAD
    mechanism = panel.mechanisms.get(by.mechanism)
    if mechanism is None or mechanism.drive is Drive.PROTECTION:
        return Sort.OTHER
    by_hand = mechanism.drive in (Drive.HAND, Drive.PROCESS)
    return Sort.SWITCH if by_hand else Sort.CONTACT


# ---- what still conducts, or conducts too much ---------------------------------------------------


def joints(panel: Panel, ways: Iterable[Walk]) -> Iterator[Candidate]:
    """A joint at either end of a wire, or a tired contact beside it, that lets too little by."""
    for way in ways:
        load = way.load.load
        if load is None or not load.volts:
            continue
        ohm = load.volts / (load.current_a or _usual_a(load.volts))
        for passed in way.passed:
            if isinstance(by := passed.by, Wire):
                edits = (
                    Edit((by.index,), joints=((by.a, by.b, ohm * share),)) for share in JOINT_SHARES
                )
                words = f"high resistance at an end of {panel.wire_name(by)}"
                place = outside(panel, by) or "panel"
                yield Candidate(
                    words, Sort.JOINT, place, (), tuple(edits), "", True, (by.index,)
                )  # fmt: skip


def _usual_a(volts: float) -> float:
    """Of a load that does not say what it draws: 5 W, as a pilot lamp.  From memory."""
    return 5.0 / volts


def supplies(panel: Panel, ways: Iterable[Walk]) -> Iterator[Candidate]:
    """The sources at the ends of these ways, missing or low."""
    ends = {device_of(end) for way in ways for end in (way.start, way.end)}
    for index, source in enumerate(panel.sources):
        if source.device not in ends:
            continue
        place = panel.devices[source.device].location
        if source.mechanism and panel.mechanisms[source.mechanism].held is None:
            words = f"{source.device} gives nothing"
            yield Candidate(words, Sort.SUPPLY, place, held=source.mechanism, operated=True)
        edits = tuple(Edit(volts=((index, share),)) for share in SUPPLY_SHARES)
        yield Candidate(
            f"{source.device} gives too few volts", Sort.SUPPLY, place, (), edits, "", True
        )


def shorts(panel: Panel, ways: Iterable[Walk]) -> Iterator[Candidate]:
    """Loads shorted and wires grounded, where a fuse or breaker stands before them."""
    behind = [(way, by) for way in ways for by in _protected(panel, way)]
    at_ground = grounds(panel, [by for _, by in behind if isinstance(by, Wire)])
    for way, by in behind:
        if isinstance(by, Wire):
            if by.index in at_ground:
                yield at_ground[by.index]
        elif by.index == way.load.index:
            for part in (by, *_across(panel, by)):
                words = f"{part.device}:{from_to(part.a, part.b)} shorted"
                place = panel.devices[part.device].location
                edit = Edit(joints=((part.a, part.b, 0.0),))
                yield Candidate(words, Sort.SHORT, place, (), (edit,), "", True)


def _across(panel: Panel, load: Part) -> Iterator[Part]:
    """What is wired across a load and fails short as a rule."""
    first, last = (_joined_to(panel, end) for end in (load.a, load.b))
    beside = {part.index: part for end in first for part in panel.parts_at.get(end, ())}
    for part in beside.values():
        ends = {part.a, part.b}
        if panel.devices[part.device].kind in FAIL_SHORT and ends & first and ends & last:
            yield part


def _joined_to(panel: Panel, end: str) -> set[str]:
    """What wires alone join to a terminal."""
    seen, todo = {end}, [end]
    while todo:
        at = todo.pop()
        new = {other for wire in panel.wires_at.get(at, ()) for other in (wire.a, wire.b)} - seen
        seen |= new
        todo += new
    return seen


def unprotected(panel: Panel, ways: Sequence[Walk]) -> Iterator[Candidate]:
    """Wires ahead of every fuse and breaker, grounded or swapped: what opens on them lies outside
    of the panel."""
    ahead = {by.index: by for way in ways for by in _unprotected(panel, way)}
    yield from grounds(panel, ahead.values()).values()
    yield from (one for one in swapped(panel, ways) if one.wires[0] in ahead)


def _unprotected(panel: Panel, way: Walk) -> Iterator[Wire]:
    for one in way.passed:
        if isinstance(one.by, Wire):
            yield one.by
        elif protects(panel, one.by) or one.by is way.load:
            return


def grounds(panel: Panel, wires: Iterable[Wire]) -> dict[int, Candidate]:
    """Of each wire that can be; by their numbers."""
    every = {wire.index: wire for wire in wires}
    at_ground = joining_parts(panel, [grounded(panel, wire) for wire in every.values()])
    return {
        fault.wires[0]: _grounded(panel, every[fault.wires[0]], fault, part)
        for fault, part in at_ground.items()
    }


def _protected(panel: Panel, way: Walk) -> Sequence[Wire | Part]:
    """What lies behind the first fuse or breaker, and before the last of the way home."""
    passed = [one.by for one in way.passed]
    middle = next(at for at, by in enumerate(passed) if by is way.load)
    places = [at for at, by in enumerate(passed) if protects(panel, by)]
    before = [at for at in places if at < middle]
    after = [at for at in places if at > middle]
    if not before:
        return []
    return passed[before[0] + 1 : after[-1] if after else len(passed)]


def protects(panel: Panel, by: Wire | Part) -> bool:
    return isinstance(by, Part) and panel.devices[by.device].kind in ("fuse", "breaker")


def _grounded(panel: Panel, wire: Wire, fault: Fault, by: Part) -> Candidate:
    edit, place = Edit(joints=((by.a, by.b, 0.0),)), outside(panel, wire) or "panel"
    return Candidate(fault.words, Sort.GROUND, place, (), (edit,), "", True, (wire.index,))


def swapped(panel: Panel, ways: Sequence[Walk]) -> Iterator[Candidate]:
    """A wire of a way, and the one on the next terminal of the same device."""
    touched = {end for way in ways for step in way.passed for end in (step.start, step.end)}
    wires = {p.by.index: p.by for way in ways for p in way.passed if isinstance(p.by, Wire)}
    for wire in wires.values():
        apart = touched - _ends_beside(panel, wire)
        place = outside(panel, wire) or "panel"
        for beside in (wire, *_ahead_of(panel, wire)):
            for one in swaps_of(panel, beside, apart):
                moved = tuple(index for index, _, _ in one.edit.moved)
                if wire.index in moved:
                    yield Candidate(
                        one.words, Sort.SWAPPED, place, (), (one.edit,), "", True, (wire.index,)
                    )


def _ahead_of(panel: Panel, wire: Wire) -> Iterator[Wire]:
    """The wires on the terminals before its own."""
    for end in (wire.a, wire.b):
        terminals = panel.devices[device_of(end)].terminals
        at = terminals.index(end)
        if at:
            yield from panel.wires_at.get(terminals[at - 1], ())


def _ends_beside(panel: Panel, wire: Wire) -> set[str]:
    """Terminals of the devices at its ends: two wires of one circuit may be swapped too."""
    return {t for end in (wire.a, wire.b) for t in panel.devices[device_of(end)].terminals}


def welds(panel: Panel, ways: Iterable[Walk]) -> Iterator[Candidate]:
    """Contacts that stay closed, put into a panel in which that may be a short."""
    for way in ways:
        for passed in way.passed:
            by = passed.by
            if isinstance(by, Part) and by.conducts is Conducts.CONTACT and can_weld(by):
                fault = welded(panel, by)
                place = panel.devices[by.device].location
                yield Candidate(fault.words, Sort.WELD, place, (fault,), operated=True)
