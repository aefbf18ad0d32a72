"""Two behaviours in one machine, moved by the same hands.

Switches of one name are one switch.  So are relays that move on the same conditions in both
texts: what hangs only on those is the same without any proof, and is not proved again.
Relays that do not are there twice, each in its own circuit.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Literal

from netcheck.record import draft, fresh
from netcheck.revisions.pairs import Pairs
from netcheck.states.answers import Answer, Instant, Reached
from netcheck.states.behaviour import Behaviour
from netcheck.states.cone import Slicer
from netcheck.states.diagrams import Diagrams, OutOfBudget
from netcheck.states.expressions import FALSE, Logic
from netcheck.states.machine import Machine, Motion, Switch
from netcheck.states.proof import Prover
from netcheck.states.truth_table import Tables

Side = Literal["before", "now"]

TABLE_VARIABLES = 12
MOST_DIAGRAM_STEPS = 20_000


class Joint:
    """The machine of both, and each one's expressions in its terms."""

    def __init__(
        self, old: Behaviour, new: Behaviour, pairs: Pairs, apart: Collection[str] = ()
    ) -> None:
        """`apart` are relays to have twice though they are the same."""
        self.old, self.new, self.pairs = old, new, pairs
        self.apart: set[str] = set(apart)
        """Relays, by their old names, that each text has for itself."""
        while differing := self._built():
            self.apart |= differing
        self.prover = Prover(self.machine)
        self._slicer = Slicer(self.machine)

    # ---- one machine of two ------------------------------------------------------------------

    def _built(self) -> set[str]:
        """Build it; returns the shared relays that turn out to move on other conditions."""
        self.machine = Machine()
        self.unlike: set[str] = set()
        """Switches that have other positions than before, and cannot be one."""
        self._carriers = {
            "before": _Carrier(self.old.logic, self.machine.logic),
            "now": _Carrier(self.new.logic, self.machine.logic),
        }
        self._switches()
        motions = self._movers()
        logic = self.machine.logic
        differing = set()
        for name, (before, now) in motions.items():
            if before and now and not all(map(self.equal, before, now)):
                differing.add(name)
        if differing:
            return differing
        for name, (before, now) in motions.items():
            found = before or now
            assert found is not None
            may_rise, may_fall, must_rise, must_fall = found
            self.machine.attach(
                self.machine.movers[name],
                may_rise=may_rise,
                may_fall=may_fall,
                must_rise=must_rise,
                must_fall=must_fall,
            )
        assumed = [self._carriers["before"].of(one) for one in self.old.machine.constraints]
        assumed += [self._carriers["now"].of(one) for one in self.new.machine.constraints]
        for literal in dict.fromkeys(assumed):
            if literal not in self.machine.constraints:
                self.machine.assume(literal)
        assert logic is self.machine.logic
        return set()

    def _switches(self) -> None:
        news = {self.pairs.mechanism(s.name): s for s in self.new.machine.switches.values()}
        for name in dict.fromkeys((*self.old.machine.switches, *news)):
            old, new = self.old.machine.switches.get(name), news.get(name)
            if old is None or new is None:
                one = old or new
                assert one is not None
                self._declare(name, one, [(one, "before" if old else "now")])
            elif len(old.positions) >= len(new.positions) and _is_finer(old, new):
                self._declare(name, old, [(old, "before"), (new, "now")])
            elif _is_finer(new, old):
                self._declare(name, new, [(old, "before"), (new, "now")])
            else:
                self.unlike.add(name)
                self._declare(f"{name} before", old, [(old, "before")])
                self._declare(f"{name} now", new, [(new, "now")])

    def _declare(self, name: str, finer: Switch, sides: Sequence[tuple[Switch, Side]]) -> None:
        """A switch with the positions of `finer`, and what each side sees of it."""
        resting = {finer.positions.index(s.positions[i]) for s, _ in sides for i in s.resting}
        start = {finer.positions.index(s.positions[i]) for s, _ in sides for i in s.start}
        made = self.machine.switch(
            name, finer.positions, resting=resting, start=start, moves=finer.moves
        )
        for switch, side in sides:
            seen = _seen_as(finer, switch)
            for place, bit in enumerate(switch.bits):
                where = [index for index, as_that in enumerate(seen) if as_that >> place & 1]
                self._carriers[side].put(bit, self.machine.in_positions(made, where))

    def _movers(self) -> dict[str, tuple[_Moves | None, _Moves | None]]:
        """All are declared; for each its motion on either side."""
        news = {self.pairs.mechanism(m.name): m for m in self.new.machine.movers.values()}
        olds = self.old.machine.movers
        owned: dict[str, tuple[str | None, str | None]] = {}
        for name in dict.fromkeys((*olds, *news)):
            old, new = olds.get(name), news.get(name)
            if old and new and (old.start, old.timed) != (new.start, new.timed):
                self.apart.add(name)
            if old and new and name not in self.apart:
                owned[name] = (old.name, new.name)
                both = self.machine.mover(name, start=old.start, timed=old.timed)
                self._carriers["before"].put(old.state, both.state)
                self._carriers["now"].put(new.state, both.state)
                continue
            twice = bool(old and new)
            for mover, side in ((old, "before"), (new, "now")):
                if mover is not None:
                    called = f"{name} {side}" if twice else name
                    made = self.machine.mover(called, start=mover.start, timed=mover.timed)
                    owned[called] = (mover.name, None) if side == "before" else (None, mover.name)
                    self._carriers[side].put(mover.state, made.state)
        return {
            name: (
                self._moves("before", self.old.machine.motions[old]) if old else None,
                self._moves("now", self.new.machine.motions[new]) if new else None,
            )
            for name, (old, new) in owned.items()
        }

    def _moves(self, side: Side, motion: Motion) -> _Moves:
        of = self._carriers[side].of
        return (
            of(motion.may_rise),
            of(motion.may_fall),
            of(motion.must_rise),
            of(motion.must_fall),
        )

    # ---- questions -----------------------------------------------------------------------------

    def of(self, side: Side, literal: int) -> int:
        """An expression of one side's logic in the joint one.  KeyError for an unknown variable."""
        return self._carriers[side].of(literal)

    def differ(self, a: int, b: int) -> int:
        """True where two expressions of the joint logic have not the same value."""
        logic = self.machine.logic
        return logic.either(logic.both(a, b ^ 1), logic.both(a ^ 1, b))

    def equal(self, a: int, b: int) -> bool:
        """Whether two expressions are the same whatever moves; False also if too large to tell."""
        return a == b or self.never(self.differ(a, b))

    def never(self, literal: int) -> bool:
        logic = self.machine.logic
        support = sorted(logic.support(literal))
        if literal == FALSE:
            return True
        if len(support) <= TABLE_VARIABLES:
            return not Tables(logic, support).of(literal)
        try:
            return Diagrams(support, MOST_DIAGRAM_STEPS).of(logic, literal) == FALSE
        except OutOfBudget:
            return False

    def can_happen(
        self, literal: int, at: Instant = "settled", prover: Prover | None = None
    ) -> Answer:
        """Whether it can, timers that run on both sides taken to run out together.

        `prover` is for who wants less work spent on it than this one's own spends.
        """
        wanted = self.machine.logic.all_of([literal, *self._timers_agree()])
        return (prover or self.prover).can_happen(wanted, at=at)

    def _timers_agree(self) -> Iterable[int]:
        """Of timers that are there twice: run on one side only, or out on both."""
        movers, motions = self.machine.movers, self.machine.motions
        for name in sorted(self.apart):
            pair = [movers.get(f"{name} before"), movers.get(f"{name} now")]
            if pair[0] is None or pair[1] is None or not (pair[0].timed and pair[1].timed):
                continue
            runs = [motions[mover.name].may_rise for mover in pair if mover]
            apart = self.differ(pair[0].state, pair[1].state)
            yield self.machine.logic.either(self.differ(*runs), apart ^ 1)

    def depends_on(self, literal: int) -> frozenset[str]:
        """The names of all switches and relays that have a say in it."""
        return self._slicer.reach([literal])

    def value(self, literal: int, reached: Reached) -> bool:
        """Its value in the state that was reached; what that does not name is at rest."""
        values: dict[int, bool] = {}
        for switch in self.machine.switches.values():
            held = reached.state.get(switch.name)
            index = switch.positions.index(held) if isinstance(held, str) else 0
            for place, bit in enumerate(switch.bits):
                values[bit] = bool(index >> place & 1)
        for mover in self.machine.movers.values():
            values[mover.state] = bool(reached.state.get(mover.name, False))
        return self.machine.logic.evaluate(literal, values)


