"""Is there one fault, coming at any moment and staying, that lets something happen?

All faults are looked at in one proof.  A question depends on few of them, and many of those
it cannot tell apart: wires in one line, whichever opens, open the line.  So the part of the
machine that a question depends on is copied, with one more mover for "the fault has come" and a
number, chosen before power-up and never changed, that says which of the kinds of fault it is.
Coming is a move of its own, made when all else has settled, like a timer's running out; what
welds must be closed when it does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from netcheck.model.devices import Drive, Mechanism
from netcheck.model.faults import Fault
from netcheck.model.panel import Panel
from netcheck.record import record, replace
from netcheck.states.answers import Budget, Change, Instant, Never, Reached, Step, Undecided
from netcheck.states.breakable import Breakable
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.machine import Machine, Mover
from netcheck.states.proof import Prover
from netcheck.states.solver import satisfiable

THE_FAULT = "the fault"
"""The mover that is in once the fault has come."""
OUTRIGHT_RADII = (0, 1)
PROOF_RADIUS = 2
"""How far from the question what moves is heeded at first: only what it names, what moves that,
and so on.  What is further off is free to move at any time."""
OUTSIDE = 0
"""The kind of fault that comes where the question does not look: none of those it meets."""
MOST_TRIED = 4
"""So many faults are tried alone; then all are asked about at once."""
MOST_DOUBTED = 3
"""So many faults that put a coil in doubt are passed over, in search of one that does not."""
MOST_FAULTS_TOLD = 6
"""So many different ways to break it are looked for; one is enough to break it."""

Condition = Callable[[Breakable], int]
"""What may happen, as a literal of the behaviour given."""


@record
class Broken:
    """It can happen once this fault has come.  `alike` are the other faults that the question
    cannot tell from it; in `reached` the step at which it comes bears the fault's words."""

    fault: Fault
    alike: tuple[Fault, ...]
    reached: Reached


FaultAnswer = Never | Broken | Undecided


class SingleFaults:
    """Questions about one panel of which one of `faults` may come."""

    def __init__(self, panel: Panel, faults: Iterable[Fault], budget: Budget | None = None) -> None:
        self.panel = panel
        self.faults = tuple(faults)
        self._budget = budget
        wide = Breakable(panel, self.faults)
        self._wide = _Asked(wide, budget)
        self._certain = self._wide
        if wide.uncertain_coils:
            self._certain = _Asked(Breakable(panel, self.faults, certain=True), budget)

    def can_happen(self, condition: Condition, at: Instant = "settled") -> FaultAnswer:
        """Whether the condition can hold once one fault has come; Undecided where uncertain
        coils matter.  Ask without a fault first: what happens anyway, happens with one."""
        answer, _ = self._answer(condition, at, 0)
        return answer

    def all_ways(self, condition: Condition, at: Instant = "settled") -> list[FaultAnswer]:
        """One answer for each group of faults that let it happen, and the answer for the rest:
        Never, or Undecided.  No more than MOST_FAULTS_TOLD are looked for."""
        found: list[FaultAnswer] = []
        without = 0
        for _ in range(MOST_FAULTS_TOLD):
            answer, numbers = self._answer(condition, at, without)
            found.append(answer)
            if not isinstance(answer, Broken) or answer.reached.kind == "race":
                break
            without |= numbers
        return found

    def _answer(self, condition: Condition, at: Instant, without: int) -> tuple[FaultAnswer, int]:
        """Broken only by a fault with which no coil is in doubt that has a say in it."""
        if self._certain is self._wide:
            return self._wide.ask(condition, at, without)
        doubt: FaultAnswer | None = None
        for _ in range(MOST_DOUBTED):
            sure, numbers = self._certain.ask(condition, at, without)
            if not isinstance(sure, Broken):
                break
            coils = self._wide.coils_in_doubt(condition, numbers)
            if not coils:
                return sure, numbers
            doubt = _doubted(sure, coils)
            without |= numbers
        if doubt is not None:
            return doubt, 0
        wide, numbers = self._wide.ask(condition, at, without)
        if isinstance(wide, Broken):
            return _doubted(wide, self._wide.coils_in_doubt(condition, numbers)), numbers
        return wide, numbers


