"""What leads past a stop: the one contact, wire or bridge without which the stop would stop.

Looked for along the ways of the current while the stop is held and a load runs: that of the
load, and those of the coils that hold its contacts closed.  What lies beside something else is
taken away, and the panel without it is asked again: the stop must stop all it was found not
to, and no load may lose its feed, for what starts a load is no path around its stop.
What stands in one line of the text is one path; of several, none is the cause.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import LoadFeed, LoadFeeds, Verdict, ask, energised, never
from netcheck.facts.trusted_outputs import OFF, TrustedOutputs
from netcheck.facts.unstopped_loads import UnstoppedLoad, UnstoppedLoads
from netcheck.model.devices import Conducts, Part
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.answers import Reached
from netcheck.states.feed_path import path_in
from netcheck.states.witness import assignment

if TYPE_CHECKING:
    from netcheck.facts.as_built import AsBuilt

MOST_WIRES = 400
"""In a panel of more wires nothing is taken away: each time all is worked out anew."""
MOST_TRIED = 16
"""So much is taken away in one review; what was not tried is no cause."""


@record
class StopBypasses:
    """By the name of a stop's mechanism, what leads past it."""

    by_stop: Mapping[str, Wire | Part]


@concludes(Behaviour, CertainBehaviour, LoadFeeds, TrustedOutputs, UnstoppedLoads)
def find_stop_bypasses(view: View) -> StopBypasses:
    trusted = view[TrustedOutputs].trusted
    by_stop: dict[str, list[UnstoppedLoad]] = {}
    for one in view[UnstoppedLoads].loads:
        if one not in trusted and isinstance(one.answer, Reached):
            by_stop.setdefault(one.stop.mechanism.name, []).append(one)
    if not by_stop or len(view[Behaviour].panel.wires) > MOST_WIRES:
        return StopBypasses({})
    search = _Search(view)
    found = {name: search.bypass(group) for name, group in by_stop.items()}
    return StopBypasses({name: by for name, by in found.items() if by is not None})


class _Search:
    def __init__(self, view: View) -> None:
        self.panel = view[Behaviour].panel
        self.certain = view[CertainBehaviour].behaviour
        self.loads = [one for one in view[LoadFeeds].loads if one.verdict is Verdict.ENERGISED]
        self.outputs = view[TrustedOutputs].by_stop
        self.left = MOST_TRIED

    def bypass(self, group: list[UnstoppedLoad]) -> Wire | Part | None:
        beside = [by for by in self._passed(group[0]) if self._lies_beside_another(by)]
        if not beside or len(beside) > self.left:
            return None
        self.left -= len(beside)
        causes = [by for by in beside if self._would_stop_without(by, group)]
        if len({self._line(by) for by in causes}) != 1:
            return None
        return next((by for by in causes if isinstance(by, Part)), causes[0])

    def _line(self, by: Wire | Part) -> tuple[str, int]:
        if isinstance(by, Wire):
            span = by.span
        else:
            span = self.panel.chain_spans.get(by.index, self.panel.devices[by.device].span)
        return span.path, span.line

    def _passed(self, one: UnstoppedLoad) -> list[Wire | Part]:
        """By the current of the load, and of each coil that holds a contact on the way closed."""
        assert isinstance(one.answer, Reached)
        values, found = assignment(self.certain, one.answer), dict[Wire | Part, None]()
        todo, seen = [one.load.parts[0]], set[int]()
        while todo:
            load = todo.pop()
            if load.index in seen:
                continue
            seen.add(load.index)
            for passed in path_in(self.certain, load, values):
                if passed.by is not load:
                    found[passed.by] = None
                if isinstance(passed.by, Part):
                    todo += self._coils(passed.by, values)
        return [*found]

    def _coils(self, part: Part, values: Mapping[int, bool]) -> Iterator[Part]:
        mover = self.certain.machine.movers.get(part.mechanism)
        if mover is not None and values[mover.state]:
            for coil in self.panel.mechanisms[part.mechanism].coils:
                yield self.panel.parts[coil]

    def _lies_beside_another(self, by: Wire | Part) -> bool:
        """Whether its ends would still be joined without it, were every contact closed."""
        joined: Unions[str] = Unions()
        for wire in self.panel.wires:
            if wire is not by:
                joined.join(wire.a, wire.b)
        for part in self.panel.parts:
            wired = part.conducts in (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)
            if wired and part is not by:
                joined.join(part.a, part.b)
        return joined.find(by.a) == joined.find(by.b)

    def _would_stop_without(self, by: Wire | Part, group: list[UnstoppedLoad]) -> bool:
        from netcheck.facts.as_built import build
        from netcheck.facts.closed_loops import without

        built = build(without(self.panel, by))
        return self._stops(built, group) and self._all_fed(built)

    def _all_fed(self, built: AsBuilt) -> bool:
        from netcheck.facts.seen_states import samples_of

        samples = samples_of(built.certain)
        for load in self.loads:
            on = energised(parts_in(built.wide, load))
            if not samples.happen(on(built.certain)):
                answer = ask(built.wide, built.certain, on, load.at)
                if not isinstance(answer, Reached):
                    return False
        return True

    def _stops(self, built: AsBuilt, group: list[UnstoppedLoad]) -> bool:
        """What outputs of a safety-rated controller keep on is trusted to be off."""
        stop = group[0].stop
        off = self.outputs.get(stop.mechanism.name, ())

        def runs(behaviour: Behaviour) -> int:
            on = [energised(parts_in(behaviour, one.load))(behaviour) for one in group]
            held = behaviour.in_positions(stop.mechanism.name, frozenset((stop.stopping,)))
            trusted = [behaviour.in_positions(name, OFF) for name in off]
            return behaviour.logic.all_of([held, *trusted, behaviour.logic.any_of(on)])

        return never(ask(built.wide, built.certain, runs, "settled"))


def parts_in(behaviour: Behaviour, load: LoadFeed) -> tuple[Part, ...]:
    """The load's parts in a panel from which something was taken away."""
    return tuple(behaviour.panel.parts[part.index] for part in load.parts)
