"""What a small panel does, found by trying every state: no code of netcheck is used.

Each state of the contacts is a graph (networkx).  Places are terminals joined by wires and
closed contacts; a live source leads from place to place, either way, a diode one way.  A
short is a cycle that passes a source and drives current round; a load is energised by a
path from one of its ends to the other whose volts, in the direction of the current, are
those it is made for.

Facts of the trade, from memory: a relay follows its coil; it must pull in on its own
voltage over no other load, must drop out with no path at all, and may do either between.
"""

from __future__ import annotations

import itertools
from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import networkx as nx

from tests.second_opinion.random_panels import Contact, Drawn, Ends, Load, Sourced

Volts = dict[str, float]
Setting = tuple[int, ...]
"""The position of each switch and source, in the order of `Drawn.positions`."""


class State(NamedTuple):
    setting: Setting
    relays: tuple[bool, ...]


@dataclass(frozen=True)
class Network:
    """What holds in one state of the contacts: shorts, loads energised, loads that may be, and
    the sources that are live."""

    short: bool
    live: frozenset[str]
    energised: frozenset[str]
    maybe: frozenset[str]


Gone = frozenset[tuple[str, frozenset[str]]]
"""What is taken away: `wire` or `part`, and its two terminals in either order."""

Joined = tuple[int, ...]
"""The place of each end of a load, a source or a diode: those at one place bear one number."""