def _doubted(way: Broken, coils: list[str]) -> Undecided:
    names = ", ".join(coils[:3])
    reason = f"with `{way.fault.words}` it depends on whether a coil pulls in: {names}"
    return Undecided(reason, hint=way.reached)


class _Asked:
    """Questions to one breakable behaviour."""

    def __init__(self, behaviour: Breakable, budget: Budget | None) -> None:
        self.behaviour = behaviour
        self._budget = budget
        self._machine = behaviour.machine
        self.logic = behaviour.logic
        self.number = {came: number for number, came in enumerate(behaviour.came)}
        self._owner = {m.state: m.name for m in self._machine.movers.values()}
        for switch in self._machine.switches.values():
            self._owner.update(dict.fromkeys(switch.bits, switch.name))
        self._touching: dict[int, list[int]] = {}
        for literal in self._machine.constraints:
            for variable in self.logic.support(literal):
                self._touching.setdefault(variable, []).append(literal)
        self._literals: dict[str, list[int]] = {}
        self.sets = _SetsOfFaults(self.logic, self.number)

    def ask(self, condition: Condition, at: Instant, without: int) -> tuple[FaultAnswer, int]:
        """The answer, and the faults (a bit each) it was found with.

        What lies far off is first left free to move, and a fault may be out there: what never
        happens then, never happens.  A fault nearby that lets it happen is then tried alone, with
        all that has a say in it.
        """
        bad = condition(self.behaviour)
        may_come = (1 << len(self.behaviour.faults)) - 1 & ~without
        if bad == FALSE:
            return Never("logic alone"), 0
        for radius in OUTRIGHT_RADII:
            near = _Copied(self, bad, self.cone(bad, radius), may_come)
            if not near.kinds or near.excluded_outright(at):
                return Never("logic alone"), 0
        near_cone, whole = self.cone(bad, PROOF_RADIUS), self.cone(bad)
        asked = may_come
        for _ in range(MOST_TRIED):
            outcome, numbers = self._ask(bad, at, near_cone, asked)
            if isinstance(outcome, Never):
                if asked == may_come:
                    return outcome, 0
                may_come &= ~near_cone.faults
                break
            if isinstance(outcome, Undecided):
                break
            if outcome is None:
                asked &= near_cone.faults
                continue
            alone, _ = self._ask(bad, at, whole, numbers)
            if isinstance(alone, Broken) and alone.reached.kind == "settled operation":
                return alone, numbers
            if not isinstance(alone, Never):
                break
            may_come &= ~numbers
            asked &= ~numbers
        answer, numbers = self._ask(bad, at, whole, may_come)
        assert answer is not None, "a whole cone leaves no fault out"
        return answer, numbers

    def _ask(
        self, bad: int, at: Instant, cone: _Cone, faults: int
    ) -> tuple[FaultAnswer | None, int]:
        """The answer, None for a fault that lies outside the cone, and those it was found with."""
        copied = _Copied(self, bad, cone, faults)
        if not copied.kinds:
            return Never("logic alone"), 0
        answer = Prover(copied.machine, self._budget).can_happen(copied.bad, at=at)
        if isinstance(answer, Never):
            return answer, 0
        if isinstance(answer, Undecided):
            hint = self._told(copied, answer.hint)[0] if answer.hint else None
            return replace(answer, hint=hint and hint.reached), 0
        return self._told(copied, answer)

    def _told(self, copied: _Copied, reached: Reached) -> tuple[Broken | None, int]:
        """The answer without what only the copy knows of; None for a fault outside of it."""
        code = sum(bool(reached.start.get(name)) << bit for bit, name in enumerate(copied.code))
        numbers = copied.kinds[code]
        if numbers == OUTSIDE:
            return None, 0
        faults = [self.behaviour.faults[number] for number in _bits(numbers)]
        fault = min(faults, key=lambda one: len(one.wires) + len(one.parts))
        alike = tuple(one for one in faults if one is not fault)
        return Broken(fault, alike, _renamed(reached, copied.code, fault)), numbers

    def coils_in_doubt(self, condition: Condition, numbers: int) -> list[str]:
        """What may or may not pull in, with these faults alone (a bit each), and has a say."""
        bad, panel = condition(self.behaviour), self.behaviour.panel
        others = {came: FALSE for came, n in self.number.items() if not numbers >> n & 1}
        return [
            name
            for name in self.cone(bad).names
            if name in self._machine.movers
            for coil in panel.mechanisms[name].coils
            if self.logic.substitute(self.behaviour.in_doubt.get(coil, FALSE), others) != FALSE
        ]

    # ---- what a question depends on ----------------------------------------------------------

    def cone(self, bad: int, radius: int | None = None) -> _Cone:
        """All that the question depends on; with a radius, what lies further off is left free."""
        depth: dict[str, int] = {}
        literals: dict[int, None] = {bad: None}
        faults = 0
        layer, further, at = [bad], list[int](), 0
        meaning, supplies = self.behaviour.meaning, list[int]()
        while layer:
            for literal in layer:
                for variable in self.logic.support(literal):
                    name = self._owner.get(variable)
                    if name is None:
                        number = self.number.get(variable)
                        if number is not None and not faults >> number & 1:
                            faults |= 1 << number
                            further.append(self.behaviour.guards[number])
                        elif variable in meaning and variable not in supplies:
                            supplies.append(variable)
                            if radius is None:
                                further.append(meaning[variable])
                    elif name not in depth:
                        depth[name] = at
                        if radius is None or at <= radius:
                            further += self.literals_of(name)
            layer = [literal for literal in dict.fromkeys(further) if literal not in literals]
            literals.update(dict.fromkeys(layer))
            further, at = [], at + 1
        free = frozenset(n for n, d in depth.items() if radius is not None and d > radius)
        return _Cone(tuple(depth), free, tuple(literals), faults, tuple(supplies), radius is None)

    def literals_of(self, name: str) -> list[int]:
        """Those that say when something moves, and what is assumed of it."""
        known = self._literals.get(name)
        if known is None:
            motion = self._machine.motions.get(name)
            known = list(self.constraints_of(name))
            if motion is not None:
                known += [motion.may_rise, motion.may_fall, motion.must_rise, motion.must_fall]
            self._literals[name] = known = list(dict.fromkeys(known))
        return known

    def constraints_of(self, name: str) -> Iterator[int]:
        machine = self._machine
        one = machine.movers.get(name)
        for variable in (one.state,) if one else machine.switches[name].bits:
            yield from self._touching.get(variable, ())