_Moves = tuple[int, int, int, int]


def _is_finer(finer: Switch, other: Switch) -> bool:
    """Whether it has all of the other's positions in order, and more only to pass through."""
    names = [
        name
        for index, name in enumerate(finer.positions)
        if index in finer.resting or name in other.positions
    ]
    return names == list(other.positions)


def _seen_as(finer: Switch, other: Switch) -> list[int]:
    """For each position of `finer` which of the other's it is: on its way, still the last one."""
    seen, last = [], 0
    for name in finer.positions:
        if name in other.positions:
            last = other.positions.index(name)
        seen.append(last)
    return seen


@draft
class _Carrier:
    """Expressions of one logic written in another."""

    source: Logic
    target: Logic
    known: dict[int, int] = fresh(factory=dict)

    def put(self, variable: int, literal: int) -> None:
        """What a variable of the source is in the target."""
        self.known[variable] = literal

    def of(self, literal: int) -> int:
        """Raises KeyError for a variable that was not put."""
        known = self.known
        if literal <= 1:
            return literal
        for gate in self.source.gates([literal], known):
            a, b = self.source.operands(gate)
            known[gate] = self.target.both(self._at(a), self._at(b))
        return self._at(literal)

    def _at(self, literal: int) -> int:
        return literal if literal <= 1 else self.known[literal & ~1] ^ (literal & 1)
