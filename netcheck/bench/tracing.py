"""One load traced: place by place from a pole to the load and home, and what stands open.

Two panels are looked at: as it is supposed to be, and with the fault in it if one is asked
for.  What is open in both is meant to be open in this state; what only the fault opens, or
keeps from closing, is not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.bench.diodes import quenching
from netcheck.bench.energising import Energising, doing, energise
from netcheck.bench.isolating import STORES
from netcheck.bench.kept_volts import across_load, is_enough, past_sensors
from netcheck.bench.lamps_now import Settled, lit
from netcheck.bench.monitors import taken_as_healthy
from netcheck.bench.probe_sheet import ProbeSheet, probe_sheet
from netcheck.bench.readings import Reading, amperes, as_said, made_for, read
from netcheck.bench.standing import Standing, stand
from netcheck.bench.walks import Step, Walk, Walks, folded, star_walk, walks_of
from netcheck.bench.whereabouts import grounded_poles, where
from netcheck.facts.electronic_drops import drop_of
from netcheck.facts.sections import is_protective, rating_of
from netcheck.figure import figure
from netcheck.model.devices import Conducts, Drive, Part, device_of, from_to
from netcheck.model.faults import moves_with_poles
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import reached
from netcheck.record import record, replace
from netcheck.states.answers import Never, Undecided
from netcheck.states.behaviour import Behaviour
from netcheck.states.volts import kind_of

MOST_OTHERS = 8
MOST_PROVED = 16
STAYS_CHARGED = ("capacitor", "drive")
UNREAD = "nothing of what was read energises it: mend the text first, then trace again"
FAR_OVER = 5.0
"""Times its rating, from where a fuse or breaker opens within moments: from memory."""


@record
class Place:
    """A terminal on the way, and what leads on from it: `by`, of a `sort`.

    `open` is how it stands now; then `meant` says whether it is so without a fault too, and
    `why` in words.  `volts` is now, against the pole the way comes home to.
    """

    at: str
    location: str
    side: str
    by: str
    sort: str
    open: bool
    meant: bool
    why: str
    volts: Reading | None

    @property
    def stuck(self) -> bool:
        """Whether it is closed by the fault alone."""
        return self.sort == "contact" and self.meant and not self.open


@record
class Way:
    """One of several ways: the pole it starts at, the contacts it passes, each with how it
    stands."""

    start: str
    contacts: tuple[Place, ...]

    @property
    def open(self) -> tuple[Place, ...]:
        return tuple(place for place in self.contacts if place.open)


@record
class Traced:
    """What is told of one load part.  `verdict` begins with its `word`: ON, OPEN, DEAD, SHORT,
    WRONG (voltage), NOT DECIDED."""

    load: str
    part: Part
    word: str
    verdict: str
    across: Reading | None
    live: tuple[str, ...]
    highest_v: float
    standing: tuple[str, ...]
    places: tuple[Place, ...]
    reference: str
    others: tuple[Way, ...]
    more_ways: bool
    ends: tuple[str, ...]
    """Where no way leads: how far each side of the load goes."""
    energising: Energising
    sheet: ProbeSheet | None
    live_noughts: tuple[str, ...]
    """Places that read 0 V against the reference and are live to ground, with what they read."""
    lamps: tuple[str, ...]
    """Of controllers: which lamps should be lit when the load should be on."""
    open_questions: tuple[str, ...]
    assumed: tuple[str, ...]
    stored: tuple[str, ...] = ()
    """What on the way stays charged when its source is gone, a sentence each."""

    @property
    def opens(self) -> tuple[Place, ...]:
        return tuple(place for place in self.places if place.open)


class Tracer:
    """Traces loads of one panel; `broken` is the same panel with the fault in it, `drawn` is it
    with nothing supposed at all: a way that is switched off is a way as well.  Of a text that was
    not read to the `whole` nothing is proved."""

    def __init__(
        self,
        panel: Panel,
        broken: Panel | None = None,
        drawn: Panel | None = None,
        *,
        whole: bool = True,
    ) -> None:
        self.panel = panel
        self._whole = whole
        self.sound = stand(panel)
        self._drawn = self.sound
        if drawn is not None and drawn is not panel:
            self._drawn = stand(drawn)
        self.now = self.sound if broken is None or broken is panel else stand(broken)
        self._solved = self.now.solve()

    def of(self, load: Part) -> Traced:
        energising = energise(self.sound, load)
        walks = walks_of(self._drawn.states, load)
        ways = [*self._in_star(load, energising), *self._ranked(walks, energising)]
        ways = [*self._fed_now(load, ways), *ways]
        energising = self._as_an_alarm(ways, energising)
        if energising.why_not and not self._whole:
            energising = replace(energising, why_not=UNREAD, open=True)
        across = self._across(ways, load)
        open_questions = [*self._left_open(), *([energising.why_not] if energising.open else [])]
        if walks.more:
            open_questions.append("there are more ways than were followed")
        if not ways:
            return self._unfed(load, across, energising, open_questions)
        main = ways[0]
        places = self._places(main)
        sheet: ProbeSheet | None = None
        lamps: tuple[str, ...] = ()
        if (then := energising.then) is not None:
            solved = then.solve()
            sheet, lamps = probe_sheet(then, solved, main), lit(Settled(then, solved))
        word, verdict = self._verdict(main, places, across)
        return Traced(
            load.label,
            load,
            word,
            verdict,
            across,
            *self._live(places, main),
            stands_in_words(self.now),
            places,
            main.end,
            tuple(Way(way.start, self._contacts(way)) for way in ways[1 : MOST_OTHERS + 1]),
            walks.more or len(ways) > MOST_OTHERS + 1,
            (),
            energising,
            sheet,
            self._live_noughts(places),
            lamps,
            tuple(open_questions),
            self._assumed(),
            tuple(self._stored(places)),
        )

    def _as_an_alarm(self, ways: Sequence[Walk], energising: Energising) -> Energising:
        """What is never energised with every breaker closed may be there to tell of one that is
        not."""
        if not ways or not energising.why_not or energising.open:
            return energising
        told = [self._opens_first(way) for way in ways]
        if not all(told):
            return energising
        names = tuple(dict.fromkeys(name for some in told for name in some))
        why = f"only once {' or '.join(names)} has opened: it tells of that"
        return Energising(why_not=why, tells_of=names)

    def _opens_first(self, way: Walk) -> list[str]:
        """Whose poles must have opened before this way is closed."""
        parts = [passed.by for passed in way.passed if isinstance(passed.by, Part)]
        return [p.device for p in parts if moves_with_poles(self.panel, p) and 1 not in p.closed]

    # ---- which way -----------------------------------------------------------------------

    def _ranked(self, walks: Walks, energising: Energising) -> list[Walk]:
        """What is closed now comes first, then what would energise it by other contacts than
        its own, then the shortest."""

        def rank(way: Walk) -> tuple[int, int, int, int]:
            parts = [passed.by for passed in way.passed if isinstance(passed.by, Part)]
            own = sum(way.load.index in self._coils_of(part) for part in parts)
            then = energising.then
            blocked = 0 if then is None else sum(_is_open(then, part) for part in parts)
            open_now = sum(self._is_open(passed.by) for passed in way.passed)
            return (0 if not open_now else 1 + blocked, own, open_now, len(way.passed))

        return sorted(self._possible(walks.ways), key=rank)

    def _in_star(self, load: Part, energising: Energising) -> Iterator[Walk]:
        """The way of a winding that turns its motor in star, now or where it should be on."""
        standing = self.now if self.now.is_energised(load) else energising.then
        feeds = () if standing is None else standing.states.feeds(load)
        if standing is None or any(standing.holds(feed.condition) for feed in feeds):
            return
        if (way := star_walk(standing, load)) is not None:
            yield way

    def _fed_now(self, load: Part, ways: Sequence[Walk]) -> Iterator[Walk]:
        """A way by which it is on, where none of these is closed: with a breaker open a second
        source may feed past it, for which there is no way to a place that is a pole as drawn."""
        now = self.now.panel.parts[load.index]
        if now.a != now.b and self.now.is_energised(now) and not any(map(self._is_closed, ways)):
            known = len(self.sound.panel.parts)
            for way in walks_of(self.now.states, now).ways:
                parts = [passed.by for passed in way.passed if isinstance(passed.by, Part)]
                if self._is_closed(way) and all(part.index < known for part in parts):
                    yield way

    def _coils_of(self, part: Part) -> tuple[int, ...]:
        """What moves a contact."""
        return self.panel.mechanisms[part.mechanism].coils if part.mechanism else ()

    def _possible(self, ways: Sequence[Walk]) -> Sequence[Walk]:
        """Without those whose contacts are proved never to be closed together, such as the
        lines of two contactors that lock one another out; all of them if none is left."""
        if len(ways) < 2:
            return ways
        states = self._drawn.states
        kept = []
        for way in ways[:MOST_PROVED]:
            closed = [states.closed(one.by) for one in way.passed if isinstance(one.by, Part)
                      and one.by.load is None]  # fmt: skip
            answer = states.prover.can_happen(states.logic.all_of(closed))
            if not isinstance(answer, Never):
                kept.append(way)
        return [*kept, *ways[MOST_PROVED:]] or ways

    def _carries(self, way: Walk) -> bool:
        """Whether current flows: it is closed, and its source gives something."""
        given = self._read(way.start, way.end)
        return (
            given is not None and not given.floats and not given.is_nought and self._is_closed(way)
        )

    def _is_closed(self, way: Walk) -> bool:
        return not any(self._is_open(passed.by) for passed in way.passed)

    def _across(self, ways: Sequence[Walk], load: Part) -> Reading | None:
        """What the load gets, without what sensors keep on its way."""
        reading = self._read(load.a, load.b)
        if reading is None or not ways or not self._carries(ways[0]):
            return reading
        return across_load(self.now, reading, load)

    def _is_open(self, by: Wire | Part) -> bool:
        if isinstance(by, Wire):
            return by.index not in self.now.panel.wire_numbered
        return _is_open(self.now, self.now.panel.parts[by.index])

    # ---- places --------------------------------------------------------------------------

    def _places(self, way: Walk) -> tuple[Place, ...]:
        """Bridges of a strip that follow on one another are one place.  What sensors keep is
        taken off where current flows."""
        found: list[Place] = []
        carries, kind = self._carries(way), kind_of(way.volts)
        for step in folded(way.passed):
            home = bool(found) and found[-1].side in ("load", "home")
            side = "load" if step.first is way.load else "home" if home else "source"
            place = self._place(step, side, way.end)
            if carries and place.volts is not None:
                volts = past_sensors(self.now, place.volts, place.at, home=home, kind=kind)
                place = replace(place, volts=volts)
            found.append(place)
        end = way.end
        found.append(
            Place(end, self._location(end), "home", "", "", False, True, "", self._read(end, end))
        )
        return tuple(found)

    def _contacts(self, way: Walk) -> tuple[Place, ...]:
        return tuple(
            self._place(step, "", way.end)
            for step in folded(way.passed)
            if any(_is_contact(one.by) for one in step.passed)
        )

    def _place(self, step: Step, side: str, reference: str) -> Place:
        first, last, volts = step.start, step.end, self._read(step.start, reference)
        by = self._decides(step)
        location = self._location(first)
        is_open = self._is_open(by)
        if isinstance(by, Wire):
            why = "fault" if is_open else ""
            name = by.label if by.number else "wire"
            name = self.panel.wire_name(by) if is_open else name
            return Place(first, location, side, name, "wire", is_open, False, why, volts)
        label = f"{by.device} {from_to(first, last)}"
        sort = _sort(self.panel, by)
        meant = _is_open(self.sound, by)
        return Place(
            first, location, side, label, sort, is_open, meant, self._why(by, is_open, meant), volts
        )

    def _decides(self, step: Step) -> Wire | Part:
        """Of several things inside of a device the one that is open, or that a fault closes."""
        inside = [one.by for one in step.passed]
        stuck = [by for by in inside if isinstance(by, Part) and _is_open(self.sound, by)]
        opens = [by for by in inside if self._is_open(by)]
        return next(iter([*opens, *stuck, *filter(_is_contact, inside), *inside]))

    def _why(self, part: Part, is_open: bool, meant: bool) -> str:
        """How it comes that a contact stands as it does."""
        now = self.now.panel.parts[part.index]
        if not part.mechanism:
            return "fault" if is_open else ""
        stands = doing(self.now, now)
        follows = self.panel.mechanisms[part.mechanism].moved_by_coil
        if is_open == meant:
            return stands
        if doing(self.sound, part) != stands and follows:
            return f"{stands}, and should not be: trace {part.device}"
        return "fault"

    def _location(self, terminal: str) -> str:
        return where(self.panel, device_of(terminal))

    def _read(self, red: str, black: str) -> Reading | None:
        if isinstance(self._solved, Undecided) or self.now.restless:
            return None
        return read(self._solved, red, black)

    # ---- verdict -------------------------------------------------------------------------

    def _verdict(
        self, way: Walk, places: Sequence[Place], across: Reading | None
    ) -> tuple[str, str]:
        name = _called(self.panel, way.load)
        load = way.load.load
        assert load is not None
        opens = [place for place in places if place.open]
        if self.now.restless:
            return "NOT DECIDED", f"NOT DECIDED: relays never come to rest, so {name} is not told"
        source = self._read(way.start, way.end)
        if source is not None and (source.is_nought or source.floats):
            given = "nothing (floats)" if source.floats else "0 V"
            return "DEAD", f"DEAD: {way.start} to {way.end} gives {given}{self._fed_by(way)}"
        if opens and across is not None and self._is_on(way.load, across):
            return "ON", f"ON: {name} gets {across}, by no way that is drawn: {opens[0].by} is open"
        if opens:
            return "OPEN", self._open_verdict(name, opens)
        if across is None:
            return "NOT DECIDED", f"NOT DECIDED: {name}, for nothing could be solved in numbers"
        over = self._overloaded(way)
        if over:
            return "SHORT", f"SHORT: {over}, and these readings with it"
        if is_enough(self.panel, across, way.load):
            stuck = [place.by for place in places if place.stuck]
            wrongly = f", and is meant to be off: {stuck[0]} is closed by fault" if stuck else ""
            return "ON", f"ON: {name} gets {across}{wrongly}"
        return "WRONG", f"WRONG: {name} gets {across}{made_for(load)}; nothing on the way is open"

    def _is_on(self, load: Part, across: Reading) -> bool:
        now = self.now.panel.parts[load.index]
        return now.a != now.b and self.now.is_energised(now) and is_enough(self.panel, across, load)

    def _overloaded(self, way: Walk) -> str:
        """The first fuse or breaker on the way that carries far more than its rating."""
        assert not isinstance(self._solved, Undecided)
        for passed in way.passed:
            by = passed.by
            if isinstance(by, Wire) or not is_protective(self.panel.devices[by.device], by):
                continue
            rated_a = rating_of(self.panel.devices[by.device])
            carried_a = max(map(abs, amperes(self._solved, by) or (0.0,)))
            if rated_a and carried_a > FAR_OVER * rated_a:
                carries = f"carries {figure(carried_a, 'A')}"
                return f"{by.device}, {figure(rated_a, 'A')}, {carries}: it opens"
        return ""

    def _open_verdict(self, name: str, opens: Sequence[Place]) -> str:
        wrong = [place for place in opens if not place.meant]
        shown = wrong or opens
        first = shown[0]
        also = f", and {len(opens) - 1} more" if len(opens) > 1 else ""
        if first.side == "load":
            return f"OPEN: {name} itself is open{also}"
        if not wrong:
            return f"OPEN: {name} is off, as meant now: {first.by} ({first.why}){also}"
        cannot = "is not reached" if first.side == "source" else "cannot get home"
        why = "" if first.why == "fault" else f" ({first.why})"
        return f"OPEN: {name} {cannot}: {first.by} is open{why}{also}"

    def _fed_by(self, way: Walk) -> str:
        """What a source waits for that is fed itself: the inputs that are not energised, its run
        command."""
        for index, source in enumerate(self.now.panel.sources):
            if source.device == device_of(way.start) and source.inputs:
                inputs = (self.now.panel.parts[at] for at in source.inputs)
                waits = [f"{one.label} is off" for one in inputs if not self.now.is_energised(one)]
                if source.run and not self.now.present(index):
                    waits.append(f"{source.run.replace(' ', ':')} is off")
                return f": {', '.join(waits) or 'its input is on'}; trace {source.device}"
        return ""

    # ---- what is live --------------------------------------------------------------------

    def _live(self, places: Sequence[Place], way: Walk) -> tuple[tuple[str, ...], float]:
        """The highest voltage of the way, and what else is live in the devices it passes."""
        if isinstance(self._solved, Undecided) or self.now.restless:
            return ("not told in numbers: take every point as live at full voltage",), 0.0
        terminals = dict.fromkeys(place.at for place in places)
        own, _ = self._highest(self._ends(way), terminals)
        said = [f"{own} on this way" if not own.is_nought else "nothing on this way in this state"]
        other, at = Reading(), ""
        for name in dict.fromkeys(device_of(terminal) for terminal in terminals):
            beside = self._apart(self.panel.devices[name].terminals)
            references = [*sorted(grounded_poles(self.panel)), *beside]
            found, where = self._highest(references, dict.fromkeys(beside))
            if found.size_v > other.size_v + 0.5:
                other, at = found, where
        if other.size_v > own.size_v * 1.05 + 1:
            said.append(f"{other} from {at}, in a device on the way")
        return tuple(said), max(own.size_v, other.size_v)

    def _apart(self, terminals: Sequence[str]) -> list[str]:
        """One of those that are always joined: they read the same."""
        node = self.now.states.node
        return list({node(terminal): terminal for terminal in reversed(terminals)}.values())[::-1]

    def _highest(
        self, references: Sequence[str], terminals: dict[str, None]
    ) -> tuple[Reading, str]:
        """The worst that can be met between one of the terminals and one of the references, as
        the text calls it, and which two these are."""
        assert not isinstance(self._solved, Undecided)
        best, where = Reading(), ""
        for terminal in terminals:
            for reference in references:
                found = read(self._solved, terminal, reference)
                if not found.floats and _of_one_kind(found).size_v > best.size_v + 0.05:
                    best, where = _of_one_kind(found), f"{terminal} to {reference}"
        called_v = as_said(self.panel, best.size_v, best.kind)
        return (Reading(called_v) if best.dc_v else Reading(ac_v=called_v)), where

    def _stored(self, places: Sequence[Place]) -> Iterator[str]:
        for name in dict.fromkeys(device_of(place.at) for place in places):
            kind = self.panel.devices[name].kind
            if kind in STAYS_CHARGED:
                yield f"{name}: {STORES[kind]}"

    def _live_noughts(self, places: Sequence[Place]) -> tuple[str, ...]:
        found = []
        for place in places:
            if place.volts is None or not place.volts.is_nought:
                continue
            for ground in sorted(grounded_poles(self.panel)):
                reading = self._read(place.at, ground)
                if reading and not reading.floats and not reading.is_nought:
                    found.append(f"{place.at}: {reading} to {ground}")
                    break
        return tuple(found)

    def _ends(self, way: Walk) -> list[str]:
        return list(dict.fromkeys([way.end, way.start, *grounded_poles(self.panel)]))

    # ---- where no way leads --------------------------------------------------------------

    def _unfed(
        self,
        load: Part,
        across: Reading | None,
        energising: Energising,
        open_questions: Sequence[str],
    ) -> Traced:
        ends = tuple(_far_end(self.sound.states, terminal, load) for terminal in (load.a, load.b))
        name = _called(self.panel, load)
        return Traced(
            load.label, load, "OPEN",
            f"OPEN: nothing {'as drawn' if self._whole else 'that was read'} feeds {name}", across,
            ("not told: no way is drawn",), 0.0, stands_in_words(self.now),
            (), "", (), False, ends, energising, None, (), (),
            tuple(open_questions), self._assumed(),
        )  # fmt: skip

    # ---- what it rests on ----------------------------------------------------------------

    def _left_open(self) -> list[str]:
        unsolved = [self._solved.reason] if isinstance(self._solved, Undecided) else []
        return [*unsolved, *left_open(self.now)]

    def _assumed(self) -> tuple[str, ...]:
        return resting_on(self.now, along_a_way=True)


def left_open(standing: Standing) -> list[str]:
    """What of a state is not sure, in sentences."""
    found = []
    if standing.restless:
        found.append("relays do not come to rest in this state: nothing is read")
    found += [
        f"{name} gets some voltage, but not surely enough: taken as it stands"
        for name in standing.doubtful
    ]
    return found


def resting_on(standing: Standing, *, along_a_way: bool = False) -> tuple[str, ...]:
    """What numbers of a state were taken for granted, worst first.  Along the way of a load what
    electronic contacts keep is taken off, between any two points it is not."""
    numbers, panel = standing.numbers, standing.panel
    said = []
    if numbers.loads_unsaid:
        said.append(f"no current for {_some(numbers.loads_unsaid)}: taken as drawing nothing")
    if numbers.wires_unsaid:
        what = f"{len(numbers.wires_unsaid)} wires without size or length"
        said.append(f"no resistance for {what}")
    said += numbers.assumed
    kept = {part.device: drop_of(panel, part) for part in panel.parts if drop_of(panel, part)}
    if kept and not along_a_way:
        less = _some([f"{name} {volts:g} V" for name, volts in kept.items()])
        said.append(f"closed sensors and outputs as wire: past {less} less is read, and no fault")
    edges = [name for name, device in panel.devices.items() if device.kind == "edge"]
    if edges:
        said.append(f"what edge {_some(edges)} claims, on trust")
    said += taken_as_healthy(panel)
    return tuple(said)


def _is_open(standing: Standing, part: Part) -> bool:
    now = standing.panel.parts[part.index]
    if now.load is not None:
        return now.a == now.b
    return not standing.closed(now)


def _is_contact(by: Wire | Part) -> bool:
    return isinstance(by, Part) and bool(by.mechanism) and by.conducts is Conducts.CONTACT


def _sort(panel: Panel, part: Part) -> str:
    if part.load is not None:
        return "load"
    mechanism = panel.mechanisms.get(part.mechanism)
    protects = mechanism is not None and mechanism.drive is Drive.PROTECTION
    if protects and part.conducts is Conducts.JOINS:
        return panel.devices[part.device].kind
    return "contact" if part.conducts is Conducts.CONTACT else "joined"


def _called(panel: Panel, part: Part) -> str:
    loads = [i for i in panel.devices[part.device].parts if panel.parts[i].load is not None]
    return part.device if len(loads) == 1 else part.label


def stands_in_words(standing: Standing) -> tuple[str, ...]:
    """What does not stand at rest, those alike together: `K1 and K6 in`, `S2 pressed`."""
    found: dict[str, list[str]] = {}
    for name, mechanism in standing.panel.mechanisms.items():
        position = standing.position(name)
        usual = mechanism.positions[0]
        if mechanism.drive is Drive.SOURCE:
            if position == usual:
                found.setdefault("off", []).append(name)
        elif mechanism.drive is Drive.PROTECTION:
            if position != "closed":
                found.setdefault(position, []).append(name)
        elif position != usual:
            # `PLC1:Q0 on`, as it is said `with`; what has no terminal of that name keeps its words.
            terminal = name.replace(" ", ":")
            known = terminal in standing.panel.terminals
            found.setdefault(position, []).append(terminal if known else name)
    return tuple(f"{_together(names)} {position}" for position, names in found.items())


def _together(names: Sequence[str]) -> str:
    *firsts, last = names
    return f"{', '.join(firsts)} and {last}" if firsts else last


def _of_one_kind(reading: Reading) -> Reading:
    """The larger of the two: between a supply's output and its input both are read at once, and
    nobody knows which is meant."""
    direct, alternating = abs(reading.dc_v), reading.ac_v
    return Reading(dc_v=direct) if direct > alternating else Reading(ac_v=alternating)


def _far_end(states: Behaviour, terminal: str, load: Part) -> str:
    """How far one gets from a load's terminal by wire and closed or open contacts."""
    panel, across = states.panel, quenching(states)

    def passable(part: Part, forwards: bool) -> bool:
        barred = (Conducts.BOND, Conducts.NOTHING)
        return part.load is None and part.conducts not in barred and part.index not in across

    met = reached(panel, [terminal], passable)
    poles = {f"{s.device}:{pole}" for s in panel.sources for pole in s.poles}
    found = [pole for pole in panel.terminals if pole in met and pole in poles]
    if found:
        return f"{terminal} leads to {_some(found)}"
    ends = [t for t in panel.terminals if t in met and len(panel.wires_at.get(t, ())) < 2]
    last = [t for t in ends if t != terminal]
    return f"{terminal} leads to no pole" + (f", only to {_some(last)}" if last else "")


def _some(names: Sequence[str], most: int = 4) -> str:
    shown = ", ".join(names[:most])
    return f"{shown} and {len(names) - most} more" if len(names) > most else shown
