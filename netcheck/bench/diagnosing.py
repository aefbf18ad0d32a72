"""Which faults explain all that was seen, and which two points to meter next.

Each fault on a way to the loads concerned, and to the coils and supplies these wait for, is
put into the panel and the panel left to settle; it stays suspect if everything then looks as
it was seen.  What is quick comes first: opens and stuck contacts; then, if none of them explains
all or the symptom asks for it, shorts, bad joints, supplies, swapped wires; then two at once.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import combinations, product
from math import prod

from netcheck.bench.auxiliary_faults import stuck
from netcheck.bench.broken_panel import Bench, Unsolvable
from netcheck.bench.candidates import (
    Candidate,
    distinct,
    grounds,
    joints,
    plain,
    shorts,
    supplies,
    swapped,
    unprotected,
    welds,
)
from netcheck.bench.chains import Chains
from netcheck.bench.contradictions import contradictions, impossible
from netcheck.bench.everything import each_off
from netcheck.bench.faults_at_once import Played
from netcheck.bench.fed_apart import FedApart
from netcheck.bench.fitting import Tried, shown, unbroken
from netcheck.bench.letting_go import at_rest, held, stays_on
from netcheck.bench.likelihoods import USUAL, Likelihoods, Sort
from netcheck.bench.next_reading import Next, Weighed, next_reading
from netcheck.bench.observations import (
    Dim,
    Everything,
    LetGo,
    Look,
    Looked,
    Observation,
    Read,
    Said,
    Symptom,
    Trips,
    is_lamp,
)
from netcheck.bench.once_started import once_started
from netcheck.bench.one_place import by_state, parted
from netcheck.bench.power_off import OhmStep, has_opened, ohm_steps
from netcheck.bench.readings import Reading, as_said
from netcheck.bench.to_be_on import to_be_on
from netcheck.bench.tries import Tries
from netcheck.bench.turned_round import turned_round
from netcheck.bench.walks import Walk
from netcheck.bench.where_to_look import (
    Ways,
    last_protection,
    own_ways,
    poles_of_dead,
    protected_by,
)
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.model.devices import Part, SourcePart, device_of
from netcheck.model.faults import FaultKind
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record, replace
from netcheck.states.volts import magnitude

MOST_FAULTS = 1_000
MOST_PAIRS = 100
ENOUGH_PAIRS = 30
"""So many are tried, and no more once so many explain all: two at once do so by the hundred."""
MOST_SHORTS = 60
"""Shorts that are put in beside something else: each opens a fuse in a panel of its own."""
FURTHER = (
    "shorts, ground faults, bad joints, low supplies and swapped wires: something simpler fits"
)
SHORTED = (Sort.SHORT, Sort.GROUND)
SHORTS = "shorts and ground faults"
PAIRS = "two at once"
SHORT_PAIRS = "two at once of which one is a short or a dead supply: two simpler ones fit"
TWO_SHORTS = "two shorts at once: a short and something simpler fit"
OTHER_PAIRS = "two at once of which one is a bad joint, a low supply or swapped wires"
LOOKS = {Look.SEEN: 0.25, Look.NOT_SEEN: 2.0, Look.DIFFERENT: 4.0}
"""How much likelier a fault is at what was looked at: from memory."""
NOTHING = Reading()
OPENED = (FaultKind.BLOWN, FaultKind.TRIPPED)
Looks = Mapping[int | str, Look]


@record
class Suspect:
    """A fault that explains everything, how likely it is beside the others, and where it is."""

    fault: str
    sort: str
    weight: float
    location: str


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
    pairs: bool = False
    """No single fault explains all: the suspects are two at once."""
    contradictions: tuple[str, ...] = ()
    """Readings that cannot all be right, or that nothing drawn can give, a sentence each."""
    drawn_otherwise: tuple[str, ...] = ()
    """Wires that were seen to be other than they are drawn."""
    not_tried: tuple[str, ...] = ()
    """Sorts of fault that may explain it too and were not put in."""
    power_off: tuple[OhmStep, ...] = ()
    """What to read instead, where something has opened on a short: then there is no `next`."""
    opened: bool = False
    """Whether all that is left lies behind a fuse or breaker that has opened."""
    also: tuple[Suspect, ...] = ()
    """Faults of other sorts that would look just the same, looked for once something was read and
    no reading parts the suspects any more."""
    on_with: tuple[str, ...] = ()
    """Where nothing is suspected: with what operated the loads are on that are off as drawn."""
    started: tuple[str, ...] = ()
    """Buttons that are looked at as held, for what does not stop was started by them."""
    everything: tuple[str, ...] = ()
    """The loads that `everything is off` is taken to say it of, a sentence each."""


def diagnose(
    panel: Panel,
    said: Sequence[Said],
    likelihoods: Likelihoods = USUAL,
    skipped: Collection[tuple[str, str]] = (),
    tries: Tries | None = None,
) -> Diagnosis:
    """The faults that explain all that was `said`; what to meter next is none of `skipped`.

    `tries` are those of the panel, where answers before this one began them."""
    tries = tries or Tries(panel)
    if all(isinstance(one, Read | Looked) for one in said):
        # The circuits of the loads that were metered first: past a pole or a fuse lies much else.
        near = _answer(panel, said, likelihoods, skipped, tries, near=True)
        if near.sound_fits or near.suspects:
            return near
    return _answer(panel, said, likelihoods, skipped, tries, near=False)


def _answer(
    panel: Panel,
    said: Sequence[Said],
    likelihoods: Likelihoods,
    skipped: Collection[tuple[str, str]],
    tries: Tries,
    *,
    near: bool,
) -> Diagnosis:
    """`near`: of what was metered the nearest only, and not two at once."""
    looked = {one.at: one.look for one in said if isinstance(one, Looked)}
    # Without numbers first: they cost more than whether a relay is in.
    let_go = [one for one in said if isinstance(one, LetGo)]
    seen = sorted(
        (_waited_for(tries, one) for one in _in_states(tries, said)),
        key=lambda one: isinstance(one, Read),
    )
    search = _Search(panel, seen, tries, near=near, let_go=let_go)
    fits = shown(unbroken(search.sound), seen)
    misfits = tuple(one.words for place, one in enumerate(seen) if place not in fits)
    misfits += tuple(one.words for one in let_go if not search.lets_go_so(None, [one]))
    misfits = tuple(dict.fromkeys(misfits))
    wrong = (*contradictions(seen), *impossible(panel, seen))
    left: list[Tried] = []
    pairs = False
    if misfits:
        left = search.singles()
        if not left and not near:
            if not wrong and not let_go and not any(isinstance(one, Dim) for one in seen):
                left = search.doubles(lambda one: _weight_of(one, likelihoods, looked))
                pairs = bool(left)
            else:
                search.not_tried.append(PAIRS)

    def weighed(some: Sequence[Tried]) -> list[Weighed]:
        found = [(one, _weight(one, likelihoods, looked)) for one in some]
        return sorted(found, key=lambda one: -one[1])

    told = weighed(left)
    # No live reading is asked for once something has opened.
    trips = any(isinstance(one, Trips) for one in seen)
    asked = [] if trips else told
    step = next_reading(panel, search.ways, search.chains, seen, asked, skipped, search.exposed_v)
    # At the end of a dialogue only, or where nothing can be read: it takes longer than all before.
    at_end = step is None and bool(left)
    also = weighed(search.others(left)) if at_end and not pairs else []
    every = [one for one, _ in (*told, *also)]
    opened = bool(left) and has_opened(seen, [one for one, _ in told], every)
    return Diagnosis(
        tuple(_suspect(one, weight) for one, weight in told),
        None if opened else step,
        not misfits,
        search.count,
        tuple(search.not_told),
        search.more,
        search.highest_v,
        misfits,
        pairs,
        wrong,
        tuple(one.words for one in said if isinstance(one, Looked) and _is_other(one)),
        tuple(search.not_tried),
        ohm_steps(panel, every, _tripped(panel, seen)) if opened else (),
        opened,
        tuple(_suspect(one, weight) for one, weight in also),
        tuple(to_be_on(tries.sound, seen)) if not left else (),
        _started(said, seen),
        tuple(_each_of(said, seen)),
    )


def _started(said: Iterable[Said], seen: Iterable[Observation]) -> tuple[str, ...]:
    """What stands in the states that were looked at and not in what was said."""
    before = {one.words: one.withs for one in said if isinstance(one, Symptom)}
    now = [one for one in seen if isinstance(one, Symptom) and one.words in before]
    return tuple(dict.fromkeys(w for one in now for w in one.withs if w not in before[one.words]))


def _each_of(said: Iterable[Said], seen: Iterable[Observation]) -> Iterator[str]:
    words = {one.words for one in said if isinstance(one, Everything)}
    for one in seen:
        if isinstance(one, Symptom) and one.words in words:
            with_ = f" with {' and '.join(one.withs)}" if one.withs else ""
            yield f"{one.device} is off{with_}"


def _in_states(tries: Tries, said: Iterable[Said]) -> Iterator[Observation]:
    """What was seen in one state or another; what is on while a button is held and not after it
    is let go was seen in two of them, and what does not stop after it was started."""
    for one in said:
        if isinstance(one, LetGo):
            yield held(tries.sound.panel, one)
            if not one.on:
                yield at_rest(one)
        elif isinstance(one, Symptom):
            yield once_started(tries.sound, one)
        elif isinstance(one, Everything):
            yield from each_off(tries.sound, one, _told_of(said))
        elif not isinstance(one, Looked):
            yield one
            if is_lamp(one) and device_of(one.red) not in _told_of(said):
                yield from _working(tries.sound.panel, one)


def _working(panel: Panel, lamp: Read) -> Iterator[Symptom]:
    """That the controller works whose lamp was seen: a dead one shows nothing by its lamps."""
    device = device_of(lamp.red)
    parts = [panel.parts[index] for index in panel.devices[device].parts]
    if any(part.load is not None and part.role != "input" for part in parts):
        yield Symptom(lamp.words, device, True, lamp.withs)


def _told_of(said: Iterable[Said]) -> set[str]:
    """Loads of which something is said beside what is said of everything."""
    return {one.device for one in said if isinstance(one, Symptom | Dim | LetGo)}


def _tripped(panel: Panel, seen: Sequence[Observation]) -> list[str]:
    """What was seen to open by itself."""
    names = dict.fromkeys(one.device for one in seen if isinstance(one, Trips))
    return [name for name in names if name in panel.mechanisms]


def _is_other(looked: Looked) -> bool:
    return looked.look is Look.DIFFERENT


def _waited_for(tries: Tries, one: Observation) -> Observation:
    """What trips when a relay pulls in that is in from the first trips as power comes."""
    if not isinstance(one, Trips) or not one.when:
        return one
    standing = tries.sound.standing(one.withs)
    relay = standing.states.machine.movers[one.when]
    is_in = not standing.restless and standing.values[relay.state]
    return replace(one, when="") if is_in else one


def _weight(one: Tried, likelihoods: Likelihoods, looked: Looks) -> float:
    assert one.candidate is not None
    return _weight_of(one.candidate, likelihoods, looked)


def _weight_of(one: Candidate, likelihoods: Likelihoods, looked: Looks) -> float:
    """Of two at once that of either times the other's."""
    if one.both:
        return prod(_weight_of(each, likelihoods, looked) for each in one.both)
    weight = likelihoods.get(one.sort, USUAL[one.sort])
    opened = [fault.words.partition(" ")[0] for fault in one.faults if fault.kind in OPENED]
    places: list[int | str] = [*one.wires, *opened]
    return weight * prod(LOOKS[looked[at]] for at in places if at in looked)


