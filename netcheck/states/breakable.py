"""A behaviour in which things may break, one condition a fault.

Wires that may open are parts like fuses; a welded contact is closed whatever moves it; what is
held in does not drop.  No fault is told from another here: which one comes, and when, is put
in where a question is asked (`single_faults.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from netcheck.model.devices import Mechanism, Part
from netcheck.model.faults import JOINING, OPENING, Fault, FaultKind, blocked_by, joining_parts
from netcheck.model.panel import Panel
from netcheck.network.nodes import Nodes, find_nodes
from netcheck.record import replace
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.grid import Grid
from netcheck.states.machine import Mover
from netcheck.states.open_wires import Unbypassed, with_wires_as_parts
from netcheck.states.split_rails import coils_at_split_rails
from netcheck.states.through_loads import ThroughLoads
from netcheck.states.ways import held_apart


class Breakable(Behaviour):
    """`faults` may come; `came[n]` is the variable that is true while number n is there, and
    `guards[n]` what must hold when it comes: a contact welds while it is closed."""

    def __init__(self, panel: Panel, faults: Sequence[Fault], *, certain: bool = False) -> None:
        self.drawn = panel
        self.faults = faults
        self.came: list[int] = []
        self.guards: list[int] = []
        self.meaning: dict[int, int] = {}
        """For each variable that says whether a supply or winding is live, the condition of it.
        Nearly everything depends on it, and most proofs need not know when it holds."""
        self.in_doubt: dict[int, int] = {}
        """When a coil, by its index, may or may not pull in."""
        self._opens: dict[int, list[int]] = {}
        self._joins: dict[int, int] = {}
        self._welds: dict[int, list[int]] = {}
        self._holds: dict[str, tuple[int, int]] = {}
        self._part_of: dict[int, int] = {}
        if any(fault.wires for fault in faults if fault.kind in OPENING):
            panel, self._part_of = with_wires_as_parts(panel)
            nodes = _each_its_own(panel)
        else:
            nodes = find_nodes(panel)
        joins = joining_parts(self.drawn, faults)
        first = len(panel.parts) - len(self.drawn.parts)
        self._joining = {fault: part.index + first for fault, part in joins.items()}
        more = [replace(part, index=part.index + first) for part in joins.values()]
        panel = replace(panel, parts=(*panel.parts, *more)) if more else panel
        super().__init__(panel, nodes, certain=certain)

    @cached_property
    def any_came(self) -> int:
        """Stands for any fault being there."""
        return self.logic.variable("a fault has come")

    # ---- what breaks ---------------------------------------------------------------------

    def _declare(self) -> None:
        super()._declare()
        for number, fault in enumerate(self.faults):
            came = self.logic.variable(f"fault {number}")
            self.came.append(came)
            self.guards.append(self._take(fault, came))

    def _take(self, fault: Fault, came: int) -> int:
        """Note what a fault does; return when it can come."""
        parts = [self.panel.parts[index] for index in fault.parts]
        if fault.kind in OPENING:
            for index in (*fault.parts, *(self._part_of[wire] for wire in fault.wires)):
                self._opens.setdefault(index, []).append(came)
            return TRUE
        if fault.kind is FaultKind.WELDED:
            for part in parts:
                self._welds.setdefault(part.index, []).append(came)
                for blocked in blocked_by(self.panel, part):
                    self._opens.setdefault(blocked.index, []).append(came)
            return self.logic.all_of([super(Breakable, self).closed(part) for part in parts])
        if fault.kind in JOINING and fault.wires:
            if fault in self._joining:
                self._joins[self._joining[fault]] = came
            return TRUE
        if fault.kind in (FaultKind.HELD_IN, FaultKind.HELD_OUT):
            mover = self._movers[fault.mechanism]
            held_in = fault.kind is FaultKind.HELD_IN
            before = self._holds.get(fault.mechanism, (FALSE, FALSE))
            self._holds[fault.mechanism] = (came, before[1]) if held_in else (before[0], came)
            return mover.state if held_in else mover.state ^ 1
        raise ValueError(f"{fault.kind} cannot come while the panel works")

    def closed(self, part: Part) -> int:
        closed = self._joins.get(part.index)
        if closed is None:
            closed = super().closed(part)
        if part.index in self._welds:
            closed = self.logic.any_of([closed, *self._welds[part.index]])
        if part.index in self._opens:
            whole = [came ^ 1 for came in self._opens[part.index]]
            closed = self.logic.all_of([closed, *whole])
        return closed

    @cached_property
    def shorted(self) -> int:
        """When a wire that is grounded, or shorted to another, shorts a source out."""
        found = []
        for part, came in self._joins.items():
            one, other = (
                self.node(end) for end in (self.panel.parts[part].a, self.panel.parts[part].b)
            )
            for here, there in ((one, other), (other, one)):
                for p in self.circuit.rails_at(here):
                    for q in self.circuit.rails_at(there):
                        if p == q:
                            continue
                        for held in held_apart(self.ways, p, q):
                            path = self._path(here, there, p, q, held.p_is_higher)
                            found.append(self.logic.all_of([came, path, held.condition]))
        return self.logic.any_of(found)

    def _path(self, here: int, there: int, p: int, q: int, p_is_higher: bool) -> int:
        """Current from the higher rail to the lower one, over the fault: diodes block the other
        way round."""
        circuit = self.circuit
        if p_is_higher:
            return self.logic.both(circuit.from_rail(here, p), circuit.to_rail(there, q))
        return self.logic.both(circuit.to_rail(here, p), circuit.from_rail(there, q))

    def energised(self, part: Part) -> int:
        return self._whole(part, super().energised(part))

    def fed_wrongly(self, part: Part) -> int:
        return self._whole(part, super().fed_wrongly(part))

    def _whole(self, part: Part, condition: int) -> int:
        """A load that is open does nothing, whatever it is fed."""
        whole = [came ^ 1 for came in self._opens.get(part.index, ())]
        return self.logic.all_of([condition, *whole]) if whole else condition

    def _attach_one(self, mechanism: Mechanism, mover: Mover) -> None:
        super()._attach_one(mechanism, mover)
        if mechanism.name in self._holds:
            held_in, held_out = self._holds[mechanism.name]
            motion, both = self.machine.motions[mechanism.name], self.logic.both
            self.machine.attach(
                mover,
                may_rise=both(motion.may_rise, held_out ^ 1),
                may_fall=both(motion.may_fall, held_in ^ 1),
                must_rise=both(motion.must_rise, held_out ^ 1),
                must_fall=both(motion.must_fall, held_in ^ 1),
            )

    # ---- sources ---------------------------------------------------------------------------

    def live(self, index: int) -> int:
        before = index in self._live
        live = super().live(index)
        plain = live in (FALSE, TRUE) or self.logic.is_variable(live)
        if before or plain or index not in self._live:
            return live
        name = self.logic.variable(f"{self.panel.sources[index].device} {index} is live")
        self.meaning[name] = live
        self._live[index] = name
        return name

    def _settle(self, free: int, live: int) -> None:
        """Sources met on the way have names by now, and what they mean may lead back here: they
        are looked into, for what only they keep live is dead."""
        outright = self._looked_into(live, free)
        super()._settle(free, outright)
        for name, meaning in self.meaning.items():
            self.meaning[name] = self.logic.substitute(meaning, {free: outright})

    def _looked_into(self, literal: int, free: int) -> int:
        """The same without names of sources that wait for `free`, and that false in them."""
        literal = self.logic.substitute(literal, {free: FALSE})
        waiting = [name for name in self.logic.support(literal) if self._waits(name, free)]
        known = {name: self._looked_into(self.meaning[name], free) for name in waiting}
        return self.logic.substitute(literal, known) if known else literal

    def _waits(self, name: int, free: int) -> bool:
        support = self.logic.support(self.meaning[name]) if name in self.meaning else frozenset()
        return free in support or any(self._waits(other, free) for other in support)

    # ---- what is assumed of the panel ------------------------------------------------------

    def _assume_so(self, literal: int) -> None:
        """What is assumed of relays and loads holds of a panel in which nothing is broken."""
        support = self.logic.support(literal)
        moved = {mover.state for mover in self._movers.values()}
        if support & moved or support.intersection(self.came):
            literal = self.logic.either(literal, self.any_came)
        self.machine.assume(literal)

    # ---- coils that may or may not pull in ---------------------------------------------------

    def uncertain(self, coil: Part) -> int:
        self.in_doubt[coil.index] = doubt = super().uncertain(coil)
        return doubt

    def _feeds_through_loads(self, coil: Part) -> int:
        """No less than what really may: see `Unbypassed` and `split_rails.py`."""
        if not self._part_of:
            return super()._feeds_through_loads(coil)
        cut = [self.came[number] for number in self._cuts.get(coil.index, ())]
        return self.logic.any_of([self._unbypassed.feeds(coil), *cut])

    @cached_property
    def _unbypassed(self) -> ThroughLoads:
        """Ways through loads in the panel with nothing open: an open wire only takes from them,
        unless it cuts a part of a rail off."""
        return Unbypassed(self._whole_grid, self.live)

    @cached_property
    def _whole_grid(self) -> Grid:
        """The panel with nothing open."""
        whole = super().closed
        return Grid(self.drawn, find_nodes(self.drawn), whole, self.logic)

    @cached_property
    def _cuts(self) -> dict[int, list[int]]:
        """For each coil, by its index, the faults that cut off a part of a rail it lies at."""
        cut = {
            part: number
            for number, fault in enumerate(self.faults)
            if fault.kind in OPENING
            for part in (*fault.parts, *(self._part_of[wire] for wire in fault.wires))
        }
        coils = [coil for one in self.panel.mechanisms.values() for coil in one.coils]
        split = coils_at_split_rails(self.panel, self._whole_grid, frozenset(cut), coils)
        return {coil: [cut[part] for part in parts] for coil, parts in split.items()}


def _each_its_own(panel: Panel) -> Nodes:
    of = {terminal: number for number, terminal in enumerate(panel.terminals)}
    return Nodes(of, [(terminal,) for terminal in panel.terminals])
