"""The probe sheet of a load: one lead fixed, the other walked from point to point.

It is filled in for the state in which the load should be on.  A first low reading means that
something between this point and the one before it is open.  Points are tried by halving.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.bench.cold_ohms import cold_ohms
from netcheck.bench.kept_volts import across_load, is_enough, past_sensors
from netcheck.bench.pulses import is_pulsed
from netcheck.bench.readings import Reading, read
from netcheck.bench.standing import Standing
from netcheck.bench.walks import Step, Walk, folded
from netcheck.bench.whereabouts import (
    ENCLOSED,
    GROUND,
    GroundAtHand,
    grounded_poles,
    held_at_ground,
    place_in_words,
    place_of,
    within_reach,
)
from netcheck.model.devices import Part, device_of, from_to
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, needed
from netcheck.record import record, replace
from netcheck.solve.steady import Steady
from netcheck.states.answers import Undecided
from netcheck.states.feed_path import poles_at
from netcheck.states.volts import kind_of


@record
class Point:
    """Where the moving lead goes: terminal, wire on it, where that is.

    `turn` is when to try it, 1 first.  `suspects` are what a first low reading here accuses:
    what lies between the point before and this one; on the way home, what a high one does.
    `beside`: another way leads around them too, and must be open as well.
    """

    terminal: str
    wire: str
    location: str
    side: str
    healthy: Reading
    turn: int
    suspects: tuple[str, ...]
    beside: bool = False


@record
class ProbeSheet:
    """`black` is where the fixed lead stays, `black_live` what it then reads to ground, in words;
    `elsewhere` tells of each other panel on the way where it stays there.  `set_up` tells how
    relays must stand whose contacts the way passes."""

    black: str
    black_live: str
    elsewhere: tuple[str, ...]
    set_up: tuple[str, ...]
    points: tuple[Point, ...]
    at_load: Reading
    if_all_well: str
    in_series: bool
    """Whether other loads stand in its way."""
    enough: bool
    """Whether it works with what it gets at `at_load`."""
    pulsed: bool = False
    """Whether a drive feeds it."""

    @property
    def drop_v(self) -> float:
        """What wires and contacts keep on the way: a loose terminal adds to it under load."""
        return max(0.0, self.points[0].healthy.size_v - self.at_load.size_v)

    @property
    def first(self) -> Point | None:
        """The point that splits what is left."""
        out = [point for point in self.points if point.turn]
        return min(out, key=lambda point: point.turn) if out else None

    def before(self, point: Point) -> Point | None:
        at = self.points.index(point)
        return self.points[at - 1] if at else None


def probe_sheet(standing: Standing, steady: Steady | Undecided, way: Walk) -> ProbeSheet | None:
    """None where the state could not be solved in numbers."""
    if isinstance(steady, Undecided):
        return None
    panel, black = standing.panel, way.end
    at_load = across_load(standing, read(steady, way.load.a, way.load.b), way.load)
    steps = folded(way.passed)
    certain = {id(one) for one in _needed(standing, way)}
    points: list[Point] = []
    between: list[str] = []
    unsure = False
    side = "source"
    first, kind = way.start, kind_of(way.volts)

    def healthy(terminal: str) -> Reading:
        reading, home = read(steady, terminal, black), side == "home"
        return past_sensors(standing, reading, terminal, home=home, kind=kind)

    def add(terminal: str, wire: str) -> None:
        nonlocal between, unsure
        points.append(
            Point(
                terminal,
                wire,
                panel.devices[device_of(terminal)].location,
                side,
                healthy(terminal),
                0,
                tuple(between) if points else _of_source(way),
                unsure,
            )
        )
        between, unsure = [], False

    add(first, _wire_on(steps[0]))
    for step, after in zip(steps, [*steps[1:], None], strict=True):
        if step.first is way.load:
            if between or points[-1].terminal != step.start:
                add(step.start, "")
            side, between = "home", []
            add(step.end, _wire_on(after))
            continue
        if (name := _name(step)) not in between:
            between.append(name)
        unsure = unsure or any(id(one.by) not in certain for one in step.passed)
        if not isinstance(step.first, Wire):
            continue
        at_strip = panel.devices[device_of(step.end)].kind == "strip"
        if at_strip or after is None or isinstance(after.first, Part):
            add(step.end, step.first.number)
    if between:
        add(black, "")
    return ProbeSheet(
        black,
        _live_to_ground(standing, steady, black),
        tuple(_elsewhere(panel, points, black)),
        tuple(_set_up(standing, way)),
        tuple(_in_turn(points)),
        at_load,
        f"{way.load.label} itself; power off, one end lifted: "
        + cold_ohms(panel, panel.parts[way.load.index]).words,
        any(isinstance(one.by, Part) and one.by.load for one in (*way.out, *way.home)),
        is_enough(panel, at_load, way.load),
        is_pulsed(panel, (way.start, way.end)),
    )


def _set_up(standing: Standing, way: Walk) -> Iterator[str]:
    """How relays stand whose contacts the way passes; the load's own follow it."""
    passed = {one.by.mechanism for one in way.passed if isinstance(one.by, Part)}
    for name, mover in standing.states.machine.movers.items():
        if name in passed and way.load.index not in standing.panel.mechanisms[name].coils:
            yield f"{name} {'in' if standing.values[mover.state] else 'out'}"


