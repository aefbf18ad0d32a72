"""Where the path of one dead load is broken, told as a technician traces it.

Parts that can conduct in some state are followed as if they did.  What holds together
so is an area; areas that touch no pole are cut off.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from netcheck.facts.behaviour import Behaviour
from netcheck.facts.load_feeds import LoadFeed, ask, energised, never
from netcheck.facts.open_ends import OpenEnds
from netcheck.finding import PathStep
from netcheck.model.devices import Conducts, Part
from netcheck.model.wires import Wire
from netcheck.network.traces import Passable, Passed, name_of, steps, walk
from netcheck.network.unions import Unions
from netcheck.states.behaviour import in_band
from netcheck.states.expressions import FALSE


class Kind(StrEnum):
    """What stands between the source's side and home."""

    NO_WIRE = "nothing is wired"
    ON_GROUND = "only the grounding conductor, which leads to no pole"
    BOTH_ENDS = "both ends on one node"
    ONE_POLE = "one pole only"
    OTHER_SOURCE = "a pole of another source"
    CONTACTS = "contacts never closed together"
    ONE_WAY = "a part that conducts the other way"
    WAITING = "a contact that waits for the load itself"
    NO_SOURCE = "no source is described"
    NOT_SHOWN = "no reachable state closes the path"


@dataclass(frozen=True, slots=True)
class Break:
    """One break.  `key` is equal for loads broken by the same cause.

    `last` is the last terminal reached from the source's side, `first` the first from
    home; `home` says which of the two conductors is missing.  `poles` are those met or
    missed; `parts` the contacts concerned; `at` is what to point at in the text.
    """

    kind: Kind
    key: tuple[object, ...]
    at: Wire | Part
    path: tuple[PathStep, ...]
    last: str = ""
    first: str = ""
    home: bool = True
    poles: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    number: str = ""


@dataclass(frozen=True, slots=True)
class _Pole:
    """A pole of a source, by its terminal; `home` where current is meant to come back to."""

    terminal: str
    source: int
    potential: complex
    home: bool


@dataclass(frozen=True, slots=True)
class _Wanted:
    """The poles a load should have at its two ends, and which of them its ends do reach."""

    a: _Pole
    b: _Pole
    at_a: bool
    at_b: bool


class _Areas:
    """What holds together while every contact is closed that can be."""

    def __init__(self, behaviour: Behaviour, held_open: frozenset[str]) -> None:
        self.behaviour = behaviour
        self._held_open = held_open
        self._across = {
            frozenset((behaviour.node(part.a), behaviour.node(part.b)))
            for part in behaviour.panel.parts
            if part.load is not None
        }
        self._unions: Unions[int] = Unions()
        for part in behaviour.panel.parts:
            if self.passable(part, True):
                self._unions.join(behaviour.node(part.a), behaviour.node(part.b))

    def passable(self, part: Part, forwards: bool) -> bool:
        """Whether a part conducts in some state, this way; what lies across a load does not."""
        if part.conducts in (Conducts.LOAD, Conducts.NOTHING, Conducts.BOND):
            return False
        if part.mechanism in self._held_open and 0 not in part.closed:
            return False
        behaviour = self.behaviour
        ends = frozenset((behaviour.node(part.a), behaviour.node(part.b)))
        if part.conducts is Conducts.ONE_WAY and ends in self._across:
            return False
        if not forwards and behaviour.one_way(part):
            return False
        return behaviour.closed(part) != FALSE

    def either_way(self, part: Part, forwards: bool) -> bool:
        return self.passable(part, True)

    def of(self, terminal: str) -> int:
        return self._unions.find(self.behaviour.node(terminal))

    @cached_property
    def terminals(self) -> dict[int, list[str]]:
        """The terminals of each area, in the order of the text."""
        found: dict[int, list[str]] = {}
        for terminal in self.behaviour.panel.terminals:
            found.setdefault(self.of(terminal), []).append(terminal)
        return found

    @cached_property
    def poles(self) -> list[_Pole]:
        found = []
        for index, source in enumerate(self.behaviour.panel.sources):
            for mark, potential in source.poles.items():
                home = mark == source.grounded_pole or potential == 0
                found.append(_Pole(f"{source.device}:{mark}", index, potential, home))
        return found

    @cached_property
    def poles_in(self) -> dict[int, list[_Pole]]:
        found: dict[int, list[_Pole]] = {}
        for pole in self.poles:
            found.setdefault(self.of(pole.terminal), []).append(pole)
        return found