@record
class _Cone:
    """Names of what moves, those of it that are free to move at any time, the literals that say
    how the others move, the faults that are met (a bit each), and the supplies, by variable.
    Only the whole cone heeds when supplies are live."""

    names: tuple[str, ...]
    free: frozenset[str]
    literals: tuple[int, ...]
    faults: int
    supplies: tuple[int, ...]
    whole: bool


class _SetsOfFaults:
    """Which literals say only "none of these faults has come", and of which faults."""

    def __init__(self, logic: Logic, number: Mapping[int, int]) -> None:
        self._logic, self.number = logic, number
        self._seen: set[int] = set()
        self._known: dict[int, int] = {came: 1 << bit for came, bit in number.items()}

    def __contains__(self, gate: object) -> bool:
        return gate in self._known

    def of(self, gate: int) -> int:
        """The faults (a bit each) of a gate or variable of which all that is known."""
        return self._known[gate]

    def learn(self, literals: Iterable[int]) -> None:
        """Look at all that literals are made of, each gate once."""
        logic, known = self._logic, self._known
        for gate in logic.gates(literals, self._seen):
            self._seen.add(gate)
            a, b = logic.operands(gate)
            left, right = self._none(a), self._none(b)
            if left and right:
                known[gate] = left | right

    def _none(self, literal: int) -> int:
        """The faults of which a literal says that none has come; 0 if it says anything else."""
        node = literal & ~1
        # A fault's variable is true once it has come, a gate of such while none has.
        if (node in self.number) == bool(literal & 1):
            return self._known.get(node, 0)
        return 0


