"""Faults to look for: of each load what should be done to run it, and what may keep it off.

Every fault of a task surely keeps its load from working: it is on all of the ways that feed the
load, or those of a coil or supply that it waits for.  Where that does not follow from the
drawing, it was tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from netcheck.bench.standing import Standing, stand
from netcheck.bench.trial import Trial
from netcheck.bench.troubles import Edit, Trouble
from netcheck.bench.walks import Walk, walks_of
from netcheck.model.devices import Conducts, Drive, Part, device_of, from_to, is_inside
from netcheck.model.faults import grounded, joining_parts
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.states.answers import Reached

LEVELS = ("easy", "medium", "hard")
MOST_TASKS = 12
MOST_TROUBLES = 40
MOST_OF_A_SORT = 3
"""Of faults of which a circuit has many, for one task."""
MOST_TRIED = 3
MOST_REBUILT = 10_000
"""Parts of panels that are built anew with something swapped, over all tasks."""
FOLLOWERS = frozenset(("coil", "input", "electronics", "supply", "primary", "meter", "outlet"))
"""Loads that nobody misses by themselves."""

Move = tuple[str, int]


@record
class Task:
    """A load that does not work, what should make it work, and the faults it may be.

    `moves` lead there from power off; `pairs` are points worth metering, red lead first.
    `easy` faults are in its own circuit, `medium` ones also in those it waits for.
    """

    load: Part
    moves: tuple[Move, ...]
    pairs: tuple[tuple[str, str], ...]
    easy: tuple[Trouble, ...]
    medium: tuple[Trouble, ...]
    hard: tuple[Trouble, ...]

    def troubles(self, level: str) -> tuple[Trouble, ...]:
        return {"easy": self.easy, "medium": self.medium, "hard": self.hard}[level]


def tasks_of(panel: Panel) -> tuple[Task, ...]:
    """One for each load that can be run and missed, spread over the panel; at most a dozen."""
    standing = stand(panel)
    loads = list({p.device: p for p in reversed(panel.parts) if _is_missed(p)}.values())[::-1]
    every = max(1, -(-len(loads) // MOST_TASKS))
    trial, tries = Trial(panel, rated=standing.numbers), iter(range(_most_tries(panel)))
    found = (_task(trial.copy(), standing, load, tries) for load in loads[::every])
    return tuple(task for task in found if task is not None and task.easy)


def _is_missed(part: Part) -> bool:
    load = part.load
    return (
        load is not None
        and load.works not in FOLLOWERS
        and load.volts is not None
        and not part.spare
        and part.a != part.b
    )


def _most_tries(panel: Panel) -> int:
    return MOST_REBUILT // (len(panel.parts) + 1)


def _task(trial: Trial, standing: Standing, load: Part, tries: Iterator[int]) -> Task | None:
    panel, states = standing.panel, standing.states
    answer = states.prover.can_happen(states.energised(load), at="settled")
    if not isinstance(answer, Reached):
        return None
    moves = tuple(moves_to(panel, answer))
    circuits = list(_circuits(standing, load))
    trial.after(moves)
    if not circuits or not trial.is_on(load) or trial.reading(load.a, load.b) is None:
        return None
    own, waited = circuits[0], circuits[1:]
    easy = tuple(_breaks(panel, own))
    medium = (*easy, *(one for circuit in waited for one in _breaks(panel, circuit)))
    medium = (*medium, *_loose(panel, circuits))
    shorts = [*_few(_shorts(panel, circuits)), *_few(_ground_faults(panel, circuits))]
    swapped = _swapped(panel, load, moves, circuits, tries)
    hard = (*medium, *_supplies(panel, circuits), *shorts, *swapped)
    cut = (_distinct(easy), _distinct(medium), _distinct(hard))
    pairs = tuple(dict.fromkeys(pair for circuit in circuits for pair in _pairs(circuit)))
    return Task(load, moves, pairs, *cut)


def moves_to(panel: Panel, answer: Reached) -> Iterator[Move]:
    """What is put where, sources first, then as the proof has it; relays move by themselves."""
    mechanisms = panel.mechanisms
    for name, one in mechanisms.items():
        if one.drive is Drive.SOURCE:
            yield name, 1
    for name, value in answer.start.items():
        mechanism = mechanisms[name]
        if isinstance(value, str) and mechanism.drive is not Drive.SOURCE:
            position = mechanism.positions.index(value)
            if position and mechanism.drive is not Drive.PROTECTION:
                yield name, position
    for step in answer.steps:
        for change in step.changes:
            mechanism = mechanisms[change.name]
            if isinstance(change.after, str) and mechanism.drive is not Drive.SOURCE:
                position = mechanism.positions.index(change.after)
                if position in mechanism.resting:
                    yield change.name, position
            elif mechanism.drive in (Drive.ON_DELAY, Drive.OFF_DELAY):
                yield change.name, int(bool(change.after))


def _distinct(troubles: Iterable[Trouble]) -> tuple[Trouble, ...]:
    """Each once; of too many so many of every sort, in turn."""
    by_sort: dict[str, dict[str, Trouble]] = {}
    for one in troubles:
        by_sort.setdefault(one.sort, {}).setdefault(one.words, one)
    kept: list[Trouble] = []
    queues = [list(group.values()) for group in by_sort.values()]
    while any(queues) and len(kept) < MOST_TROUBLES:
        for queue in queues:
            if queue:
                kept.append(queue.pop(0))
    return tuple(kept[:MOST_TROUBLES])


# ---- circuits ----------------------------------------------------------------------------------


@record
class Series:
    """Of one load what is on all of its ways, in the order of the first one."""

    load: Part
    way: Walk
    passed: tuple[Wire | Part, ...]


def _circuits(standing: Standing, load: Part) -> Iterator[Series]:
    """The load's own, then those of the coils and supplies that it waits for."""
    panel = standing.panel
    todo, seen = [load], set[int]()
    while todo:
        part = todo.pop(0)
        if part.index in seen:
            continue
        seen.add(part.index)
        series = _series(standing, part)
        if series is None:
            continue
        yield series
        for by in series.passed:
            mechanism = panel.mechanisms.get(by.mechanism) if isinstance(by, Part) else None
            follows = mechanism is not None and mechanism.drive is Drive.COIL
            if mechanism is not None and follows and isinstance(by, Part) and 0 not in by.closed:
                todo += [panel.parts[index] for index in mechanism.coils]
        for source in panel.sources:
            if source.device in (device_of(series.way.start), device_of(series.way.end)):
                todo += [panel.parts[index] for index in source.inputs]


