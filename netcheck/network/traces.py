"""A path as a technician walks it: terminal by terminal, wire by wire, through each device."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Container, Iterable, Iterator, Sequence

from netcheck.finding import PathStep
from netcheck.model.devices import Part, device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record


@record
class Passed:
    """From terminal `start` to `end` by a wire or through a part."""

    start: str
    end: str
    by: Wire | Part


Passable = Callable[[Part, bool], bool]
"""Whether a part is passed, forwards (from its a to its b) or not."""


def walk(
    panel: Panel,
    starts: Iterable[str],
    ends: Iterable[str],
    passable: Passable,
    *,
    without: Wire | Part | None = None,
    gone: Container[int] = (),
) -> list[Passed] | None:
    """The shortest walk from one of `starts` to one of `ends`; None if there is none.

    It passes neither `without` nor what has its `id` in `gone`.
    """
    return _Walk(panel, starts, ends, passable, without, gone).found()


class _Walk:
    """A shortest walk, looked for from both its ends by turns.

    A pole may have thousands of terminals within a few steps, a load at the other end of the walk
    has a handful.  Once the two searches meet, the one from the starts goes on only to where a
    shortest walk leads; among those it finds the first, as if it had gone everywhere.
    """

    def __init__(
        self,
        panel: Panel,
        starts: Iterable[str],
        ends: Iterable[str],
        passable: Passable,
        without: Wire | Part | None,
        gone: Container[int],
    ) -> None:
        self._panel = panel
        self._passable = passable
        self._without = without
        self._gone = gone
        self._came: dict[str, Passed | None] = dict.fromkeys(starts)
        self._left: dict[str, int] = dict.fromkeys(ends, 0)
        """How many steps are left from a terminal to an end."""

    def found(self) -> list[Passed] | None:
        ahead, back = [*self._came], [*self._left]
        steps_back = 0
        while not any(at in self._left for at in ahead):
            if self._work(ahead) <= self._work(back):
                ahead = [*self._onwards(ahead)]
            else:
                steps_back += 1
                back = [*self._backwards(back, steps_back)]
            if not ahead or not back:
                return None
        ahead = [at for at in ahead if at in self._left]
        for left in range(self._left[ahead[0]] - 1, -1, -1):
            ahead = [at for at in self._onwards(ahead) if self._left.get(at) == left]
        return _back(ahead[0], self._came)

    def _work(self, terminals: list[str]) -> int:
        wires, parts = self._panel.wires_at, self._panel.parts_at
        return sum(len(wires.get(at, ())) + len(parts.get(at, ())) for at in terminals)

    def _onwards(self, terminals: list[str]) -> Iterator[str]:
        for at in terminals:
            for passed in steps(self._panel, at, self._passable):
                if passed.end not in self._came and self._is_there(passed.by):
                    self._came[passed.end] = passed
                    yield passed.end

    def _backwards(self, terminals: list[str], number: int) -> Iterator[str]:
        for at in terminals:
            for passed in steps(self._panel, at, self._the_other_way):
                if passed.end not in self._left and self._is_there(passed.by):
                    self._left[passed.end] = number
                    yield passed.end

    def _the_other_way(self, part: Part, forwards: bool) -> bool:
        return self._passable(part, not forwards)

    def _is_there(self, by: Wire | Part) -> bool:
        return by is not self._without and id(by) not in self._gone


def needed(
    panel: Panel, path: Sequence[Passed], ends: Iterable[str], passable: Passable
) -> list[Wire | Part]:
    """What of a walk without detours every walk from its start to one of `ends` passes.

    One sweep: as far as one comes without the walk's own steps, none of them is needed; where
    one comes no further, the next step is.
    """
    if not path:
        return []
    place = {passed.end: number for number, passed in enumerate(path, start=1)}
    place |= dict.fromkeys(ends, len(path))
    own = {id(passed.by) for passed in path}
    found: list[Wire | Part] = []
    seen = {path[0].start}
    queue = deque(seen)
    at = furthest = 0
    while at < len(path):
        while queue:
            for passed in steps(panel, queue.popleft(), passable):
                if passed.end not in seen and id(passed.by) not in own:
                    seen.add(passed.end)
                    queue.append(passed.end)
                    furthest = max(furthest, place.get(passed.end, 0))
        if furthest == at:
            found.append(path[at].by)
            furthest += 1
        new = {passed.end for passed in path[at:furthest]} - seen
        seen |= new
        queue += sorted(new)
        at = furthest
    return found


def reached(
    panel: Panel, starts: Iterable[str], passable: Passable, *, without: Wire | Part | None = None
) -> set[str]:
    """All terminals a walk from `starts` comes to."""
    seen = set(starts)
    queue = deque(seen)
    while queue:
        for passed in steps(panel, queue.popleft(), passable):
            if passed.end not in seen and passed.by is not without:
                seen.add(passed.end)
                queue.append(passed.end)
    return seen


def steps(panel: Panel, at: str, passable: Passable) -> Iterable[Passed]:
    """Every wire and part that leads on from a terminal."""
    for wire in panel.wires_at.get(at, ()):
        yield Passed(at, wire.b if wire.a == at else wire.a, wire)
    for part in panel.parts_at.get(at, ()):
        forwards = part.a == at
        if passable(part, forwards):
            yield Passed(at, part.b if forwards else part.a, part)


def _back(at: str, came: dict[str, Passed | None]) -> list[Passed]:
    path = []
    while (passed := came[at]) is not None:
        path.append(passed)
        at = passed.start
    return path[::-1]


def told(panel: Panel, path: list[Passed], here: object = None) -> tuple[PathStep, ...]:
    """The walk as a finding tells it, with the arrow at `here`.

    Where it does not follow on, current passes through the source between its poles.
    """
    found: list[PathStep] = []
    for place, passed in enumerate(path):
        if place and path[place - 1].end != passed.start:
            found.append(PathStep(path[place - 1].end, f"through {device_of(passed.start)}"))
        found.append(PathStep(passed.start, name_of(panel, passed.by), passed.by is here))
    if path:
        found.append(PathStep(path[-1].end))
    return tuple(found)


def name_of(panel: Panel, by: Wire | Part) -> str:
    return panel.wire_name(by) if isinstance(by, Wire) else by.label
