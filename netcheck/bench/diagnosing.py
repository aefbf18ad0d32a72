"""Which single faults explain all that was seen, and which two points to meter next.

Each fault on a way to the loads concerned, and to the coils and supplies these wait for, is
put into the panel and the panel left to settle; it stays suspect if everything then looks as
it was seen.  The next reading is the one whose outcomes part the suspects best.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from netcheck.bench.observations import Observation, Read, Symptom
from netcheck.bench.readings import Reading, read
from netcheck.bench.standing import Standing, stand
from netcheck.bench.walks import Walk, walks_of
from netcheck.model.devices import Conducts, Drive, Part, device_of
from netcheck.model.faults import (
    Fault,
    FaultKind,
    broken,
    can_weld,
    fault_in_words,
    held,
    of_parts,
    welded,
    wire_open,
)
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.supposed import suppose
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.solve.steady import Steady
from netcheck.states.answers import Undecided
from netcheck.states.volts import magnitude

MOST_FAULTS = 400
INSIDE = ("panel", "plate", "door")
FREQUENT = {"fuse": 6, "field wire": 5, "switch": 4, "contact": 3, "coil": 2, "wire": 2, "other": 1}
"""How often such things fail, against one another: from memory; only the order counts."""


@record
class Suspect:
    """A fault that explains everything, how often its like happens, and where it is."""

    fault: str
    weight: int
    location: str


@record
class Outcome:
    """One reading of the next pair, and the faults that it leaves."""

    reading: Reading
    faults: tuple[str, ...]


@record
class Next:
    """Red on `red`, black on `black`, with these things put somewhere."""

    red: str
    black: str
    location: str
    withs: tuple[str, ...]
    outcomes: tuple[Outcome, ...]


@record
class Diagnosis:
    """`sound_fits`: without any fault everything looks as it was seen.  `tried` faults were
    put in; `not_told` are those of which the panel then does not settle or solve."""

    suspects: tuple[Suspect, ...]
    next: Next | None
    sound_fits: bool
    tried: int
    not_told: tuple[str, ...]
    more: bool
    highest_v: float
    """Nominal, of the ways that are looked at."""
    misfits: tuple[str, ...]
    """What the sound panel would show otherwise: the observations to be explained."""


class Unsolvable(Exception):
    """With this fault there are no numbers to compare."""


class Bench:
    """One panel with one fault or none, in each of the states that something was seen in."""

    def __init__(self, panel: Panel, fault: Fault | None) -> None:
        self._panel = panel
        self._fault = fault
        self._standing: dict[tuple[str, ...], Standing] = {}
        self._solved: dict[tuple[str, ...], Steady] = {}

    def standing(self, withs: tuple[str, ...]) -> Standing:
        if withs not in self._standing:
            changed = suppose(self._panel, withs, ()).panel
            if self._fault is not None:
                changed = broken(changed, self._fault)
            self._standing[withs] = stand(changed)
        if self._standing[withs].restless:
            raise Unsolvable
        return self._standing[withs]

    def reading(self, red: str, black: str, withs: tuple[str, ...]) -> Reading:
        if withs not in self._solved:
            solved = self.standing(withs).solve(ideal_wires=True)
            if isinstance(solved, Undecided):
                raise Unsolvable
            self._solved[withs] = solved
        return read(self._solved[withs], red, black)

    def shows(self, seen: Observation) -> bool:
        if isinstance(seen, Read):
            return seen.agrees(self.reading(seen.red, seen.black, seen.withs))
        return seen.on == self._is_on(seen)

    def _is_on(self, seen: Symptom) -> bool:
        """A relay that is in; another load that is energised."""
        standing = self.standing(seen.withs)
        panel = standing.panel
        device = panel.devices[seen.device]
        for name in device.mechanisms:
            if panel.mechanisms[name].moved_by_coil:
                return standing.holds(standing.states.in_positions(name, frozenset((1,))))
        loads = [panel.parts[i] for i in device.parts if panel.parts[i].load is not None]
        return any(standing.holds(standing.states.energised(load)) for load in loads)


def diagnose(panel: Panel, seen: Sequence[Observation]) -> Diagnosis:
    # Without numbers first: they cost more than whether a relay is in.
    ordered = sorted(seen, key=lambda one: isinstance(one, Read))
    sound = Bench(panel, None)
    misfits = tuple(one.words for one in ordered if not _shows(sound, one))
    states = stand(panel)
    ways = list(_ways(states, panel, ordered))
    highest_v = max((magnitude(way.volts) for way in ways), default=0.0)
    if not misfits:
        return Diagnosis((), None, True, 0, (), False, highest_v, ())
    candidates = _candidates(panel, ways, ordered)
    more = len(candidates) > MOST_FAULTS
    left: list[tuple[Suspect, Bench]] = []
    not_told: list[str] = []
    for fault in candidates[:MOST_FAULTS]:
        bench = Bench(panel, fault)
        try:
            fits = all(bench.shows(one) for one in ordered)
        except Unsolvable:
            not_told.append(fault.words)
            continue
        if fits:
            left.append((_suspect(panel, fault), bench))
    left.sort(key=lambda one: -one[0].weight)
    return Diagnosis(
        tuple(suspect for suspect, _ in left),
        _next(panel, ways, ordered, left),
        False,
        min(len(candidates), MOST_FAULTS),
        tuple(not_told),
        more,
        highest_v,
        misfits,
    )


def _shows(bench: Bench, seen: Observation) -> bool:
    try:
        return bench.shows(seen)
    except Unsolvable:
        return False


# ---- where to look ----


def _ways(standing: Standing, panel: Panel, seen: Iterable[Observation]) -> Iterator[Walk]:
    """The ways of the loads seen, of the coils whose contacts these pass, of their supplies."""
    todo = [part for one in seen for part in _loads_of(panel, one)]
    known: set[int] = set()
    while todo:
        load = todo.pop(0)
        if load.index in known:
            continue
        known.add(load.index)
        for way in walks_of(standing.states, load).ways:
            yield way
            for passed in way.passed:
                if isinstance(passed.by, Part) and passed.by.mechanism:
                    coils = panel.mechanisms[passed.by.mechanism].coils
                    todo += [panel.parts[index] for index in coils]
            for source in panel.sources:
                if source.device in (device_of(way.start), device_of(way.end)):
                    todo += [panel.parts[index] for index in source.inputs]


def _loads_of(panel: Panel, seen: Observation) -> list[Part]:
    """Of a reading the loads at its points, or else those of the devices beside them."""
    names = [seen.device] if isinstance(seen, Symptom) else [seen.red, seen.black]
    devices = {device_of(name) for name in names}
    return [part for part in panel.parts if part.load is not None and part.device in devices]


def _candidates(panel: Panel, ways: Iterable[Walk], seen: Sequence[Observation]) -> list[Fault]:
    stays_on = any(isinstance(one, Symptom) and one.on for one in seen)
    stays_on = stays_on or any(isinstance(one, Read) for one in seen)
    found: dict[str, Fault] = {}
    for way in ways:
        for passed in way.passed:
            for fault in _faults_of(panel, passed.by, stays_on):
                found.setdefault(fault.words, fault)
    return list(found.values())


def _faults_of(panel: Panel, by: Wire | Part, stays_on: bool) -> Iterator[Fault]:
    if isinstance(by, Wire):
        yield wire_open(panel, by)
        return
    mechanism = panel.mechanisms.get(by.mechanism)
    if (
        mechanism is not None
        and mechanism.drive is Drive.PROTECTION
        and not _is_disconnect(panel, by)
    ):
        kind = "blown" if panel.devices[by.device].kind == "fuse" else "tripped"
        try:
            yield fault_in_words(panel, f"{by.device} {kind}")
        except NameMistake:
            yield of_parts(panel, [by], FaultKind.OPEN)
        return
    yield of_parts(panel, [by], FaultKind.OPEN)
    if mechanism is not None and mechanism.moved_by_coil:
        yield held(mechanism, FaultKind.HELD_OUT)
        if stays_on:
            yield held(mechanism, FaultKind.HELD_IN)
    if stays_on and by.conducts is Conducts.CONTACT and can_weld(by):
        yield welded(panel, by)


def _is_disconnect(panel: Panel, part: Part) -> bool:
    return panel.devices[part.device].kind == "disconnect"


def _suspect(panel: Panel, fault: Fault) -> Suspect:
    if fault.wires:
        wire = panel.wire_numbered[fault.wires[0]]
        places = {panel.devices[device_of(end)].location for end in (wire.a, wire.b)}
        outside = sorted(places - set(INSIDE))
        sort = "field wire" if outside else "wire"
        return Suspect(fault.words, FREQUENT[sort], outside[0] if outside else "panel")
    device = panel.devices[
        panel.parts[fault.parts[0]].device
        if fault.parts
        else panel.mechanisms[fault.mechanism].device
    ]
    return Suspect(fault.words, FREQUENT[_sort(panel, fault)], device.location)


def _sort(panel: Panel, fault: Fault) -> str:
    if fault.kind in (FaultKind.BLOWN, FaultKind.TRIPPED):
        return "fuse"
    part = panel.parts[fault.parts[0]] if fault.parts else None
    if part is not None and part.load is not None:
        return "coil"
    mechanism = panel.mechanisms.get(part.mechanism if part is not None else fault.mechanism)
    if mechanism is None or mechanism.drive is Drive.PROTECTION:
        return "other"
    return "switch" if mechanism.drive in (Drive.HAND, Drive.PROCESS) else "contact"


# ---- where to meter next ----


def _next(
    panel: Panel,
    ways: Sequence[Walk],
    seen: Sequence[Observation],
    left: Sequence[tuple[Suspect, Bench]],
) -> Next | None:
    """The pair whose outcomes leave the fewest suspects, by weight; inside the panel if equal."""
    if len(left) < 2:
        return None
    done = {(one.red, one.black) for one in seen if isinstance(one, Read)}
    best: tuple[float, int, int] | None = None
    chosen: Next | None = None
    for withs in dict.fromkeys(one.withs for one in seen):
        for place, (red, black) in enumerate(_pairs(ways)):
            if (red, black) in done or (black, red) in done:
                continue
            outcomes = _outcomes(red, black, withs, left)
            if outcomes is None or len(outcomes) < 2:
                continue
            location = panel.devices[device_of(red)].location
            total = sum(suspect.weight for suspect, _ in left)
            weights = {suspect.fault: suspect.weight for suspect, _ in left}
            shares = [sum(weights[name] for name in one.faults) / total for one in outcomes]
            rank = (round(sum(s * s for s in shares), 6), int(location not in INSIDE), place)
            if best is None or rank < best:
                best, chosen = rank, Next(red, black, location, withs, outcomes)
    return chosen


def _pairs(ways: Sequence[Walk]) -> Iterator[tuple[str, str]]:
    pairs = [(step.start, way.end) for way in ways for step in way.passed if step.start != way.end]
    pairs += [(way.entered, way.left) for way in ways]
    yield from dict.fromkeys(pairs)


def _outcomes(
    red: str, black: str, withs: tuple[str, ...], left: Sequence[tuple[Suspect, Bench]]
) -> tuple[Outcome, ...] | None:
    """Readings a meter tells apart; what floats goes with 0 V, for it may show that."""
    groups: list[tuple[Reading, list[str]]] = []
    for suspect, bench in left:
        try:
            reading = bench.reading(red, black, withs)
        except Unsolvable:
            return None
        shown = Reading() if reading.floats else reading
        for known, names in groups:
            if known.like(shown, within=0.15):
                names.append(suspect.fault)
                break
        else:
            groups.append((shown, [suspect.fault]))
    groups.sort(key=lambda group: -group[0].size_v)
    return tuple(Outcome(reading, tuple(names)) for reading, names in groups)