class _Copied:
    """The part of the machine that a question depends on, and the fault as a mover in it."""

    def __init__(self, asked: _Asked, bad: int, cone: _Cone, faults: int) -> None:
        """`faults` (a bit each) are those that may come; those the cone does not meet are one kind
        where they may move what it leaves free."""
        self.machine = Machine()
        self.kinds: list[int] = []
        self.code: list[str] = []
        self._asked = asked
        self._source = asked.behaviour.machine
        self._cone = cone
        asked.sets.learn(cone.literals)
        self._gates = asked.logic.gates(cone.literals, asked.sets)
        self._image: dict[int, int] = {FALSE: FALSE}
        self._tell_apart(cone.literals, cone.faults & faults)
        if faults & ~cone.faults and (cone.free or (cone.supplies and not cone.whole)):
            self.kinds.append(OUTSIDE)
        if not self.kinds:
            return
        self._declare(cone.names)
        self._make_fault()
        self._write()
        for name in cone.names:
            if name in self._source.movers:
                self._move(name)
        bound = (name for name in cone.names if name not in cone.free)
        for literal in dict.fromkeys(c for name in bound for c in asked.constraints_of(name)):
            self.machine.assume(self._of(literal))
        self.bad = self.machine.logic.both(self._of(bad), self._fault.state)

    def excluded_outright(self, at: Instant) -> bool:
        """Whether no state at all, reachable or not, is one in which it happens."""
        machine, logic = self.machine, self.machine.logic
        held = [self.bad, logic.any_of(self._came), *machine.constraints]
        held += [machine.valid_code(switch) for switch in machine.switches.values()]
        if at == "settled":
            for name, mover in machine.movers.items():
                motion = machine.motions[name]
                held.append(logic.choose(mover.state, motion.must_fall, motion.must_rise) ^ 1)
            held += [machine.in_positions(s, s.resting) for s in machine.switches.values()]
        return satisfiable(logic, held) is False

    # ---- which faults there are ----------------------------------------------------------

    def _tell_apart(self, literals: Iterable[int], faults: int) -> None:
        """Faults that are met only together, with nothing asked of their coming, are one kind."""
        sets, logic = self._asked.sets, self._asked.logic
        met: set[int] = set()
        for gate in self._gates:
            met.update(operand & ~1 for operand in logic.operands(gate))
        met.update(literal & ~1 for literal in literals)
        self._leaves = [node for node in sorted(met) if node in sets]
        guards = self._asked.behaviour.guards
        alone = [1 << n for n in _bits(faults) if guards[n] != TRUE]
        kinds = [faults] if faults else []
        for mask in [*(sets.of(leaf) for leaf in self._leaves), *alone]:
            kinds = [part for kind in kinds for part in (kind & mask, kind & ~mask) if part]
        used = 0
        for leaf in self._leaves:
            used |= sets.of(leaf)
        self.kinds = [kind for kind in kinds if kind & used]

    # ---- the copy ------------------------------------------------------------------------

    def _declare(self, names: Iterable[str]) -> None:
        for name in names:
            switch = self._source.switches.get(name)
            if switch is not None:
                made = self.machine.switch(
                    name,
                    switch.positions,
                    resting=switch.resting,
                    start=switch.start,
                    moves=switch.moves,
                )
                self._image.update(zip(switch.bits, made.bits, strict=True))
            else:
                mover = self._source.movers[name]
                start = None if name in self._cone.free else mover.start
                copied = self.machine.mover(name, start=start, timed=mover.timed)
                self._image[mover.state] = copied.state

    def _make_fault(self) -> None:
        machine, logic = self.machine, self.machine.logic
        bits = []
        for bit in range((len(self.kinds) - 1).bit_length()):
            self.code.append(f"{THE_FAULT}, bit {bit}")
            bits.append(machine.mover(self.code[-1], start=None).state)
        self._fault = machine.mover(THE_FAULT, timed=True)
        self._came: list[int] = []
        for code in range(len(self.kinds)):
            chosen = [bit ^ 1 ^ (code >> place & 1) for place, bit in enumerate(bits)]
            self._came.append(logic.all_of([self._fault.state, *chosen]))
        self._chosen = [
            logic.all_of([bit ^ 1 ^ (code >> place & 1) for place, bit in enumerate(bits)])
            for code in range(len(self.kinds))
        ]
        sets, number = self._asked.sets, self._asked.number
        for leaf in self._leaves:
            came = logic.any_of(
                [self._came[code] for code, kind in enumerate(self.kinds) if kind & sets.of(leaf)]
            )
            self._image[leaf] = came if leaf in number else came ^ 1
        self._image[self._asked.behaviour.any_came] = self._fault.state

    def _write(self) -> None:
        if self._cone.whole:
            self._write_supplies()
        else:
            for name in self._cone.supplies:
                mover = self.machine.mover(self._asked.logic.name_of(name), start=None)
                self._move_freely(mover)
                self._image[name] = mover.state
        self._write_gates(self._gates)
        guards = self._asked.behaviour.guards
        logic = self.machine.logic
        may = [
            chosen if kind == OUTSIDE else logic.both(chosen, self._of(guards[next(_bits(kind))]))
            for chosen, kind in zip(self._chosen, self.kinds, strict=True)
        ]
        self.machine.attach(
            self._fault,
            may_rise=logic.any_of(may),
            may_fall=FALSE,
            must_rise=FALSE,
            must_fall=FALSE,
        )

    def _write_supplies(self) -> None:
        """First those that what feeds the others depends on."""
        meaning, logic = self._asked.behaviour.meaning, self._asked.logic
        todo = list(self._cone.supplies)
        while todo:
            name = todo[-1]
            needs = [v for v in logic.support(meaning[name]) if v in meaning]
            missing = [v for v in needs if v not in self._image]
            todo += missing
            if not missing:
                todo.pop()
                if name not in self._image:
                    self._write_gates(logic.gates([meaning[name]], self._asked.sets))
                    self._image[name] = self._of(meaning[name])

    def _write_gates(self, gates: Iterable[int]) -> None:
        image, source, both = self._image, self._asked.logic, self.machine.logic.both
        for gate in gates:
            if gate not in image:
                a, b = source.operands(gate)
                image[gate] = both(image[a & ~1] ^ (a & 1), image[b & ~1] ^ (b & 1))

    def _move_freely(self, mover: Mover) -> None:
        self.machine.attach(mover, may_rise=TRUE, may_fall=TRUE, must_rise=FALSE, must_fall=FALSE)

    def _move(self, name: str) -> None:
        if name in self._cone.free:
            self._move_freely(self.machine.movers[name])
            return
        motion = self._source.motions[name]
        self.machine.attach(
            self.machine.movers[name],
            may_rise=self._of(motion.may_rise),
            may_fall=self._of(motion.may_fall),
            must_rise=self._of(motion.must_rise),
            must_fall=self._of(motion.must_fall),
        )

    def _of(self, literal: int) -> int:
        return self._image[literal & ~1] ^ (literal & 1)


