"""How far current could come from a terminal while every contact is closed that can be."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from netcheck.facts.behaviour import Behaviour
from netcheck.facts.load_feeds import ask, never
from netcheck.model.devices import Conducts, Part
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.traces import Passable, Passed, steps, walk
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.expressions import FALSE


@record
class Pole:
    """A pole of a source, by its terminal; `home` where current is meant to come back to."""

    terminal: str
    source: int
    potential: complex
    home: bool


class Areas:
    """Areas of terminals joined by wires and by parts that conduct in some state.

    An area ends at the poles of sources.  Mechanisms in `held_out` are taken to stay as
    they are at rest.  What lies across a load (the diode of a coil) leads nowhere and does
    not count.
    """

    def __init__(
        self, behaviour: Behaviour, certain: Behaviour, held_out: frozenset[str] = frozenset()
    ) -> None:
        self.behaviour = behaviour
        self.certain = certain
        self.panel = behaviour.panel
        self._held_out = held_out
        self._around: dict[int, list[str]] = {}
        self._trees: dict[tuple[str, bool], dict[str, Passed | None]] = {}
        self._reached: dict[tuple[int, int], bool] = {}
        self._conductions: dict[Behaviour, Conduction] = {}
        self._across = {
            frozenset((behaviour.node(part.a), behaviour.node(part.b)))
            for part in self.panel.parts
            if part.load is not None
        }
        self._forwards = {part.index for part in self.panel.parts if self._conducts(part)}
        self._backwards = {
            index for index in self._forwards if not behaviour.one_way(self.panel.parts[index])
        }
        self._unions: Unions[int] = Unions()
        for index in sorted(self._forwards):
            part = self.panel.parts[index]
            a, b = behaviour.node(part.a), behaviour.node(part.b)
            if behaviour.rails.isdisjoint((a, b)):
                self._unions.join(a, b)

    def _conducts(self, part: Part) -> bool:
        if part.conducts in (Conducts.LOAD, Conducts.NOTHING, Conducts.BOND):
            return False
        if part.mechanism in self._held_out and 0 not in part.closed:
            return False
        ends = frozenset((self.behaviour.node(part.a), self.behaviour.node(part.b)))
        if part.conducts is Conducts.ONE_WAY and ends in self._across:
            return False
        return self.behaviour.closed(part) != FALSE

    def passable(self, part: Part, forwards: bool) -> bool:
        """Whether a part conducts in some state, in this direction."""
        return part.index in (self._forwards if forwards else self._backwards)

    def either_way(self, part: Part, forwards: bool) -> bool:
        return part.index in self._forwards

    # ---- areas -----------------------------------------------------------------------------

    def of(self, terminal: str) -> int:
        """The number of a terminal's area; a pole's place is one of its own."""
        return self._unions.find(self.behaviour.node(terminal))

    @cached_property
    def _terminals(self) -> dict[int, list[str]]:
        found: dict[int, list[str]] = {}
        for terminal in self.panel.terminals:
            found.setdefault(self.of(terminal), []).append(terminal)
        return found

    def around(self, terminal: str) -> list[str]:
        """The terminals of its area, in the order of the text; of a pole's, what it touches too."""
        area = self.of(terminal)
        if area not in self.behaviour.rails:
            return self._terminals[area]
        if area not in self._around:
            self._around[area] = self._touched_by(area)
        return self._around[area]

    def _touched_by(self, area: int) -> list[str]:
        """The terminals of a pole's place and of the areas beside it."""
        touched = {area}
        for end in self._terminals[area]:
            for part in self.panel.parts_at.get(end, ()):
                if self.passable(part, True):
                    touched.update((self.of(part.a), self.of(part.b)))
        touched -= self.behaviour.rails - {area}
        return [end for end in self.panel.terminals if self.of(end) in touched]

    @cached_property
    def _touches(self) -> dict[int, set[int]]:
        """The rails that each area touches; a rail touches itself."""
        found = {rail: {rail} for rail in self.behaviour.rails}
        for part in self.panel.parts:
            if self.passable(part, True):
                a, b = self.of(part.a), self.of(part.b)
                for one, other in ((a, b), (b, a)):
                    if other in self.behaviour.rails:
                        found.setdefault(one, set()).add(other)
        return found

    @cached_property
    def _cut_off(self) -> Unions[int]:
        """Areas that touch no pole, joined by the loads that stand between them."""
        cut: Unions[int] = Unions()
        for part in self.panel.parts:
            if part.load is not None:
                a, b = self.of(part.a), self.of(part.b)
                if a not in self._touches and b not in self._touches:
                    cut.join(a, b)
        return cut

    def cut_off_with(self, terminal: str) -> int:
        """The number of all that is cut off together with a terminal."""
        return self._cut_off.find(self.of(terminal))

    # ---- poles -----------------------------------------------------------------------------

    @cached_property
    def _pole_names(self) -> frozenset[str]:
        return frozenset(pole.terminal for pole in self.poles)

    @cached_property
    def poles(self) -> list[Pole]:
        return [
            Pole(
                f"{source.device}:{mark}",
                index,
                potential,
                mark == source.grounded_pole or potential == 0,
            )
            for index, source in enumerate(self.panel.sources)
            for mark, potential in source.poles.items()
        ]

    def poles_at(self, terminal: str) -> list[Pole]:
        """The poles that a terminal meets in some reachable state; none if it is cut off."""
        node = self.behaviour.node(terminal)
        return [pole for pole in self.poles_touched(terminal) if self._meets(node, pole)]

    def is_cut_off(self, terminal: str) -> bool:
        """Whether it meets no pole even if all contacts could be closed at once."""
        return self.of(terminal) not in self._touches

    def poles_touched(self, terminal: str) -> list[Pole]:
        """The poles a terminal would meet if all contacts could be closed at once."""
        rails = self._touches.get(self.of(terminal), ())
        return [pole for pole in self.poles if self.behaviour.node(pole.terminal) in rails]

    def _meets(self, node: int, pole: Pole) -> bool:
        rail = self.behaviour.node(pole.terminal)
        if node == rail:
            return True
        if (node, rail) not in self._reached:
            answer = ask(
                self.behaviour,
                self.certain,
                lambda behaviour: self._joined(behaviour, node, rail),
                "any instant",
            )
            self._reached[node, rail] = not never(answer)
        return self._reached[node, rail]

    def _joined(self, behaviour: Behaviour, node: int, rail: int) -> int:
        """When current can pass between a place and a rail, whichever way."""
        conduction, logic = self._conduction(behaviour), behaviour.logic
        if node in behaviour.rails:
            joins = (conduction.rail_join(node, rail), conduction.rail_join(rail, node))
        else:
            joins = (conduction.from_rail(node, rail), conduction.to_rail(node, rail))
        return logic.any_of(joins)

    def _conduction(self, behaviour: Behaviour) -> Conduction:
        if behaviour not in self._conductions:
            edges = []
            for part in self.panel.parts:
                a, b = behaviour.node(part.a), behaviour.node(part.b)
                if a != b and self.passable(part, True):
                    closed = behaviour.closed(part)
                    back = FALSE if behaviour.one_way(part) else closed
                    edges.append(Edge(a, b, closed, back, part.index))
            places = 1 + max(behaviour.node(terminal) for terminal in self.panel.terminals)
            self._conductions[behaviour] = Conduction(
                places, edges, behaviour.rails, behaviour.logic
            )
        return self._conductions[behaviour]

    # ---- walks -----------------------------------------------------------------------------

    def in_order(self, start: str) -> list[str]:
        """The terminals around as a walk from `start` comes to them, the farthest last."""
        around, seen, queue = set(self.around(start)), {start}, [start]
        for at in queue:
            for passed in steps(self.panel, at, self.either_way):
                if passed.end not in seen and passed.end in around:
                    seen.add(passed.end)
                    queue.append(passed.end)
        return queue

    def trace(self, starts: Sequence[str], end: str, *, downstream: bool) -> list[Passed]:
        """A walk from `starts` to `end`, the way current flows or against it.

        Where no walk goes with the one-way parts, one that does not heed them.
        """

        def upstream(part: Part, forwards: bool) -> bool:
            return self.passable(part, not forwards)

        directed: Passable = self.passable if downstream else upstream
        if len(starts) == 1 and starts[0] in self._pole_names:
            found = self._from_pole(starts[0], downstream, directed, end)
        else:
            found = walk(self.panel, starts, [end], directed)
        if found is None:
            found = walk(self.panel, starts, [end], self.either_way)
        return found or []

    def _from_pole(
        self, pole: str, downstream: bool, passable: Passable, end: str
    ) -> list[Passed] | None:
        """The shortest walk from a pole; how to come anywhere from there is found once."""
        came = self._trees.get((pole, downstream))
        if came is None:
            came = self._trees[pole, downstream] = {pole: None}
            for at in (queue := [pole]):
                for passed in steps(self.panel, at, passable):
                    if passed.end not in came:
                        came[passed.end] = passed
                        queue.append(passed.end)
        if end not in came:
            return None
        path = []
        while (passed_by := came[end]) is not None:
            path.append(passed_by)
            end = passed_by.start
        return path[::-1]


def turned(path: Sequence[Passed]) -> list[Passed]:
    """The walk back."""
    return [Passed(one.end, one.start, one.by) for one in reversed(path)]