def _suspect(one: Tried, weight: float) -> Suspect:
    assert one.candidate is not None
    return Suspect(one.candidate.words, one.candidate.sort, weight, one.candidate.location)


class _Search:
    """Candidates on the ways concerned, each tried against all that was seen."""

    def __init__(
        self,
        panel: Panel,
        seen: Sequence[Observation],
        tries: Tries | None = None,
        *,
        near: bool = False,
        let_go: Sequence[LetGo] = (),
    ) -> None:
        self._panel = panel
        self._seen = seen
        self._near = near
        self._let_go = let_go
        self._tries = tries or Tries(panel)
        self.sound = self._tries.sound
        standing = self.sound.standing()
        self._states = standing.states
        self._circuits = CircuitVolts(standing.states)
        looked_at = Ways(self.sound, near=near)
        reads = [one for one in seen if isinstance(one, Read)]
        ways = list(looked_at.of(seen, [one for one in reads if not self._is_as_whole(one)]))
        dim = [one for one in seen if isinstance(one, Dim)]
        self._own = own_ways(panel, ways, dim)
        # What is dim is on: its own ways tell why.
        only_dim = bool(dim) and all(isinstance(one, Dim | Read) for one in seen)
        self.ways = self._own if only_dim else ways
        highest_v = max((magnitude(way.volts) for way in self.ways), default=0.0)
        self.highest_v = as_said(panel, highest_v)
        self.chains = Chains(panel, self.ways)
        self.not_told: list[str] = []
        self.count = 0
        self.more = looked_at.more
        self.not_tried: list[str] = []
        stays_on = any(isinstance(one, Symptom) and one.on for one in seen)
        stays_on = stays_on or any(isinstance(one, Read) for one in seen)
        found = plain(panel, self.ways, stays_on=stays_on)
        self._plain = distinct([*found, *stuck(panel, self.ways, stays_on=stays_on)])
        self._played = self._tries.play(self._plain[:MOST_FAULTS])

    def lets_go_so(self, candidate: Candidate | None, let_go: Sequence[LetGo]) -> bool:
        """Whether, with this fault in it, loads do what was seen once a button is let go."""
        return all(
            any(
                stays_on(panel, one, self.sound.rated) is one.on
                for panel in self._broken_ways(candidate, one.withs)
            )
            for one in let_go
        )

    def _broken_ways(self, candidate: Candidate | None, withs: tuple[str, ...]) -> Iterable[Panel]:
        put = self.sound.put(withs)
        return (put,) if candidate is None else candidate.put_into(put)

    def exposed_v(self, red: str, black: str) -> float:
        """The highest volts that the circuits of two points may have, whatever reads between."""
        places = [self._states.node(point) for point in (red, black)]
        most_v = max(map(magnitude, self._circuits.all_of(places)), default=0.0)
        return as_said(self._panel, most_v)

    def singles(self) -> list[Tried]:
        if self._given_otherwise:
            dead = self._fitting(distinct(self._of_such_sources()))
            if dead:
                return dead
        trips = any(isinstance(one, Trips) for one in self._seen)
        dim = any(isinstance(one, Dim) for one in self._seen)
        left = [] if trips else self._fitting([*self._plain, *distinct(self._dead_supplies())])
        if not left or dim:
            left += self._fitting(distinct(self._further(trips=trips)))
            if dim and not trips:
                self.not_tried += [SHORTS] if left else []
                left = left or self._shorted()
            left = left or ([] if self._near else self._fitting(self._swapped_elsewhere()))
        else:
            self.not_tried.append(FURTHER)
        return left

    @cached_property
    def _given_otherwise(self) -> list[SourcePart]:
        """The sources at whose poles their volts were not read, and that run from nothing or were
        read to be fed: one of them is at fault, or what shorts it and opens nothing."""
        reads = [one for one in self._seen if isinstance(one, Read)]
        found = []
        for source in self._panel.sources:
            poles = {f"{source.device}:{pole}" for pole in source.poles}
            at_poles = [one for one in reads if {one.red, one.black} <= poles]
            if any(self._is_as_whole(o) is False and self._is_fed(source, o) for o in at_poles):
                found.append(source)
        return found

    def _is_fed(self, source: SourcePart, read: Read) -> bool:
        """Whether it runs from nothing; or gives nothing, though all that it runs from was read as
        in the whole panel: of one that gives too little what it gets may be a little low."""
        if not source.inputs:
            return True
        reads = [one for one in self._seen if isinstance(one, Read) and one.withs == read.withs]
        across = [{one.red, one.black} for one in reads if self._is_as_whole(one)]
        inputs = [self._panel.parts[index] for index in source.inputs]
        fed = all({one.a, one.b} in across for one in inputs)
        return fed and read.agrees(NOTHING) and not source.run

    def _is_as_whole(self, read: Read) -> bool | None:
        """Whether the whole panel reads so; None where it has no numbers."""
        try:
            return read.agrees(self._whole.reading(read.red, read.black, read.withs))
        except Unsolvable:
            return None

    def _of_such_sources(self) -> Iterator[Candidate]:
        """Them, missing or low, and what they run from within them."""
        inputs = {index for source in self._given_otherwise for index in source.inputs}
        yield from supplies(self._panel, self.ways)
        for one in self._plain:
            if any(not inputs.isdisjoint(fault.parts) for fault in one.faults):
                yield one

    def _shorted_and_nothing_opens(self) -> Iterator[Candidate]:
        """Shorts of such a source past what conducts one way, such as a sensor's output: a fuse is
        not told of them, for what they let by is limited."""
        poles = {f"{one.device}:{pole}" for one in self._given_otherwise for pole in one.poles}
        ways = [way for way in self._passing(poles) if self._is_limited(way)]
        yield from shorts(self._panel, ways)
        yield from self._swapped(ways)

    def _is_limited(self, way: Walk) -> bool:
        parts = (one.by for one in way.passed if isinstance(one.by, Part))
        return any(one.is_one_way_on_dc for one in parts)

    def others(self, left: Sequence[Tried]) -> list[Tried]:
        """Of the sorts that were left out while something simpler could still be told apart,
        those that explain all just as well."""
        found: list[Tried] = []
        if SHORTS in self.not_tried:
            self.not_tried.remove(SHORTS)
            found += self._shorted()
        if FURTHER in self.not_tried:
            self.not_tried.remove(FURTHER)
            simpler = self._further(trips=False, with_joints=False)
            further = distinct([*simpler, *self._behind_what_opened(left)])
            found += [*self._fitting(further), *self._joints_between()]
        if any(one.candidate and one.candidate.sort in SHORTED for one in left):
            found += self._fitting(distinct(self._behind_the_same()))
        found += self._fitting(distinct(self._ahead_of_what_is_dead([*left, *found])))
        if self._given_otherwise:
            found += self._fitting(distinct(self._shorted_and_nothing_opens()))
        else:
            found += self._fitting(self._swapped_elsewhere())
        found += self._fitting(self._grounded_at_the_same_place([*left, *found]))
        told = {one.words for one in left}
        return list({one.words: one for one in found if one.words not in told}.values())

    def _shorted(self) -> list[Tried]:
        """Behind a fuse that a ground fault has opened, a load on two hot lines is fed to ground:
        it gets half its volts and is dim."""
        return self._fitting(distinct(shorts(self._panel, self.ways)))

    def _behind_what_opened(self, left: Iterable[Tried]) -> Iterator[Candidate]:
        """Shorts behind a fuse or breaker that is suspected to be open: on a way of anything that
        it feeds."""
        opened = {p for one in left for p in protected_by(self._panel, one)}
        return shorts(self._panel, self._passing(opened))

    def _swapped_elsewhere(self) -> list[Candidate]:
        """Wires of any way that, in some state that something was seen in, bring together what is
        fed apart: they may move, or stop, what stands on no way of theirs."""
        ways = Ways(self.sound, near=False)
        swaps = [*self._swapped([*ways.every()])]
        self.more |= ways.more
        states = [
            self.sound.standing(one) for one in dict.fromkeys(one.withs for one in self._seen)
        ]
        if any(one.restless for one in states):
            return swaps
        apart = [FedApart(one.panel, one.states.stands(one.values)) for one in states]
        return [one for one in swaps if any(at.is_mixed_by(one.edits[0]) for at in apart)]

    def _behind_the_same(self) -> Iterator[Candidate]:
        """Shorts on ways of other loads behind the fuse or breaker that is the last ahead of
        these: it opens for all of them."""
        ends = {end for way in self.ways for end in last_protection(self._panel, way)}
        return shorts(self._panel, self._passing(ends))

    def _ahead_of_what_is_dead(self, left: Iterable[Tried]) -> Iterator[Candidate]:
        """What makes a source give nothing that is suspected to: nothing in the panel opens on
        it."""
        dead = {p for one in left for p in poles_of_dead(self._panel, one)}
        return unprotected(self._panel, self._passing(dead))

    def _grounded_at_the_same_place(self, left: Iterable[Tried]) -> list[Candidate]:
        """Each wire of a node grounds what any other of them does, on whatever way it is."""
        at_ground = [one.candidate for one in left if one.candidate is not None]
        wires = [i for one in at_ground if one.sort is Sort.GROUND for i in one.wires]
        joined = self.sound.always_joined
        places = {joined(self._panel.wires[index].a) for index in wires}
        beside = [wire for wire in self._panel.wires if joined(wire.a) in places]
        return list(grounds(self._panel, beside).values())

    def _passing(self, terminals: set[str]) -> list[Walk]:
        ways = Ways(self.sound, near=False)
        passing = list(ways.passing(terminals)) if terminals else []
        self.more |= ways.more
        return passing

    def _joints_between(self) -> Iterator[Tried]:
        """Joints whose ohms lie anywhere between none and a break.  Little more is solved for
        them: both ends are known by now."""
        for joint in distinct(joints(self._panel, self.ways)):
            if joint.wires in self._breaks:
                self.count += 1
                if not self._parts(joint):
                    continue
                if not self._rests:
                    if self._explains(full := self._at_any_ohms(joint)):
                        yield full
                    continue
                one = Tried(joint, (self._broken(joint), self._whole))
                fits = self._explains(one) or self._explains_as_if_whole(one)
                # Where relays stand otherwise at the ends each reading was let through alone.
                if fits and not self._at_any_ohms(joint).is_ruled_out(self._seen):
                    yield one

    def _at_any_ohms(self, joint: Candidate) -> Tried:
        return self._of_any_value(self._tries.of(joint, self._played))

    @cached_property
    def _rests(self) -> bool:
        """Whether the panel does, with nothing wrong in it: else it is no end to go by."""
        return not any(self.sound.standing(one.withs).restless for one in self._seen)

    def _explains_as_if_whole(self, joint: Tried) -> bool:
        """With all relays as in the whole panel: they may be in still at any ohms but a break's.
        Asked where with a break a point floats, so that nothing lies between."""
        broken, whole = joint.benches
        reads = [one for one in self._seen if isinstance(one, Read)]
        try:
            if not any(broken.reading(o.red, o.black, o.withs).floats for o in reads):
                return False
            return replace(joint, benches=(broken.standing_as(whole), whole)).fits(self._seen)
        except Unsolvable:
            return False

    @cached_property
    def _breaks(self) -> dict[tuple[int, ...], Candidate]:
        return {one.wires: one for one in self._plain if one.wires}

    @cached_property
    def _whole(self) -> Bench:
        return unbroken(self.sound).benches[0]

    def _broken(self, joint: Candidate) -> Bench:
        return self._tries.of(self._breaks[joint.wires], self._played).benches[0]

    def _of_any_value(self, one: Tried) -> Tried:
        """Also with fewer ohms than those tried, and with more: of loads on one wire each has its
        own that make it dim.  Of a supply whose load is dim also with more volts."""
        assert one.candidate is not None
        least, most = one.benches[1:3]
        if one.candidate.sort is Sort.SUPPLY:
            dim = any(isinstance(seen, Dim) for seen in self._seen)
            return replace(one, beyond=((least, self._whole, 1.0),)) if dim else one
        if one.candidate.wires not in self._breaks:
            return one
        broken = self._broken(one.candidate)
        return replace(one, beyond=((least, self._whole, 0.0), (most, broken, 1.0)))

    def _further(self, *, trips: bool, with_joints: bool = True) -> Iterator[Candidate]:
        panel, ways = self._panel, self.ways
        if trips:
            yield from shorts(panel, ways)
            yield from welds(panel, ways)
            yield from self._swapped(ways)
            return
        dim = any(isinstance(one, Dim) for one in self._seen)
        # What is dim is on, so that all that it waits for works.
        own = self._own or ways
        if with_joints:
            yield from (one for one in joints(panel, own) if self._is_ahead_of_all(one))
        yield from (one for one in supplies(panel, ways) if one.is_soft)
        if not dim:
            yield from shorts(panel, ways)
        # Of all others those that bring circuits together are tried once nothing else explains all.
        yield from (one for one in self._swapped(own) if self._is_ahead_of_all(one))

    def _is_ahead_of_all(self, candidate: Candidate) -> bool:
        """Whether a wire of it lies on ways of every load that does not do what it should."""
        return not any(ahead.isdisjoint(candidate.touched) for ahead in self._wires_ahead)

    @cached_property
    def _wires_ahead(self) -> list[set[int]]:
        """Of each such load the wires on which a bad joint may be why; of none whose ways were not
        all followed."""
        found = []
        for one in self._seen if self._rests else ():
            if isinstance(one, Symptom) and not self._whole.looks(one):
                ways = Ways(self.sound, near=True)
                passed = [step.by for way in ways.of([one]) for step in way.passed]
                if not ways.more:
                    found.append({by.index for by in passed if isinstance(by, Wire)})
        return found

    def _swapped(self, ways: Sequence[Walk]) -> Iterator[Candidate]:
        """None of those that change only what is read at two points where nothing was read."""
        read = {end for one in self._seen if isinstance(one, Read) for end in (one.red, one.black)}
        for one in distinct(swapped(self._panel, ways)):
            ends = turned_round(self._panel, one.edits[0])
            if not ends or ends & read:
                yield one

    def _fitting(
        self,
        candidates: Sequence[Candidate],
        played: Played | None = None,
        most: int = MOST_FAULTS,
        enough: int = MOST_FAULTS,
    ) -> list[Tried]:
        """Those that explain all; of a chain one is put in for all, no more than `most`, and none
        once `enough` explain all."""
        known: dict[Hashable, bool] = {}
        found, fitting = [], 0
        between = self._is_read_between()
        for candidate in candidates:
            one = self._tries.of(candidate, played or self._played)
            if candidate.is_soft:
                one = self._of_any_value(one)
            key = self._key(candidate, between=between)
            if key not in known and (len(known) == most or fitting == enough):
                self.more = True
                continue
            self.count += 1
            try:
                fits = known[key] if key in known else self._fits(one)
            except Unsolvable:
                self.not_told.append(candidate.words)
                continue
            fitting += fits and key not in known
            known[key] = fits
            if fits:
                found.append(one)
        return found

    def _key(self, candidate: Candidate, *, between: bool) -> Hashable:
        """The same for all that is seen alike; the members of a chain differ in what was read
        `between` them."""
        if candidate.both:
            return tuple(self._key(one, between=between) for one in candidate.both)
        chain = None if between else self.chains.of(candidate)
        return chain or self._tries.alike(candidate) or candidate.words

    def _fits(self, one: Tried) -> bool:
        """Raises Unsolvable."""
        if one.candidate is not None and not self._parts(one.candidate):
            return False
        return one.fits(self._seen) and self.lets_go_so(one.candidate, self._let_go)

    def _parts(self, candidate: Candidate) -> bool:
        """Whether it may part what is one place and was read not to be, wherever that was read."""
        if not self._parted:
            return True
        panel, joined = self._panel, self.sound.always_joined
        if candidate.sort in SHORTED:
            return False
        touched = {joined(panel.wires[index].a) for index in candidate.touched}
        parts = [panel.parts[index] for fault in candidate.faults for index in fault.parts]
        touched.update(joined(part.a) for part in parts)
        return not any(touched.isdisjoint(places) for places in self._parted)

    @cached_property
    def _parted(self) -> list[frozenset[int]]:
        """Places that wire joins, one of which of each is not one by what was read."""
        joined = self.sound.always_joined
        return [one for _, some in by_state(self._seen) for one in parted(some, joined)]

    def _explains(self, one: Tried) -> bool:
        try:
            return self._fits(one)
        except Unsolvable:
            self.not_told.append(one.words)
            return False

    def _is_read_between(self) -> bool:
        """Whether some reading was taken where the members of a chain differ."""
        points = {p for o in self._seen if isinstance(o, Read) for p in (o.red, o.black)}
        return not points.isdisjoint(self.chains.between)

    def doubles(self, weight: Callable[[Candidate], float]) -> list[Tried]:
        """Two at once, each of which explains something that the other does not: of opens and
        stuck contacts, and if no two of them do, one of these and a short or a dead supply, and if
        not even these do, two shorts."""
        sound_shows = shown(unbroken(self.sound), self._seen)
        plain = self._useful(self._plain[:MOST_FAULTS], sound_shows)
        trips = any(isinstance(one, Trips) for one in self._seen)
        found = [] if trips else self._both(list(combinations(plain, 2)), sound_shows, weight)
        if found:
            self.not_tried.append(SHORT_PAIRS)
            return found
        joined = distinct([*shorts(self._panel, self.ways), *self._dead_supplies()])
        self.more |= len(joined) > MOST_SHORTS
        others = self._useful(joined[:MOST_SHORTS], sound_shows)
        self.not_tried.append(OTHER_PAIRS)
        found = self._both(list(product(others, plain)), sound_shows, weight)
        if found:
            self.not_tried.append(TWO_SHORTS)
            return found
        joining = [one for one in others if not one[0].held]
        return self._both(list(combinations(joining, 2)), sound_shows, weight)

    def _dead_supplies(self) -> Iterator[Candidate]:
        return (one for one in supplies(self._panel, self.ways) if not one.is_soft)

    def _useful(
        self, candidates: Sequence[Candidate], sound_shows: frozenset[int]
    ) -> list[tuple[Candidate, frozenset[int]]]:
        """Those that show something which the sound panel does not, and what they show."""
        put_in = [self._tries.of(one, self._played) for one in candidates]
        single = zip(candidates, (shown(one, self._seen) for one in put_in), strict=True)
        return [(one, seen) for one, seen in single if seen - sound_shows]

    def _both(
        self,
        two: Sequence[tuple[tuple[Candidate, frozenset[int]], tuple[Candidate, frozenset[int]]]],
        sound_shows: frozenset[int],
        weight: Callable[[Candidate], float],
    ) -> list[Tried]:
        everything = frozenset(range(len(self._seen)))
        both = [
            one.and_(other)
            for (one, first), (other, second) in two
            if first | second | sound_shows == everything and first - second and second - first
        ]
        both.sort(key=weight, reverse=True)
        return self._fitting(both, self._tries.play(both), MOST_PAIRS, ENOUGH_PAIRS)
