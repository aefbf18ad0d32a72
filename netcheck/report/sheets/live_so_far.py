"""What has come alive while a panel is closed up handle by handle, and what a meter reads there.

Behind a handle that nothing draws through, every terminal reads as the one ahead of it: that
takes no new solution in numbers.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping

from netcheck.bench.metering import Meter
from netcheck.bench.readings import Reading, read
from netcheck.bench.standing import Standing, settled
from netcheck.model.devices import Conducts, Part


class LiveSoFar:
    """Begins with everything open.  `fresh` are the terminals to look at since the last close."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.panel = standing.panel
        self.solved = 0
        """How often the whole panel was solved."""
        self.fresh: set[str] = set()
        self._reach: set[str] = set()
        self._same_as: dict[str, str] = {}
        """Of terminals behind what nothing draws through, the one ahead."""
        self._meter: Meter | None = None
        self._fed: dict[str, list[str]] = {}
        """From where a supply or transformer takes in to where it gives, and back."""
        for source in self.panel.sources:
            poles = [f"{source.device}:{pole}" for pole in source.poles]
            parts = [self.panel.parts[index] for index in source.inputs]
            ends = [end for part in parts for end in (part.a, part.b)]
            for end in (*poles, *ends):
                self._fed.setdefault(end, []).extend((*poles, *ends))

    def close(self, moved: Mapping[str, int]) -> None:
        """Raises Unreadable where what follows has no numbers."""
        before, self.standing = self.standing, settled(self.standing, moved)
        stub = self._stub(before, moved)
        if stub is None:
            self.solved += 1
            self._meter = Meter(self.standing)
            self._reach, self._same_as = self._flooded(), {}
            self.fresh = self._reach
        else:
            self._same_as |= stub
            self._reach |= stub.keys()
            self.fresh = set(stub)

    # ---- readings ------------------------------------------------------------------------------

    @property
    def meter(self) -> Meter:
        assert self._meter is not None
        return self._meter

    def read(self, red: str, black: str) -> Reading:
        ahead = self._same_as
        return read(self.meter.steady, ahead.get(red, red), ahead.get(black, black))

    def ground_of(self, terminal: str) -> tuple[Reading, str]:
        return self.meter.ground_of(self._same_as.get(terminal, terminal))

    def amperes(self) -> Iterator[tuple[str, float]]:
        """What each live pole of a source from outside gives by now."""
        for index, source in enumerate(self.panel.sources):
            for pole, volts in source.poles.items() if source.mechanism else ():
                given = self.meter.steady.source_a(index, pole).values()
                if volts:
                    yield f"{source.device} {pole}", sum(abs(a) for a in given if a is not None)

    # ---- where voltage can come -----------------------------------------------------------------

    def _flooded(self) -> set[str]:
        """All that is joined to a source in some way, by loads and leakage too."""
        leaks = {frozenset((one.a, one.b)) for one in self.standing.leaks()}
        sources = (one for one in self.panel.sources if not one.inputs)
        todo = deque(f"{one.device}:{pole}" for one in sources for pole in one.poles)
        seen = set(todo)
        while todo:
            at = todo.popleft()
            onward = [other for other, part in self._steps(at) if self._passes(part, leaks)]
            for end in (*onward, *self._fed.get(at, ())):
                if end not in seen:
                    seen.add(end)
                    todo.append(end)
        return seen

    def _passes(self, part: Part | None, leaks: set[frozenset[str]]) -> bool:
        if part is None or part.load is not None or part.conducts is Conducts.ONE_WAY:
            return True
        return self.standing.closed(part) or frozenset((part.a, part.b)) in leaks

    def _steps(self, at: str) -> Iterator[tuple[str, Part | None]]:
        """The other end of each wire, and of each part with it."""
        for wire in self.panel.wires_at.get(at, ()):
            yield (wire.b if wire.a == at else wire.a), None
        for part in self.panel.parts_at.get(at, ()):
            yield (part.b if part.a == at else part.a), part

    # ---- behind a handle that nothing draws through ---------------------------------------------

    def _stub(self, before: Standing, moved: Mapping[str, int]) -> dict[str, str] | None:
        """What came alive and draws nothing, by what is ahead of it; None where it is not so
        simple: a load, a source, two ways that meet, a relay that moved."""
        machine = self.standing.states.machine
        states = [mover.state for mover in machine.movers.values()]
        values = before.values, self.standing.values
        moves = any(values[0][state] != values[1][state] for state in states)
        if self._meter is None or self.standing.restless or moves:
            return None
        found: dict[str, str] = {}
        for part in self.panel.parts:
            if part.mechanism not in moved:
                continue
            for ahead, behind in ((part.a, part.b), (part.b, part.a)):
                if ahead in self._reach and not self._spread(ahead, behind, part, found):
                    return None
        return found

    def _spread(self, ahead: str, behind: str, handle: Part, found: dict[str, str]) -> bool:
        root = self._same_as.get(ahead, ahead)
        todo = [behind]
        while todo:
            at = todo.pop()
            if at in self._reach or at in self._fed or found.get(at, root) != root:
                return False
            if at in found:
                continue
            found[at] = root
            for end, part in self._steps(at):
                if part is None or part.index == handle.index or self._is_open(part):
                    todo += [end] if part is None else []
                elif part.load is not None or not self.standing.closed(part):
                    return False
                else:
                    todo.append(end)
        return True

    def _is_open(self, part: Part) -> bool:
        """Surely: not even leakage passes."""
        if part.conducts is Conducts.NOTHING:
            return True
        opens = part.conducts is Conducts.CONTACT or bool(part.mechanism)
        device = self.panel.devices[part.device]
        leaks = part.number("leakage_a") or device.number("leakage_a")
        return opens and not leaks and not self.standing.closed(part)