def _bits(numbers: int) -> Iterator[int]:
    while numbers:
        lowest = numbers & -numbers
        yield lowest.bit_length() - 1
        numbers ^= lowest


def _renamed(reached: Reached, code: Iterable[str], fault: Fault) -> Reached:
    """The way without the code of the fault, and the fault by its words."""
    hidden = frozenset(code)

    def shown(state: Mapping[str, bool | str]) -> dict[str, bool | str]:
        return {
            fault.words if name == THE_FAULT else name: value
            for name, value in state.items()
            if name not in hidden
        }

    steps = [
        Step(
            tuple(
                Change(fault.words if c.name == THE_FAULT else c.name, c.before, c.after)
                for c in step.changes
            ),
            shown(step.state),
        )
        for step in reached.steps
    ]
    return Reached(reached.kind, shown(reached.start), tuple(steps))


def with_fault_told(panel: Panel, fault: Fault) -> Panel:
    """The panel for `witness.tell`: the fault is something that comes, in its words."""
    comes = Mechanism(
        fault.words,
        "",
        Drive.PROCESS,
        ("not yet", "for good"),
        ("", fault.comes),
        frozenset((0, 1)),
        frozenset((0,)),
    )
    return replace(panel, mechanisms={**panel.mechanisms, fault.words: comes})
