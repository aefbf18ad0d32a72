"""Finds where the path of one dead load is broken, as a technician traces it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from netcheck.facts.areas import Areas, Pole, turned
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.breaks import Break, Kind
from netcheck.facts.gaps import Gap, Gaps
from netcheck.facts.load_feeds import LoadFeed, ask, energised, never
from netcheck.facts.open_ends import OpenEnds
from netcheck.facts.wanted_poles import WantedPoles, wanted_poles
from netcheck.finding import PathStep
from netcheck.model.devices import Conducts, Part
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, name_of, walk


class BreakFinder:
    """Finds breaks in one behaviour; `certain` is the same with uncertain coils out."""

    def __init__(self, behaviour: Behaviour, certain: Behaviour, open_ends: OpenEnds) -> None:
        self._behaviour = behaviour
        self._certain = certain
        self._areas = Areas(behaviour, certain)
        self._bare = {end.bare: end for end in open_ends.ends}
        self._outputs = {end.bare: end for end in open_ends.outputs}
        self._open_poles: dict[Areas, frozenset[str]] = {}

    def find(self, load: LoadFeed) -> Break:
        """The break of a load that has a cause of its own."""
        return self._tracer(self._areas, load).find()

    def find_waiting(self, load: LoadFeed, moved: frozenset[str]) -> Break:
        """The break of a load that waits for its own relay, or one that waits for it.

        `moved` are the mechanisms that only these could move.  If something else should
        have fed it and ends in the open, that is the break.
        """
        apart = self._tracer(Areas(self._behaviour, self._certain, moved), load).find()
        if apart.kind is Kind.NO_WIRE and apart.last in self._bare:
            return apart
        return self._tracer(self._areas, load).waiting(moved)

    def cut_off(self, load: LoadFeed) -> tuple[object, ...] | None:
        """The key of its break, if an end of it plainly leads to no pole; else None."""
        for end in (load.parts[0].a, load.parts[0].b) if len(load.parts) == 1 else ():
            if self._areas.is_cut_off(end):
                return "cut off", self._areas.cut_off_with(end)
        return None

    def _tracer(self, areas: Areas, load: LoadFeed) -> _Tracer:
        part = self._dead_part(load)
        open_ended = self._open_ended(areas)
        wanted = wanted_poles(areas, load, part, open_ended, areas.poles_at)
        touched = wanted_poles(areas, load, part, open_ended, areas.poles_touched)
        gaps = Gaps(areas, self._bare, self._outputs)
        return _Tracer(areas, gaps, load, part, wanted, touched)

    def _open_ended(self, areas: Areas) -> frozenset[str]:
        """The poles on whose side some end leads nowhere."""
        if areas not in self._open_poles:
            bare = self._bare.keys() | self._outputs.keys()
            self._open_poles[areas] = frozenset(
                pole.terminal
                for pole in areas.poles
                if not bare.isdisjoint(areas.around(pole.terminal))
            )
        return self._open_poles[areas]

    def _dead_part(self, load: LoadFeed) -> Part:
        """Of a three-phase load, a winding that is dead by itself, if there is one."""
        for part in load.parts if len(load.parts) > 1 else ():
            if never(ask(self._behaviour, self._certain, energised((part,)), load.at)):
                return part
        return load.parts[0]


class _Tracer:
    """Traces one load: through `part`, between the poles that are `wanted`.

    `touched` is the same where contacts that exclude one another count as closed.
    """

    def __init__(
        self,
        areas: Areas,
        gaps: Gaps,
        load: LoadFeed,
        part: Part,
        wanted: WantedPoles | None,
        touched: WantedPoles | None,
    ) -> None:
        self.areas, self.gaps, self.load, self.part = areas, gaps, load, part
        self.behaviour, self.certain = areas.behaviour, areas.certain
        self.wanted, self.touched = wanted, touched

    def find(self) -> Break:
        part, wanted, touched = self.part, self.wanted, self.touched
        if wanted is None or touched is None:
            return Break(Kind.NO_SOURCE, ("no source",), part)
        if self.behaviour.node(part.a) == self.behaviour.node(part.b):
            return self._both_ends()
        if touched.at_a and touched.at_b and not self._ends_in_the_open(wanted):
            return self._closed_in_no_state(touched)
        if not wanted.at_a and not wanted.at_b:
            return self._neither_end(wanted)
        if wanted.at_a:
            return self._one_end(part.b, part.a, wanted.b, wanted.a)
        return self._one_end(part.a, part.b, wanted.a, wanted.b)

    def _ends_in_the_open(self, wanted: WantedPoles) -> bool:
        """Whether an end that meets no pole of its own stands where another leads nowhere."""
        ends = (
            (self.part.a, wanted.a, wanted.at_a),
            (self.part.b, wanted.b, wanted.at_b),
        )
        return any(not met and self.gaps.bare_near(end, pole) for end, pole, met in ends)

    def waiting(self, moved: frozenset[str]) -> Break:
        """A path through a contact that only the load itself would close."""
        assert self.touched is not None
        path = self._through(self.touched)
        contacts = [
            one.by for one in path if isinstance(one.by, Part) and one.by.mechanism in moved
        ]
        at = contacts[0] if contacts else self.part
        key = ("waiting", at.index)
        return Break(Kind.WAITING, key, at, self._told(path, at), parts=tuple(contacts[:1]))

    # ---- one end, or neither, meets its pole -----------------------------------------------

    def _both_ends(self) -> Break:
        part = self.part

        def joined(other: Part, forwards: bool) -> bool:
            return other.conducts is Conducts.JOINS and self.areas.passable(other, forwards)

        path = walk(self.areas.panel, [part.a], [part.b], joined) or []
        wires = [passed.by for passed in path if isinstance(passed.by, Wire)]
        at = max(wires, key=lambda wire: wire.index) if wires else part
        numbers = {wire.number for wire in wires}
        return Break(
            Kind.BOTH_ENDS,
            ("both ends", self.behaviour.node(part.a)),
            at,
            self._told(path, at),
            part.a,
            part.b,
            number=numbers.pop() if len(numbers) == 1 else "",
        )

    def _one_end(self, cut: str, good: str, missed: Pole, met: Pole) -> Break:
        """One end has its pole; the other is cut off, or comes to a pole that is of no use."""
        if self.areas.poles_at(cut) and not self.gaps.bare_near(cut, missed):
            return self._wrong_pole(cut, good, missed, met)
        home = missed.home
        gap = self.gaps.between(cut, missed)
        inner = self.areas.trace([gap.here], cut, downstream=not home)
        outer = self.areas.trace([missed.terminal], gap.there, downstream=not home)
        other = self.areas.trace([met.terminal], good, downstream=home)
        if home:
            before = [*other, Passed(good, cut, self.part), *turned(inner)]
            after = turned(outer)
        else:
            before, after = outer, [*inner, Passed(cut, good, self.part), *turned(other)]
        return self._gap(gap, home, (missed,), cut, before, after, (inner, outer))

    def _neither_end(self, wanted: WantedPoles) -> Break:
        """The load and all about it are cut off from both poles; told from the one that sends."""
        hot, cut, left = (
            (wanted.b, self.part.b, self.part.a)
            if wanted.a.home
            else (wanted.a, self.part.a, self.part.b)
        )
        gap = self.gaps.between(cut, hot)
        inner = self.areas.trace([gap.here], cut, downstream=True)
        outer = self.areas.trace([hot.terminal], gap.there, downstream=True)
        after = [*inner, Passed(cut, left, self.part)]
        return self._gap(gap, False, (wanted.a, wanted.b), cut, outer, after, (inner, outer))

    def _gap(
        self,
        gap: Gap,
        home: bool,
        missed: tuple[Pole, ...],
        cut: str,
        before: Sequence[Passed],
        after: Sequence[Passed],
        sides: tuple[Sequence[Passed], Sequence[Passed]],
    ) -> Break:
        last, first = (gap.here, gap.there) if home else (gap.there, gap.here)
        grounded = gap.grounded and len(missed) == 1
        words = "only the grounding conductor" if grounded else "no wire"
        path = (
            *self._told(before)[: len(before)],
            PathStep(last, words, True),
            *(self._told(after) or (PathStep(first),)),
        )
        return Break(
            Kind.ON_GROUND if grounded else Kind.NO_WIRE,
            ("cut off", self.areas.cut_off_with(cut)),
            self.gaps.point_at(gap, *sides, self.part),
            path,
            last,
            first,
            home,
            tuple(pole.terminal for pole in missed),
            number=gap.number,
            cut_off=frozenset(self.areas.around(cut)),
        )

    def _wrong_pole(self, cut: str, good: str, missed: Pole, met: Pole) -> Break:
        wrong = self.areas.poles_at(cut)
        own = [pole for pole in wrong if pole.source == met.source]
        poles = own or wrong
        out = self.areas.trace([met.terminal], good, downstream=not met.home)
        back = self.areas.trace([pole.terminal for pole in poles], cut, downstream=met.home)
        if met.home:
            path = [*back, Passed(cut, good, self.part), *turned(out)]
        else:
            path = [*out, Passed(good, cut, self.part), *turned(back)]
        pole = back[0].start if back else cut
        at = self._landing(turned(back), pole) or self.part
        return Break(
            Kind.ONE_POLE if own else Kind.OTHER_SOURCE,
            ("pole", self.areas.of(self.part.a), self.areas.of(self.part.b)),
            at,
            self._told(path, at),
            last=cut,
            first=missed.terminal,
            home=not met.home,
            poles=(met.terminal, pole, missed.terminal),
            also=self._cut_off(),
        )

    def _landing(self, path: Sequence[Passed], pole: str) -> Wire | None:
        """The wire by which a walk first comes to the node of a pole."""
        node = self.behaviour.node(pole)
        for passed in path:
            if isinstance(passed.by, Wire) and self.behaviour.node(passed.end) == node:
                return passed.by
        return None

    # ---- both poles can be met, but never at once ------------------------------------------

    def _closed_in_no_state(self, wanted: WantedPoles) -> Break:
        path = self._through(wanted)
        against = next((one.by for one in path if self._against(one)), None)
        if isinstance(against, Part):
            told = self._told(path, against)
            return Break(Kind.ONE_WAY, ("one way", against.index), against, told, parts=(against,))
        contacts = self._exclusive(path, wanted)
        if not contacts:
            areas = sorted((self.areas.of(self.part.a), self.areas.of(self.part.b)))
            told = self._told(path, self.part)
            key = ("not shown", *areas)
            return Break(Kind.NOT_SHOWN, key, self.part, told, also=self._cut_off())
        indexes = sorted(contact.index for contact in contacts)
        at = contacts[-1]
        told = self._told(path, at)
        key = ("contacts", *indexes)
        return Break(Kind.CONTACTS, key, at, told, parts=contacts, also=self._cut_off())

    def _cut_off(self) -> tuple[tuple[object, ...], ...]:
        """The keys of breaks that would cut off an end of the load."""
        ends = (self.part.a, self.part.b)
        return tuple(("cut off", self.areas.cut_off_with(end)) for end in ends)

    def _against(self, passed: Passed) -> bool:
        by = passed.by
        return isinstance(by, Part) and self.behaviour.one_way(by) and passed.start != by.a

    def _exclusive(self, path: Sequence[Passed], wanted: WantedPoles) -> tuple[Part, ...]:
        """The fewest contacts of a path that no reachable state closes while its source is live."""
        contacts = [one.by for one in path if isinstance(one.by, Part) and one.by.mechanism]

        def closed(chosen: Sequence[Part]) -> Callable[[Behaviour], int]:
            def condition(behaviour: Behaviour) -> int:
                literals = [behaviour.closed(part) for part in chosen]
                return behaviour.logic.all_of([*literals, behaviour.live(wanted.a.source)])

            return condition

        def excluded(chosen: Sequence[Part]) -> bool:
            return never(ask(self.behaviour, self.certain, closed(chosen), self.load.at))

        if not excluded(contacts):
            return ()
        for contact in list(contacts):
            fewer = [one for one in contacts if one is not contact]
            if excluded(fewer):
                contacts = fewer
        return tuple(contacts)

    # ---- walks -----------------------------------------------------------------------------

    def _through(self, wanted: WantedPoles) -> list[Passed]:
        """From the pole that sends to the one that takes back, through the load."""
        part = self.part
        hot, home, entered, left = (
            (wanted.b, wanted.a, part.b, part.a)
            if wanted.a.home and not wanted.b.home
            else (wanted.a, wanted.b, part.a, part.b)
        )
        out = self.areas.trace([hot.terminal], entered, downstream=True)
        back = self.areas.trace([home.terminal], left, downstream=False)
        return [*out, Passed(entered, left, part), *turned(back)]

    def _told(
        self, path: Sequence[Passed], here: Wire | Part | None = None
    ) -> tuple[PathStep, ...]:
        panel = self.areas.panel
        steps = [PathStep(one.start, name_of(panel, one.by), one.by is here) for one in path]
        return (*steps, PathStep(path[-1].end)) if path else ()
