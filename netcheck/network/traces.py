"""A path as a technician walks it: terminal by terminal, wire by wire, through each device."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Container, Iterable, Sequence

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
    wanted = set(ends)
    came: dict[str, Passed | None] = dict.fromkeys(starts)
    queue = deque(came)
    while queue:
        at = queue.popleft()
        if at in wanted:
            return _back(at, came)
        for passed in steps(panel, at, passable):
            by = passed.by
            if passed.end not in came and by is not without and id(by) not in gone:
                came[passed.end] = passed
                queue.append(passed.end)
    return None


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