def _live_to_ground(standing: Standing, steady: Steady, terminal: str) -> str:
    """Nothing of what reads nothing to any grounded pole."""
    for pole in sorted(grounded_poles(standing.panel)):
        reading = read(steady, terminal, pole)
        if not reading.floats and not reading.is_nought:
            return f"{reading} to {pole}"
    return ""


def _elsewhere(panel: Panel, points: Sequence[Point], black: str) -> Iterator[str]:
    """No lead reaches another place: ground is met there too, if the fixed lead is at ground."""
    grounded, ground = black in held_at_ground(panel), GroundAtHand(panel)
    near = {place_of(panel, device_of(one.terminal)): one.terminal for one in reversed(points)}
    for terminal in reversed(near.values()):
        if not within_reach(panel, terminal, black):
            device = device_of(terminal)
            beside = ground.beside(device) if grounded else ""
            long = f"a long lead from {black}"
            if beside == GROUND:  # the text tells of none there
                beside = f"{long}, or ground if it is met there"
            yield f"at {place_in_words(panel, device)}: {beside or long}"


def _of_source(way: Walk) -> tuple[str, ...]:
    return (f"{device_of(way.start)} or what feeds it",)


def _name(step: Step) -> str:
    by = step.first
    if isinstance(by, Wire):
        return by.label if by.number else "its wire"
    return f"{by.device} {from_to(step.start, step.end)}"


def _wire_on(step: Step | None) -> str:
    return step.first.number if step is not None and isinstance(step.first, Wire) else ""


def _needed(standing: Standing, way: Walk) -> list[Wire | Part]:
    """What no other closed way of this state leads around, the load's own contacts open."""
    load = way.load

    def passable(part: Part, forwards: bool) -> bool:
        if part.load is not None or part.conducts in ("nothing", "bond"):
            return False
        if part.device == load.device and part.mechanism:
            return False
        return standing.closed(part) and (forwards or not standing.states.one_way(part))

    def backwards(part: Part, forwards: bool) -> bool:
        return passable(part, not forwards)

    panel = standing.panel
    starts, ends = _poles_now(standing, way)
    out = [Passed(one.end, one.start, one.by) for one in reversed(way.out)]
    found = needed(panel, out, starts, backwards)
    return [*found, *needed(panel, way.home, ends, passable)]


def _poles_now(standing: Standing, way: Walk) -> tuple[Sequence[str], Sequence[str]]:
    """The poles that feed the load in this state and come home where this way does, and those
    it comes home to from where this way starts."""
    states, load = standing.states, way.load
    start, end = states.node(way.start), states.node(way.end)
    rails = [
        (feed.rail_a, feed.rail_b) if way.entered == load.a else (feed.rail_b, feed.rail_a)
        for feed in states.feeds(load)
        if standing.holds(feed.condition)
    ]
    starts = {start, *(out for out, home in rails if home == end)}
    ends = {end, *(home for out, home in rails if out == start)}
    return [p for at in starts for p in poles_at(states, at)], [
        p for at in ends for p in poles_at(states, at)
    ]


def _in_turn(points: Sequence[Point]) -> list[Point]:
    """Halved: first the middle of the way out, then the middle of each half."""
    out = [place for place, point in enumerate(points) if point.side == "source"]
    turns: dict[int, int] = {}

    def halve(places: Sequence[int], turn: int) -> None:
        if not places:
            return
        middle = _easiest(points, places)
        turns[places[middle]] = turn
        halve(places[:middle], turn + 1)
        halve(places[middle + 1 :], turn + 1)

    halve(out, 1)
    last = max(turns.values(), default=0)
    homes = [place for place, point in enumerate(points) if point.side == "home"]
    if homes:
        turns[homes[0]] = last + 1
    return [replace(point, turn=turns.get(place, 0)) for place, point in enumerate(points)]


def _easiest(points: Sequence[Point], places: Sequence[int]) -> int:
    """The middle, or beside it one that needs no walk to the field."""
    middle = len(places) // 2
    if len(places) < 4:
        return middle
    near = (middle, middle - 1, middle + 1)
    inside = [at for at in near if points[places[at]].location in ENCLOSED]
    return inside[0] if inside else middle