def _series(standing: Standing, load: Part) -> Series | None:
    found = walks_of(standing.states, load)
    if found.more or not found.ways:
        return None
    everywhere = [{_key(one.by) for one in way.passed} for way in found.ways]
    common = set.intersection(*everywhere)
    way = found.ways[0]
    return Series(load, way, tuple(one.by for one in way.passed if _key(one.by) in common))


def _key(by: Wire | Part) -> tuple[bool, int]:
    return isinstance(by, Wire), by.index


def _pairs(series: Series) -> Iterator[tuple[str, str]]:
    way = series.way
    for step in way.passed:
        if step.start != way.end and not is_inside(step.start):
            yield step.start, way.end
    if not is_inside(way.entered) and not is_inside(way.left):
        yield way.entered, way.left


# ---- faults that follow from the drawing ---------------------------------------------------------


def _breaks(panel: Panel, series: Series) -> Iterator[Trouble]:
    for by in series.passed:
        if is_inside(by.a) or is_inside(by.b):
            continue
        if isinstance(by, Wire):
            edit = Edit(wires_out=(by.index,))
            yield Trouble("open wire", f"{panel.wire_name(by)} open", edit)
        elif by.index == series.load.index:
            sort = "burned-out load"
            yield Trouble(sort, f"{_way(by)} burned out", Edit(dead=(by.index,)))
        elif by.conducts is Conducts.CONTACT and by.mechanism:
            yield Trouble("failed contact", f"{_way(by)} stays open", Edit(opened=(by.index,)))
        elif panel.devices[by.device].kind == "fuse":
            yield Trouble("blown fuse", f"{by.device} blown", Edit(opened=(by.index,)))