class BreakFinder:
    """Finds breaks in one behaviour; `certain` is the same with uncertain coils out."""

    def __init__(self, behaviour: Behaviour, certain: Behaviour, open_ends: OpenEnds) -> None:
        self.behaviour = behaviour
        self.certain = certain
        self.panel = behaviour.panel
        self._areas = _Areas(behaviour, frozenset())
        self._bare = {end.bare: end for end in open_ends.ends}

    def find(self, load: LoadFeed) -> Break:
        """The break of a load that has a cause of its own."""
        return self._find(self._areas, load)

    def find_waiting(self, load: LoadFeed, moved: frozenset[str]) -> Break:
        """The break of a load that waits for its own relay: what else should have fed it.

        `moved` are the mechanisms that only it, or what waits for it, could move.
        """
        part = load.parts[0]
        apart = self._find(_Areas(self.behaviour, moved), load)
        if apart.kind is Kind.NO_WIRE and apart.last in self._bare:
            return apart
        path = self._through(self._areas, part, self._wanted(self._areas, load, part))
        waits_on = [
            one.by for one in path if isinstance(one.by, Part) and one.by.mechanism in moved
        ]
        at = waits_on[0] if waits_on else part
        return Break(
            Kind.WAITING,
            ("waiting", at.index),
            at,
            self._told(path, at),
            parts=tuple(waits_on[:1]),
        )

    # ---- one load ------------------------------------------------------------------------

    def _find(self, areas: _Areas, load: LoadFeed) -> Break:
        part = self._dead_part(load)
        if not areas.poles:
            return Break(Kind.NO_SOURCE, ("no source",), part, ())
        if self.behaviour.node(part.a) == self.behaviour.node(part.b):
            return self._both_ends(part)
        wanted = self._wanted(areas, load, part)
        if wanted.at_a and wanted.at_b:
            return self._closed_in_no_state(areas, load, part, wanted)
        if not wanted.at_a and not wanted.at_b:
            cut = not areas.poles_in.get(areas.of(part.a)) and not areas.poles_in.get(
                areas.of(part.b)
            )
            if cut:
                return self._neither_end(areas, part, wanted)
        return self._one_end(areas, part, wanted)

    def _dead_part(self, load: LoadFeed) -> Part:
        """Of a three-phase load, a winding that is dead by itself, if there is one."""
        for part in load.parts if len(load.parts) > 1 else ():
            if never(ask(self.behaviour, self.certain, energised((part,)), load.at)):
                return part
        return load.parts[0]

    def _wanted(self, areas: _Areas, load: LoadFeed, part: Part) -> _Wanted:
        """The pair of poles, of one source, that fits the load and the most of which it reaches."""
        at_a, at_b = ({pole.terminal for pole in areas.poles_in.get(areas.of(end), ())}
                      for end in (part.a, part.b))  # fmt: skip
        elsewhere = {
            pole.terminal
            for other in load.parts
            for end in (other.a, other.b)
            if end not in (part.a, part.b)
            for pole in areas.poles_in.get(areas.of(end), ())
        }
        assert part.load is not None
        best: tuple[tuple[int, ...], _Wanted] | None = None
        for a, b in self._pairs(areas):
            fits = in_band(self._volts(a, b), part.load)
            one = _Wanted(a, b, a.terminal in at_a, b.terminal in at_b)
            poles = ((a, one.at_a), (b, one.at_b))
            score = (
                one.at_a + one.at_b,
                fits,
                sum(not met and pole.terminal not in elsewhere for pole, met in poles),
                sum(met and not pole.home for pole, met in poles),
                b.home and not a.home,
            )
            if (fits or not best) and (best is None or score > best[0]):
                best = score, one
        assert best is not None
        return best[1]

    def _pairs(self, areas: _Areas) -> Iterable[tuple[_Pole, _Pole]]:
        for a in areas.poles:
            for b in areas.poles:
                if a.source == b.source and a.potential != b.potential:
                    yield a, b

    def _volts(self, a: _Pole, b: _Pole) -> tuple[tuple[str, complex], ...]:
        return ((self.panel.sources[a.source].basis, a.potential - b.potential),)

    # ---- kinds of break ------------------------------------------------------------------

    def _both_ends(self, part: Part) -> Break:
        def joined(other: Part, forwards: bool) -> bool:
            return other.conducts is Conducts.JOINS and self._areas.passable(other, forwards)

        path = walk(self.panel, [part.a], [part.b], joined) or []
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

    def _one_end(self, areas: _Areas, part: Part, wanted: _Wanted) -> Break:
        """One end has its pole; the other is cut off, or comes to a pole that is of no use."""
        cut, good, missed, met = (
            (part.b, part.a, wanted.b, wanted.a)
            if wanted.at_a or not areas.poles_in.get(areas.of(part.b))
            else (part.a, part.b, wanted.a, wanted.b)
        )
        wrong = areas.poles_in.get(areas.of(cut), [])
        if wrong:
            return self._wrong_pole(areas, part, cut, good, wrong, missed, met)
        return self._cut_off(areas, part, cut, good, missed, met)

    def _wrong_pole(
        self, areas: _Areas, part: Part, cut: str, good: str,
        wrong: Sequence[_Pole], missed: _Pole, met: _Pole,
    ) -> Break:  # fmt: skip
        own = [pole for pole in wrong if pole.source == met.source]
        reached = own or list(wrong)
        ends = [pole.terminal for pole in reached]
        home = met.home is False
        out = self._trace(areas, [met.terminal], good, to=home)
        back = self._trace(areas, ends, cut, to=not home)
        path = [*out, Passed(good, cut, part), *_reversed(back)] if home else [
            *back, Passed(cut, good, part), *_reversed(out)
        ]  # fmt: skip
        landed = _reversed(back) if back else []
        at = self._landing(landed, reached) or part
        pole = back[0].start if back else next((end for end in ends if end == cut), ends[0])
        return Break(
            Kind.ONE_POLE if own else Kind.OTHER_SOURCE,
            ("pole", areas.of(part.a), areas.of(part.b)),
            at,
            self._told(path, at),
            last=cut,
            first=missed.terminal,
            home=home,
            poles=(met.terminal, pole, missed.terminal),
        )

    def _landing(self, path: Sequence[Passed], poles: Sequence[_Pole]) -> Wire | None:
        """The wire by which a walk first comes to the node of one of the poles."""
        nodes = {self.behaviour.node(pole.terminal) for pole in poles}
        wires = [passed for passed in path if isinstance(passed.by, Wire)]
        for passed in wires:
            if self.behaviour.node(passed.end) in nodes:
                assert isinstance(passed.by, Wire)
                return passed.by
        return None

    def _cut_off(
        self, areas: _Areas, part: Part, cut: str, good: str, missed: _Pole, met: _Pole
    ) -> Break:
        """The end `cut` leads to no pole: the path stops on its way home, or does not begin."""
        home = missed.home
        here, there, number = self._ends_of_gap(areas, cut, missed)
        inner = self._trace(areas, [here], cut, to=not home)
        outer = self._trace(areas, [missed.terminal], there, to=not home)
        other = self._trace(areas, [met.terminal], good, to=home)
        ground = self._on_ground(areas, cut)
        through = Passed(good, cut, part) if home else Passed(cut, good, part)
        words = "only the grounding conductor" if ground else "no wire"
        if home:
            before, after = [*other, through, *_reversed(inner)], _reversed(outer)
        else:
            before, after = outer, [*inner, through, *_reversed(other)]
        last, first = (here, there) if home else (there, here)
        return Break(
            Kind.ON_GROUND if ground else Kind.NO_WIRE,
            ("cut off", areas.of(cut)),
            self._beside_gap(inner, outer, there, missed, part),
            self._gap(before, last, words, first, after),
            last,
            first,
            home,
            (missed.terminal,),
            number=number,
        )

    def _neither_end(self, areas: _Areas, part: Part, wanted: _Wanted) -> Break:
        hot, cut, other = (
            (wanted.a, part.a, part.b) if not wanted.a.home else (wanted.b, part.b, part.a)
        )
        here, there, number = self._ends_of_gap(areas, cut, hot)
        inner = self._trace(areas, [here], cut, to=True)
        outer = self._trace(areas, [hot.terminal], there, to=True)
        after = [*inner, Passed(cut, other, part)]
        return Break(
            Kind.NO_WIRE,
            ("cut off", *sorted((areas.of(part.a), areas.of(part.b)))),
            self._beside_gap(inner, outer, there, hot, part),
            self._gap(outer, there, "no wire", here, after),
            there,
            here,
            False,
            tuple(pole.terminal for pole in (wanted.a, wanted.b)),
            number=number,
        )

    # ---- the two sides of a gap ----------------------------------------------------------

    def _ends_of_gap(self, areas: _Areas, cut: str, missed: _Pole) -> tuple[str, str, str]:
        """Where the cut-off side and the pole's side end, and a wire number both sides bear."""
        here, there = areas.terminals[areas.of(cut)], areas.terminals[areas.of(missed.terminal)]
        shared = self._shared_number(here, there)
        if shared and not any(end in self._bare for end in (*here, *there)):
            near, far = (
                [
                    end
                    for end in self._in_order(areas, start)
                    if any(wire.number == shared for wire in self._wires(end))
                ]
                for start in (cut, missed.terminal)
            )
            return near[-1], far[-1], shared
        return self._nearest_bare(areas, cut, here), self._one_bare(missed, here, there), ""

    def _nearest_bare(self, areas: _Areas, cut: str, here: Sequence[str]) -> str:
        if not self._wires(cut):
            return cut
        bare = [end for end in here if end in self._bare]
        found = walk(self.panel, [cut], bare, areas.either_way) if bare else None
        if found:
            return found[-1].end
        return self._in_order(areas, cut)[-1]

    def _in_order(self, areas: _Areas, start: str) -> list[str]:
        """The terminals of an area as a walk comes to them, the end of the line last."""
        seen, queue = {start}, [start]
        for at in queue:
            for passed in steps(self.panel, at, areas.either_way):
                if passed.end not in seen:
                    seen.add(passed.end)
                    queue.append(passed.end)
        return queue

    def _one_bare(self, missed: _Pole, here: Sequence[str], there: Sequence[str]) -> str:
        """The one end on the pole's side that leads nowhere; of several, that of this circuit."""
        bare = [end for end in there if end in self._bare]
        if len(bare) > 1:
            circuits = {wire.circuit for end in here for wire in self._wires(end)}
            bare = [
                end
                for end in bare
                if any(wire.circuit in circuits for wire in self._wires(self._bare[end].wired))
            ]
        return bare[0] if len(bare) == 1 else missed.terminal

    def _shared_number(self, here: Sequence[str], there: Sequence[str]) -> str:
        if self.panel.settings.numbers == "wire":
            return ""
        numbers = {wire.number for end in there for wire in self._wires(end) if wire.number}
        for end in here:
            for wire in self._wires(end):
                if wire.number in numbers:
                    return wire.number
        return ""

    def _on_ground(self, areas: _Areas, cut: str) -> bool:
        """Whether the cut-off side stands on a grounding conductor."""
        return any(
            part.conducts is Conducts.BOND
            for end in areas.terminals[areas.of(cut)]
            for part in self.panel.parts_at.get(end, ())
        ) or any(end.endswith(":PE") for end in areas.terminals[areas.of(cut)])

    def _wires(self, terminal: str) -> tuple[Wire, ...]:
        return self.panel.wires_at.get(terminal, ())

    def _beside_gap(
        self, inner: Sequence[Passed], outer: Sequence[Passed], there: str, pole: _Pole, part: Part
    ) -> Wire | Part:
        """What to point at: the wire before an end that leads nowhere, or nearest the load."""
        known = outer if there != pole.terminal else ()
        for passed in (*reversed(known), *inner):
            if isinstance(passed.by, Wire):
                return passed.by
        return part

    # ---- contacts ------------------------------------------------------------------------

    def _closed_in_no_state(
        self, areas: _Areas, load: LoadFeed, part: Part, wanted: _Wanted
    ) -> Break:
        """Both poles can be met, but never at once."""
        path = self._through(areas, part, wanted)
        against = next((one for one in path if self._against(one)), None)
        if against is not None and isinstance(against.by, Part):
            by = against.by
            return Break(Kind.ONE_WAY, ("one way", by.index), by, self._told(path, by), parts=(by,))
        contacts = self._contradictory(path, load, wanted)
        if not contacts:
            key = ("not shown", *sorted((areas.of(part.a), areas.of(part.b))))
            return Break(Kind.NOT_SHOWN, key, part, self._told(path, part))
        at = contacts[-1]
        indexes = sorted(contact.index for contact in contacts)
        return Break(
            Kind.CONTACTS, ("contacts", *indexes), at, self._told(path, at), parts=contacts
        )

    def _against(self, passed: Passed) -> bool:
        return (
            isinstance(passed.by, Part)
            and self.behaviour.one_way(passed.by)
            and passed.start != passed.by.a
        )

    def _contradictory(
        self, path: Sequence[Passed], load: LoadFeed, wanted: _Wanted
    ) -> tuple[Part, ...]:
        """The fewest contacts of a path that no reachable state closes while its source is live."""
        contacts = [
            passed.by for passed in path if isinstance(passed.by, Part) and passed.by.mechanism
        ]

        def closed(chosen: Sequence[Part]) -> Callable[[Behaviour], int]:
            def condition(behaviour: Behaviour) -> int:
                literals = [behaviour.closed(part) for part in chosen]
                return behaviour.logic.all_of([*literals, behaviour.live(wanted.a.source)])

            return condition

        def excluded(chosen: Sequence[Part]) -> bool:
            return never(ask(self.behaviour, self.certain, closed(chosen), load.at))

        if not excluded(contacts):
            return ()
        for contact in list(contacts):
            fewer = [one for one in contacts if one is not contact]
            if excluded(fewer):
                contacts = fewer
        return tuple(contacts)

    # ---- walks ---------------------------------------------------------------------------

    def _through(self, areas: _Areas, part: Part, wanted: _Wanted) -> list[Passed]:
        """From the pole that sends to the one that takes back, through the load."""
        if wanted.a.home and not wanted.b.home:
            hot, home, entered, left = wanted.b, wanted.a, part.b, part.a
        else:
            hot, home, entered, left = wanted.a, wanted.b, part.a, part.b
        out = self._trace(areas, [hot.terminal], entered, to=True)
        back = self._trace(areas, [home.terminal], left, to=False)
        return [*out, Passed(entered, left, part), *_reversed(back)]

    def _trace(self, areas: _Areas, starts: Sequence[str], end: str, *, to: bool) -> list[Passed]:
        """A walk from `starts` to `end`, in the direction of current (`to`) or against it.

        Where no walk goes with the one-way parts, one that does not heed them.
        """

        def backwards(part: Part, forwards: bool) -> bool:
            return areas.passable(part, not forwards)

        directed: Passable = areas.passable if to else backwards
        found = walk(self.panel, starts, [end], directed)
        if found is None:
            found = walk(self.panel, starts, [end], areas.either_way)
        return found or []

    def _told(self, path: Sequence[Passed], here: Wire | Part) -> tuple[PathStep, ...]:
        steps = [PathStep(one.start, name_of(self.panel, one.by), one.by is here) for one in path]
        return (*steps, PathStep(path[-1].end)) if path else ()

    def _gap(
        self, before: Sequence[Passed], last: str, words: str, first: str, after: Sequence[Passed]
    ) -> tuple[PathStep, ...]:
        steps = [PathStep(one.start, name_of(self.panel, one.by)) for one in before]
        rest = self._told(after, after[0].by) if after else (PathStep(first),)
        rest = tuple(PathStep(step.at, step.by) for step in rest)
        return (*steps, PathStep(last, words, True), *rest)


def _reversed(path: Sequence[Passed]) -> list[Passed]:
    return [Passed(one.end, one.start, one.by) for one in reversed(path)]
