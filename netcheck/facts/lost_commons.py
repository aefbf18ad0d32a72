"""Loads that one lost common would run: fed backwards through others that hang on it.

A common is a wire by which several loads come home.  Where it opens, what is on drives its
current on through a load that is off, if something beside that one still leads home
another way, such as a lamp.  The panel is solved in such a state with the wire open, and
what is off but gets a voltage it works at is told.

Looked at are loads that share their feed's place with another load whose way home does not
need the wire; of the wires that part the two, the one nearest the source.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.component_values import ComponentValues
from netcheck.facts.load_feeds import ask, is_settled
from netcheck.facts.seen_states import SeenStates
from netcheck.facts.solved_states import SolvedStates, volts_across
from netcheck.model.devices import Conducts, Part
from netcheck.model.wires import Wire
from netcheck.network.blocks import EdgesBetween
from netcheck.network.traces import reached
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.expressions import TRUE
from netcheck.states.volts import magnitude
from netcheck.states.witness import Witness, tell

SIGNALS = frozenset(("input",))
"""What only tells a controller something: it does not run."""
MOST_TRIED = 3
"""Loads tried one by one where not all that hang on a wire can be on together."""


@record
class LostCommon:
    """A wire, the load that runs without it at `volts`, those it runs through, and the one
    beside it that leads home."""

    wire: Wire
    load: Part
    through: tuple[Part, ...]
    beside: Part
    volts: float
    witness: Witness


@record
class LostCommons:
    """`undecided` are wires and loads that would run by the bound of their ratings, of which no
    state is known in which they do."""

    found: tuple[LostCommon, ...]
    undecided: tuple[tuple[Wire, Part], ...]


@concludes(Behaviour, CertainBehaviour, SeenStates, ComponentValues, SolvedStates)
def find_lost_commons(view: View) -> LostCommons:
    finder = _Finder(view)
    found = tuple(finder.find())
    told = {one.load.index for one in found}
    return LostCommons(found, tuple(one for one in finder.undecided if one[1].index not in told))


class _Finder:
    def __init__(self, view: View) -> None:
        self.view = view
        self.wide, self.certain = view[Behaviour], view[CertainBehaviour].behaviour
        self.seen = view[SeenStates]
        self.panel = self.wide.panel
        self.undecided: list[tuple[Wire, Part]] = []
        self.homes = {
            self.wide.pole_node(index, mark)
            for index, source in enumerate(self.panel.sources)
            for mark, potential in source.poles.items()
            if potential == 0
        }
        self.ends: dict[int, tuple[str, str]] = {}
        """Of loads that come straight home: the terminal that is fed, and the one at home."""
        for part in self.panel.parts:
            if part.load is not None and not part.spare:
                for fed, home in ((part.a, part.b), (part.b, part.a)):
                    if self._at_home(home) and not self._at_home(fed):
                        self.ends[part.index] = (fed, home)

    def _at_home(self, terminal: str) -> bool:
        return self.wide.node(terminal) in self.homes

    def find(self) -> Iterator[LostCommon]:
        told: set[int] = set()
        pairs = list(self._pairs())
        commons = _Commons(self) if pairs else None
        for load, beside in pairs:
            if commons is None or load.index in told:
                continue
            wire = commons.parting(self.ends[load.index][1], self.ends[beside.index][1])
            found = None if wire is None else self._judge(wire, load, beside)
            if found is not None:
                told.add(load.index)
                yield found

    def _pairs(self) -> Iterator[tuple[Part, Part]]:
        """Loads fed at one place, each with each: the one that may run, the one beside it."""
        at: dict[int, list[Part]] = {}
        for index, (fed, _) in self.ends.items():
            if self.wide.node(fed) not in self.wide.rails:
                at.setdefault(self.wide.node(fed), []).append(self.panel.parts[index])
        for loads in at.values():
            for load in loads:
                made = load.load
                if made is None or not made.volts or made.polarised or made.works in SIGNALS:
                    continue
                yield from ((load, beside) for beside in loads if beside is not load)

    def _judge(self, wire: Wire, load: Part, beside: Part) -> LostCommon | None:
        hanging = self._hanging(wire, self.ends[load.index][1])
        place = self.wide.node(self.ends[load.index][0])
        others = [
            part
            for part in hanging
            if self.wide.node(self.ends[part.index][0]) != place and self._ohm(part) is not None
        ]
        others.sort(key=lambda part: abs(self._ohm(part) or 0))
        if not others or not self._runs(load, self._most_v(load, others, hanging)):
            return None
        tries = [others] if len(others) > 1 else []
        for through in [*tries, *([part] for part in others[:MOST_TRIED])]:
            answer = self._on_without(load, through)
            if answer is not None:
                volts = self._volts(answer, wire, load)
                if volts is not None and self._runs(load, volts):
                    witness = tell(self.panel, answer)
                    return LostCommon(wire, load, tuple(through), beside, volts, witness)
                if volts is not None and len(through) == len(others):
                    return None  # no more can be on
        self.undecided.append((wire, load))
        return None

    def _most_v(self, load: Part, others: list[Part], hanging: list[Part]) -> float:
        """No less than the load may get: all others on, all that stands beside it leading home."""
        place = self.wide.node(self.ends[load.index][0])
        beside = [
            self.panel.parts[index]
            for index, (fed, _) in self.ends.items()
            if self.wide.node(fed) == place and self.panel.parts[index] not in hanging
        ]
        own = self._ohm(load)
        feeds = [feed for part in others for feed in self.wide.feeds(part)]
        if own is None or not feeds:
            return 0.0
        in_series = self._side_by_side(others) + self._side_by_side(beside)
        most_v = max(magnitude(feed.volts) for feed in feeds)
        return most_v * abs(own) / (abs(own) + in_series)

    def _side_by_side(self, parts: list[Part]) -> float:
        siemens = sum(1 / abs(ohm) for part in parts if (ohm := self._ohm(part)))
        return 1 / siemens if siemens else float("inf")

    def _hanging(self, wire: Wire, home: str) -> list[Part]:
        """The loads that come home by a wire, as one of them does."""

        def passable(part: Part, forwards: bool) -> bool:
            return part.conducts is Conducts.JOINS and self.wide.closed(part) == TRUE

        there = reached(self.panel, (home,), passable, without=wire)
        return [self.panel.parts[i] for i, (_, end) in self.ends.items() if end in there]

    def _ohm(self, part: Part) -> complex | None:
        draw = self.view[ComponentValues].ratings.draws.get(part.index)
        return None if draw is None else draw.ohm

    def _on_without(self, load: Part, through: list[Part]) -> Reached | None:
        """A known state in which these are on and nothing feeds the load."""

        def condition(states: Behaviour) -> int:
            fed = states.logic.any_of([feed.condition for feed in states.feeds(load)])
            on = [states.energised(part) for part in through]
            return states.logic.all_of([*on, fed ^ 1])

        if not self.seen.happen(condition(self.seen.behaviour)):
            return None
        answer = ask(self.wide, self.certain, condition, "settled")
        return answer if isinstance(answer, Reached) and is_settled(answer) else None

    def _volts(self, answer: Reached, wire: Wire, load: Part) -> float | None:
        """What a load gets with the wire open; None if that cannot be solved."""
        steady = self.view[SolvedStates].solve(answer, without=frozenset((wire.index,)))
        return None if isinstance(steady, Undecided) else volts_across(steady, load)

    @staticmethod
    def _runs(load: Part, volts: float) -> bool:
        made = load.load
        return made is not None and made.volts is not None and volts >= made.volts * made.low


class _Commons:
    """The wires by which loads come home, as a tree rooted in the sources' poles."""

    def __init__(self, finder: _Finder) -> None:
        panel, wide = finder.panel, finder.wide
        home = [name for name in panel.terminals if wide.node(name) in finder.homes]
        self.number = {name: vertex for vertex, name in enumerate(("", *home))}
        poles = [f"{source.device}:{mark}" for source in panel.sources for mark in source.poles]
        ends = [(0, self.number[pole]) for pole in poles if pole in self.number]
        self.wires: list[Wire | None] = [None] * len(ends)
        joining = [
            part
            for part in panel.parts
            if part.conducts is Conducts.JOINS and wide.closed(part) == TRUE
        ]
        laid: list[tuple[str, str, Wire | None]] = [(one.a, one.b, one) for one in panel.wires]
        laid += [(part.a, part.b, None) for part in joining]
        for a, b, wire in laid:
            if a in self.number and b in self.number and a != b:
                ends.append((self.number[a], self.number[b]))
                self.wires.append(wire)
        self.between = EdgesBetween(len(self.number), ends)

    def parting(self, home: str, other: str) -> Wire | None:
        """The wire nearest the source that a terminal needs to come home and another does not."""
        needed = self._above(other)
        parting = [wire for wire in self._above(home) if wire not in needed]
        return parting[-1] if parting else None

    def _above(self, terminal: str) -> list[Wire]:
        """The wires that alone lead home, from a terminal on."""
        tree, vertex = self.between.tree, self.number[terminal]
        found = []
        while vertex:
            block = tree.above[vertex]
            if block < 0:
                return []
            edges = self.between.edges_of_block(block)
            wire = self.wires[edges[0]] if len(edges) == 1 else None
            if wire is not None:
                found.append(wire)
            vertex = tree.top[block]
        return found