def _way(part: Part) -> str:
    return f"{part.device}:{from_to(part.a, part.b)}"


def _loose(panel: Panel, circuits: Sequence[Series]) -> Iterator[Trouble]:
    """A joint of as many ohm as the load behind it: it gets about half its volts."""
    for series in circuits:
        load = series.load.load
        if load is None or not load.volts or not load.current_a:
            continue
        ohm = round(load.volts / load.current_a, 1)
        for by in series.passed:
            if isinstance(by, Wire):
                edit = Edit(wires_out=(by.index,), joints=((by.a, by.b, ohm),))
                words = f"{by.a} loose on {panel.wire_name(by)}"
                yield Trouble("loose terminal", words, edit)


def _supplies(panel: Panel, circuits: Sequence[Series]) -> Iterator[Trouble]:
    ends = {device_of(end) for one in circuits for end in (one.way.start, one.way.end)}
    for index, source in enumerate(panel.sources):
        if source.device in ends and (source.inputs or source.kind == "DC"):
            words = f"{source.device} gives half its volts"
            yield Trouble("wrong supply", words, Edit(volts=((index, 0.5),)))


def _few(troubles: Iterable[Trouble]) -> list[Trouble]:
    return list(islice(troubles, MOST_OF_A_SORT))


def _shorts(panel: Panel, circuits: Sequence[Series]) -> Iterator[Trouble]:
    """Of loads that something protects: it opens."""
    for series in circuits:
        part = series.load
        if any(_protects(panel, step.by) for step in series.way.out):
            joint = (part.a, part.b, 0.0)
            yield Trouble("short", f"{_way(part)} shorted", Edit(joints=(joint,)))


def _ground_faults(panel: Panel, circuits: Sequence[Series]) -> Iterator[Trouble]:
    """Behind a protective device, the wire next to the load first."""
    for series in circuits:
        out = series.way.out
        first = next((at for at, step in enumerate(out) if _protects(panel, step.by)), len(out))
        for step in reversed(out[first:]):
            if not isinstance(step.by, Wire) or step.by not in series.passed:
                continue
            for fault, part in joining_parts(panel, [grounded(panel, step.by)]).items():
                yield Trouble("ground fault", fault.words, Edit(joints=((part.a, part.b, 0.0),)))


def _protects(panel: Panel, by: Wire | Part) -> bool:
    return isinstance(by, Part) and panel.devices[by.device].kind in ("fuse", "breaker")


# ---- faults that are tried -----------------------------------------------------------------------


def _swapped(
    panel: Panel,
    load: Part,
    moves: Sequence[Move],
    circuits: Sequence[Series],
    tries: Iterator[int],
) -> Iterator[Trouble]:
    for trouble, _ in zip(islice(_swaps(panel, circuits), MOST_TRIED), tries, strict=False):
        trial = Trial(panel, trouble.edit).after(moves)
        if trial.stands and not trial.is_on(load):
            yield trouble


def _swaps(panel: Panel, circuits: Sequence[Series]) -> Iterator[Trouble]:
    """A wire of the circuit and one on the next terminal of the same device change places."""
    for series in circuits:
        touched = {end for step in series.way.passed for end in (step.start, step.end)}
        for by in series.passed:
            if isinstance(by, Wire):
                yield from swaps_of(panel, by, touched)


def swaps_of(panel: Panel, wire: Wire, touched: set[str]) -> Iterator[Trouble]:
    for here in (wire.a, wire.b):
        terminals = panel.devices[device_of(here)].terminals
        at = terminals.index(here)
        for there in terminals[at + 1 : at + 2]:
            others = panel.wires_at.get(there, ())
            if there in touched or len(others) != 1 or len(panel.wires_at[here]) != 1:
                continue
            other = others[0]
            ends = ((wire.index, here, there), (other.index, there, here))
            words = f"{panel.wire_name(wire)} and {panel.wire_name(other)} swapped at {here}"
            yield Trouble("swapped wires", words, Edit(moved=ends))
