"""Loads that get what they are not made for: which, in what state, by what path.

A load is looked at in every reachable state, those passed through while relays settle
included, at nominal volts; what only a race brings is left out.  Ground counts as wire
here: a coil between a line and the grounded 0V of another source has the line's voltage.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, needed, walk
from netcheck.record import record
from netcheck.states.answers import Answer, Instant, Never, Reached, Undecided
from netcheck.states.expressions import FALSE
from netcheck.states.feed_path import Circuit, feed_path, needed_for
from netcheck.states.load_ways import Fault, LoadWay, fault_of, frequencies_hz, ways_of
from netcheck.states.volts import Volts
from netcheck.states.witness import Witness, assignment, tell

_Traced = tuple[tuple[Passed, ...], tuple[Wire | Part, ...]]
"""A path, and what of it alone would open it."""


@record
class WronglyFed:
    """One load and what it gets: `volts` of its `a` against its `b`, and `hertz`.

    `poles` are those that stand at its `a` and its `b`; none where two lines of a three-phase
    load are one.  `ever_right` says whether the load has a right feed too.
    """

    load: Part
    fault: Fault
    volts: Volts
    hertz: frozenset[float]
    poles: tuple[str, ...]
    trace: Callable[[], _Traced]
    witness: Witness
    ever_right: bool

    @cached_property
    def _traced(self) -> _Traced:
        return self.trace()

    @property
    def path(self) -> tuple[Passed, ...]:
        """From a source's pole through the load to another pole, or, where two lines of a
        three-phase load are one, from the one terminal to the other.  Empty if none is found."""
        return self._traced[0]

    @property
    def cuts(self) -> tuple[Wire | Part, ...]:
        """What of the path alone would open it."""
        return self._traced[1]


@record
class WronglyFedLoads:
    found: tuple[WronglyFed, ...]
    undecided: tuple[tuple[Part, str], ...]
    unsaid_hertz: tuple[Part, ...]
    """Loads made for one frequency that a source feeds which says none."""


@concludes(Behaviour, CertainBehaviour)
def find_wrongly_fed(view: View) -> WronglyFedLoads:
    search = _Search(view[Behaviour], view[CertainBehaviour].behaviour)
    found = [fed for load in loads_of(view.panel) for fed in search.wrongs(load)]
    return WronglyFedLoads(
        tuple(found), tuple(search.undecided), tuple(dict.fromkeys(search.unsaid_hertz))
    )


def loads_of(panel: Panel) -> Iterator[tuple[Part, ...]]:
    """The parts of each load: three of a three-phase one, one of any other.

    Without what is spare, and without resistors that have no voltage of their own.
    """
    for device in panel.devices.values():
        windings: dict[str, list[Part]] = {}
        for part in (panel.parts[index] for index in device.parts):
            if part.load is None or part.spare or "spare" in device.marks:
                continue
            if part.load.works == "resistor" and part.load.volts is None:
                continue
            if part.load.phases == 3:
                windings.setdefault(part.role, []).append(part)
            else:
                yield (part,)
        yield from map(tuple, windings.values())


@record
class _Suspect:
    """What may be wrong with one load, asked of either behaviour by its `condition`."""

    part: Part
    fault: Fault
    volts: Volts
    hertz: frozenset[float]
    condition: Callable[[Behaviour], int]
    poles: tuple[str, ...]
    trace: Callable[[Mapping[int, bool]], _Traced]
    ever_right: bool
    at: Instant = "any instant"


class _Search:
    def __init__(self, wide: Behaviour, certain: Behaviour) -> None:
        self._wide, self._certain = wide, certain
        self.undecided: list[tuple[Part, str]] = []
        self.unsaid_hertz: list[Part] = []

    def wrongs(self, load: tuple[Part, ...]) -> Iterator[WronglyFed]:
        """What is wrong with one load, each way of feeding it once."""
        suspects = list(self._suspects(load))
        if not suspects and len(load) > 1:
            suspects = list(self._single_phased(load))
        reasons: dict[Part, str] = {}
        found = False
        for suspect in suspects:
            answer = self._ask(suspect)
            if isinstance(answer, Undecided):
                reasons.setdefault(suspect.part, answer.reason)
            elif isinstance(answer, Reached) and answer.kind != "race":
                found = True
                yield self._told(suspect, answer)
        if reasons and not found:
            self.undecided.append(next(iter(reasons.items())))

    # ---- what may be wrong -----------------------------------------------------------------

    def _suspects(self, load: tuple[Part, ...]) -> Iterator[_Suspect]:
        judged = [
            (number, fed, *self._fault(fed))
            for part in load
            for number, fed in enumerate(ways_of(self._wide, part))
        ]
        ever_right = any(fault is None for _, _, fault, _ in judged)
        seen: set[tuple[object, ...]] = set()
        for number, fed, fault, hertz in judged:
            key = (fed.load.index, fed.rail_a, fed.rail_b, fed.volts)
            if fault is None or key in seen:
                continue
            seen.add(key)
            poles = (fed.held.pole_a, fed.held.pole_b)
            condition, trace = self._condition(fed.load, number), self._tracing(fed)
            yield _Suspect(fed.load, fault, fed.volts, hertz, condition, poles, trace, ever_right)

    def _fault(self, fed: LoadWay) -> tuple[Fault | None, frozenset[float]]:
        part, hertz = fed.load, frozenset[float]()
        assert part.load is not None
        if part.load.frequency_hz is not None:
            said = frequencies_hz(self._wide, fed.held.sources)
            if None in said:
                self.unsaid_hertz.append(part)
            hertz = frozenset(one for one in said if one is not None)
        return fault_of(part.load, fed.volts, hertz), hertz

    def _condition(self, part: Part, number: int) -> Callable[[Behaviour], int]:
        """Both behaviours know the same ways in the same order, only their relays differ."""

        def condition(behaviour: Behaviour) -> int:
            return tuple(ways_of(behaviour, part))[number].condition

        return condition

    def _tracing(self, fed: LoadWay) -> Callable[[Mapping[int, bool]], _Traced]:
        """By circuit conductors if there is such a path, else by ground."""
        circuit = Circuit(fed.load, (fed.held.pole_a,), (fed.held.pole_b,), fed.volts)

        def trace(values: Mapping[int, bool]) -> _Traced:
            path = feed_path(self._wide, circuit, values)
            if path is None:
                path = feed_path(self._wide, circuit, values, bonds=True)
            if path is None:
                return (), ()
            return path, tuple(needed_for(self._wide, circuit, values, path))

        return trace

    def _single_phased(self, load: tuple[Part, ...]) -> Iterator[_Suspect]:
        """Of a three-phase load one winding has its voltage, the ends of another are one line.

        Where the lines themselves are joined nothing runs: that is a short, and told as one.
        """
        for part in load:
            others = tuple(one for one in load if one is not part)

            def condition(
                behaviour: Behaviour, part: Part = part, others: tuple[Part, ...] = others
            ) -> int:
                logic = behaviour.logic
                works = logic.any_of([behaviour.energised(other) for other in others])
                sound = _shorted(behaviour, (part, *others)) ^ 1
                return logic.all_of([_on_one_line(behaviour, part), works, sound])

            def trace(values: Mapping[int, bool], part: Part = part) -> _Traced:
                return self._between_ends(part, values)

            if condition(self._wide) != FALSE:
                yield _Suspect(
                    part, Fault.PHASES, (), frozenset(), condition, (), trace, True, "settled"
                )
                return

    def _between_ends(self, part: Part, values: Mapping[int, bool]) -> _Traced:
        behaviour = self._wide

        def passable(one: Part, forwards: bool) -> bool:
            if one.load is not None or (not forwards and behaviour.one_way(one)):
                return False
            return behaviour.logic.evaluate(behaviour.closed(one), values)

        path = walk(behaviour.panel, (part.a,), (part.b,), passable)
        if path is None:
            return (), ()
        return tuple(path), tuple(needed(behaviour.panel, path, (part.b,), passable))

    # ---- whether it happens ----------------------------------------------------------------

    def _ask(self, suspect: _Suspect) -> Answer:
        literal = suspect.condition(self._wide)
        wide = self._wide.prover.can_happen(literal, at=suspect.at)
        if not isinstance(wide, Reached) or self._certain is self._wide:
            return wide
        concerned = set(self._wide.prover.depends_on(literal))
        coils = [name for name in self._wide.uncertain_coils if name in concerned]
        if not coils:
            return wide
        sure: Answer = Never("logic alone")
        certain = suspect.condition(self._certain)
        if certain != FALSE:
            sure = self._certain.prover.can_happen(certain, at=suspect.at)
        return decided(sure, wide, coils)

    def _told(self, suspect: _Suspect, answer: Reached) -> WronglyFed:
        def trace() -> _Traced:
            return suspect.trace(assignment(self._wide, answer))

        return WronglyFed(
            suspect.part,
            suspect.fault,
            suspect.volts,
            suspect.hertz,
            suspect.poles,
            trace,
            tell(self._wide.panel, answer),
            suspect.ever_right,
        )


def _on_one_line(behaviour: Behaviour, part: Part) -> int:
    """When both ends of a part are joined to the same pole."""
    a, b = behaviour.node(part.a), behaviour.node(part.b)
    circuit, both = behaviour.circuit, behaviour.logic.both
    return behaviour.logic.any_of(
        [
            both(circuit.from_rail(a, rail), circuit.from_rail(b, rail))
            for rail in circuit.rails_at(a)
            if rail in circuit.rails_at(b)
        ]
    )


def _shorted(behaviour: Behaviour, load: tuple[Part, ...]) -> int:
    """When one end of a load is joined to both of two poles that feed it."""
    circuit, both = behaviour.circuit, behaviour.logic.both
    pairs = {(feed.rail_a, feed.rail_b) for part in load for feed in behaviour.feeds(part)}
    ends = {behaviour.node(terminal) for part in load for terminal in (part.a, part.b)}
    return behaviour.logic.any_of(
        both(circuit.to_rail(end, a), circuit.to_rail(end, b))
        for end in sorted(ends)
        for a, b in sorted(pairs)
        if {a, b} <= {*circuit.rails_at(end)}
    )