@dataclass
class PanelOracle:
    """What is in a state is worked out once: for states alike in what is joined, too."""

    panel: Drawn
    gone: Gone = frozenset()
    _of_state: dict[State, Network] = field(default_factory=dict)
    _of_closed: dict[tuple[bool, ...], Joined] = field(default_factory=dict)
    _of_joined: dict[tuple[Joined, frozenset[str], frozenset[Ends]], Network] = field(
        default_factory=dict
    )

    def changed(self, *, gone: Gone | None = None, panel: Drawn | None = None) -> PanelOracle:
        """The same with other things taken away, or with other contacts in the drawing.

        Loads, sources and diodes are those of before; with the same of them joined, all that
        holds is what held before.
        """
        return PanelOracle(
            self.panel if panel is None else panel,
            self.gone if gone is None else gone,
            _of_joined=self._of_joined,
        )

    # ---- one state -----------------------------------------------------------------------

    def network(self, state: State) -> Network:
        known = self._of_state.get(state)
        if known is None:
            known = self._of_state[state] = self._network(state)
        return known

    def _network(self, state: State) -> Network:
        positions = dict(zip(self.panel.positions, state.setting, strict=True))
        present = frozenset(
            one.name for one in self.panel.sources if not one.fed_by and positions[one.name]
        )
        joined = self._joined(state)
        key = joined, present, self._diodes
        if key not in self._of_joined:
            self._of_joined[key] = self._work_out(self._places(joined), present)
        return self._of_joined[key]

    def is_short_with(self, state: State, live: frozenset[str]) -> bool:
        """Whether there is a short while just these sources are live."""
        return self._has_short(self._graph(self._places(self._joined(state)), set(live)))

    def _joined(self, state: State) -> Joined:
        positions = dict(zip(self.panel.positions, state.setting, strict=True))
        positions.update(zip(self.panel.relays, map(int, state.relays), strict=True))
        closed = tuple(positions[contact.device] in contact.closed for contact in self._contacts)
        if closed not in self._of_closed:
            self._of_closed[closed] = self._join(closed)
        return self._of_closed[closed]

    def _is_gone(self, sort: str, ends: Ends) -> bool:
        return (sort, frozenset(ends)) in self.gone

    @cached_property
    def _contacts(self) -> list[Contact]:
        return [one for one in self.panel.contacts if not self._is_gone("part", one.ends)]

    @cached_property
    def _diodes(self) -> frozenset[Ends]:
        return frozenset(ends for ends in self.panel.diodes if not self._is_gone("part", ends))

    def _work_out(self, place: dict[str, int], present: frozenset[str]) -> Network:
        live = set(present)
        while True:
            graph = self._graph(place, live)
            energised = {
                load.name for load in self.panel.loads if self._is_fed(graph, place, load, True)
            }
            more = {
                one.name
                for one in self.panel.sources
                if one.fed_by in energised and one.name not in live
            }
            if not more:
                break
            live |= more
        maybe = set()
        for load in self.panel.loads:
            if load.name in energised:
                continue
            if self._is_fed(self._with_loads(graph, place, load), place, load, False):
                maybe.add(load.name)
        return Network(
            self._has_short(graph), frozenset(live), frozenset(energised), frozenset(maybe)
        )

    def _join(self, closed: tuple[bool, ...]) -> Joined:
        joined = nx.Graph()
        joined.add_nodes_from(self._ends)
        joined.add_edges_from(wire for wire in self.panel.wires if not self._is_gone("wire", wire))
        joined.add_edges_from(
            contact.ends
            for contact, is_closed in zip(self._contacts, closed, strict=True)
            if is_closed
        )
        group = {
            terminal: number
            for number, terminals in enumerate(nx.connected_components(joined))
            for terminal in terminals
        }
        # Numbered as they are met, so that what is joined alike bears the same numbers.
        numbers: dict[int, int] = {}
        return tuple(numbers.setdefault(group[end], len(numbers)) for end in self._ends)

    def _places(self, joined: Joined) -> dict[str, int]:
        return dict(zip(self._ends, joined, strict=True))

    @cached_property
    def _ends(self) -> list[str]:
        """Of loads, sources and diodes: between these there is a way, or a voltage."""
        pairs = [load.ends for load in self.panel.loads]
        pairs += [one.poles for one in self.panel.sources]
        pairs += self.panel.diodes
        return [end for pair in pairs for end in pair]

    def _graph(self, place: dict[str, int], live: set[str]) -> nx.DiGraph:
        """Each source and diode has a node of its own in the middle, so that edges are single."""
        graph = nx.DiGraph()
        for one in self.panel.sources:
            if one.name in live:
                high, low = (place[pole] for pole in one.poles)
                self._arc(graph, low, high, ("up", one.name))
                self._arc(graph, high, low, ("down", one.name))
        for number, (anode, cathode) in enumerate(self.panel.diodes):
            if (anode, cathode) in self._diodes:
                self._arc(graph, place[anode], place[cathode], ("diode", number))
        return graph

    def _with_loads(self, graph: nx.DiGraph, place: dict[str, int], but: Load) -> nx.DiGraph:
        through = graph.copy()
        for load in self.panel.loads:
            if load is not but:
                a, b = (place[end] for end in load.ends)
                self._arc(through, a, b, ("load", load.name))
                self._arc(through, b, a, ("load back", load.name))
        return through

    @staticmethod
    def _arc(graph: nx.DiGraph, start: int, end: int, middle: tuple[str, object]) -> None:
        graph.add_edge(start, middle)
        graph.add_edge(middle, end)

    def _volts(self, path: Iterable[object]) -> Volts | None:
        """The sum along a path; None if it passes one source or load both ways."""
        total: Volts = {}
        passed = [node for node in path if isinstance(node, tuple)]
        names = [name for _, name in passed]
        if len(set(names)) < len(names):
            return None
        for way, name in passed:
            if way in ("up", "down"):
                one = self._source(str(name))
                total[one.basis] = total.get(one.basis, 0.0) + one.volts * (
                    1 if way == "up" else -1
                )
        return {basis: volts for basis, volts in total.items() if abs(volts) > 1e-6}

    def _source(self, name: str) -> Sourced:
        return next(one for one in self.panel.sources if one.name == name)

    def _has_short(self, graph: nx.DiGraph) -> bool:
        for cycle in nx.simple_cycles(graph):
            volts = self._volts(cycle)
            if volts and drives(volts):
                return True
        return False

    def _is_fed(self, graph: nx.DiGraph, place: dict[str, int], load: Load, properly: bool) -> bool:
        """Whether current that leaves one end of the load comes back to the other.

        Where other loads share the volts, a diode past the load leaves it none.
        """
        a, b = (place[end] for end in load.ends)
        if a == b:
            return False
        for leaving, back, forwards in ((b, a, True), (a, b, False)):
            if not _leads(graph, leaving, back):
                continue
            if not properly and self._is_bypassed(place, back, leaving):
                continue
            for path in nx.all_simple_paths(graph, leaving, back):
                volts = self._volts(path)
                if volts and drives(volts) and (not properly or _fits(load, volts, forwards)):
                    return True
        return False

    def _is_bypassed(self, place: dict[str, int], enters: int, leaves: int) -> bool:
        return _leads(self._graph(place, set()), enters, leaves)

    # ---- all states ------------------------------------------------------------------------

    def states(self) -> Iterator[State]:
        settings = [range(len(rests)) for rests in self.panel.positions.values()]
        relays = itertools.product((False, True), repeat=len(self.panel.relays))
        for setting, moved in itertools.product(itertools.product(*settings), list(relays)):
            yield State(setting, moved)

    def must(self, state: State, certain: bool) -> list[int]:
        """Relays that will move; with `certain`, one that may pull in will not."""
        network = self.network(state)
        moving = []
        for number, name in enumerate(self.panel.relays):
            on = name in network.energised
            free = name in network.maybe and not certain
            if not free and on != state.relays[number]:
                moving.append(number)
        return moving

    def may(self, state: State, certain: bool) -> list[int]:
        """Relays that will move or, being free, may."""
        maybe = self.network(state).maybe
        free = [
            number for number, name in enumerate(self.panel.relays) if name in maybe and not certain
        ]
        return sorted({*self.must(state, certain), *free})

    def starts(self) -> Iterator[State]:
        """At power-up every source is absent, every switch where it can rest, every relay out."""
        absent = {one.name for one in self.panel.sources}
        choices = [
            (0,) if name in absent else [place for place, rests in enumerate(positions) if rests]
            for name, positions in self.panel.positions.items()
        ]
        out = tuple(False for _ in self.panel.relays)
        for setting in itertools.product(*choices):
            yield State(setting, out)

    def reached(self, *, certain: bool, settled: bool) -> set[State]:
        """What settled operation reaches, or a race; not beyond a short.

        In a race switches are operated at any moment, and relays may move in the same instant.
        """
        seen = set(self.starts())
        queue = deque(seen)
        while queue:
            state = queue.popleft()
            if self.network(state).short:
                continue
            for onwards in self._onwards(state, certain, settled):
                if onwards not in seen:
                    seen.add(onwards)
                    queue.append(onwards)
        return seen

    def _onwards(self, state: State, certain: bool, settled: bool) -> Iterator[State]:
        may = self.may(state, certain)
        for count in range(1, (1 if settled else len(may)) + 1):
            for moving in itertools.combinations(may, count):
                yield State(state.setting, _flipped(state.relays, *moving))
        if settled and self.must(state, certain):
            return
        for place, positions in enumerate(self.panel.positions.values()):
            for moved in (state.setting[place] - 1, state.setting[place] + 1):
                if 0 <= moved < len(positions):
                    setting = (*state.setting[:place], moved, *state.setting[place + 1 :])
                    yield State(setting, state.relays)

    def rests(self, state: State, certain: bool) -> bool:
        """Whether no relay wants to move and every switch is where it can be left."""
        resting = all(
            rests[place]
            for rests, place in zip(self.panel.positions.values(), state.setting, strict=True)
        )
        return resting and not self.must(state, certain)

    def chatters(self, certain: bool) -> bool:
        """Whether relays could go on moving for ever with no switch touched."""
        moves = nx.DiGraph()
        for state in self.states():
            for number in self.must(state, certain):
                moves.add_edge(state, State(state.setting, _flipped(state.relays, number)))
        return not nx.is_directed_acyclic_graph(moves)


def _leads(graph: nx.DiGraph, start: int, end: int) -> bool:
    """Whether anything at all leads there: looking for all paths takes long where none does."""
    return start in graph and end in graph and bool(nx.has_path(graph, start, end))


def _flipped(relays: tuple[bool, ...], *numbers: int) -> tuple[bool, ...]:
    return tuple(moved ^ (number in numbers) for number, moved in enumerate(relays))


def drives(volts: Volts) -> bool:
    """Whether volts drive current in the direction they were added up in; AC does in either."""
    return volts.get("DC", 0.0) > 0 or any(basis != "DC" for basis in volts)


def _fits(load: Load, volts: Volts, forwards: bool) -> bool:
    kind = "DC" if set(volts) == {"DC"} else "AC" if "DC" not in volts else "both"
    amount = sum(abs(value) for value in volts.values())
    inside = load.volts * load.low - 1e-6 <= amount <= load.volts * 1.10 + 1e-6
    return kind == load.kind and inside and (forwards or not load.polarised)
