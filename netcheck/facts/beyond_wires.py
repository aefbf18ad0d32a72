"""What lies beyond each ungrounded wire, away from what feeds it, up to the next device.

What feeds it is the way that holds least (`protection.py`); lesser feeds lie beyond it.
A wire after which every way ends at a breaker or fuse is a lead or a tap: the device at
its end keeps its load down.  A wire that reaches a load without one is a branch.
"""

from __future__ import annotations

from collections import deque

from netcheck.case import View, concludes
from netcheck.facts.protection import Protection
from netcheck.facts.sections import Sections
from netcheck.network.blocks import EdgesBetween
from netcheck.record import draft, record

UNKNOWN = float("inf")


@draft
class Beyond:
    """How many loads, devices and other sources are met, the largest device in A, the longest
    way in m.

    The last two are infinite where the text does not say them.
    """

    loads: int = 0
    devices: int = 0
    sources: int = 0
    largest_a: float = 0.0
    length_m: float = 0.0

    @property
    def ends_in_devices(self) -> bool:
        return self.devices > 0 and not self.loads

    def take(self, other: Beyond, length_m: float = 0.0) -> None:
        """Add what lies beyond a wire of this length."""
        self.loads += other.loads
        self.devices += other.devices
        self.sources += other.sources
        self.largest_a = max(self.largest_a, other.largest_a)
        self.length_m = max(self.length_m, other.length_m + length_m)


@record
class BeyondWires:
    """By the index of the wire; a grounded or dead wire has no entry.

    `before` gives for a wire the one that leads to it, None next to what feeds it.
    """

    of: dict[int, Beyond]
    before: dict[int, int | None]


@concludes(Sections, Protection)
def find_beyond_wires(view: View) -> BeyondWires:
    finder = _Finder(view[Sections], view[Protection])
    return BeyondWires(finder.find(), finder.before())


class _Finder:
    """Works on the block tree of the conductors, rooted in one vertex for all that feeds them.

    What lies beyond a wire is what hangs below its block: of a loop, the loop itself too.
    """

    def __init__(self, sections: Sections, protection: Protection) -> None:
        self.panel = sections.panel
        self.sections = sections
        self.lengths_m = {w.index: w.properties.length_m for w in self.panel.wires}
        self.number = {name: vertex for vertex, name in enumerate(("", *sections.of))}
        self.entries = {
            self.number[ahead.entry]
            for ways in protection.ways.values()
            for ahead in ways
            if ahead.slackness == ways[0].slackness
        }
        self.names = ("", *sections.of)
        self.poles = self._poles()
        self.sides: dict[int, set[tuple[str, str]]] = {}
        """By section, the poles that feed it and hold least."""
        for vertex in self.entries & self.poles.keys():
            self.sides.setdefault(sections.of[self.names[vertex]], set()).add(self.poles[vertex])
        self.ends = [(0, entry) for entry in sorted(self.entries)]
        self.wires: list[int | None] = [None] * len(self.ends)
        for wire in self.panel.wires:
            self._lay(wire.a, wire.b, wire.index)
        for part in (*sections.inner, *(part for _, _, part in sections.one_way)):
            self._lay(part.a, part.b, None)

    def _lay(self, a: str, b: str, wire: int | None) -> None:
        if a in self.number and b in self.number and a != b:
            self.ends.append((self.number[a], self.number[b]))
            self.wires.append(wire)

    def find(self) -> dict[int, Beyond]:
        tree = EdgesBetween(len(self.number), self.ends).tree
        edges: list[list[int]] = [[] for _ in tree.top]
        for edge, (a, b) in enumerate(self.ends):
            edges[tree.block_of_edge(a, b)].append(edge)
        at = self._at_terminals()
        found: dict[int, Beyond] = {}
        # Every block stands after all that hang below it, so backwards is from the leaves up.
        for block in range(len(tree.top)):
            held = Beyond()
            for vertex in tree.below[block]:
                held.take(at[vertex])
            held.sources += self._tied([self.ends[e][1] for e in edges[block] if 0 in self.ends[e]])
            longest_m = 0.0
            for edge in edges[block]:
                wire = self.wires[edge]
                if wire is not None and tree.root[self.ends[edge][0]] == 0:
                    length_m = self._length_m(wire)
                    found[wire] = Beyond()
                    found[wire].take(held, length_m)
                    longest_m = max(longest_m, length_m)
            at[tree.top[block]].take(held, longest_m)
        return found

    def before(self) -> dict[int, int | None]:
        """Breadth first from all that feeds, so that each wire is met from its nearer end."""
        near: list[list[tuple[int, int | None]]] = [[] for _ in self.number]
        for (a, b), wire in zip(self.ends, self.wires, strict=True):
            near[a].append((b, wire))
            near[b].append((a, wire))
        came: dict[int, int | None] = {0: None}
        found: dict[int, int | None] = {}
        queue = deque([0])
        while queue:
            vertex = queue.popleft()
            for end, wire in near[vertex]:
                if wire is not None and wire not in found:
                    found[wire] = came[vertex]
                if end not in came:
                    came[end] = came[vertex] if wire is None else wire
                    queue.append(end)
        return found

    def _at_terminals(self) -> list[Beyond]:
        """At each terminal by itself: its loads, the devices that lead on from it, and whether
        it is the pole of a source that holds its current better."""
        at = [Beyond() for _ in self.number]
        for part in self.panel.parts:
            if part.load is not None and not part.spare:
                for end in (part.a, part.b):
                    if end in self.number:
                        at[self.number[end]].loads += 1
        for number, (side, device) in self.poles.items():
            feeding = self.sides.get(self.sections.of[self.names[number]], set())
            beside = any(like == side and other != device for like, other in feeding)
            if beside and number not in self.entries:
                at[number].sources += 1
        for pole in self.sections.poles:
            for end in (pole.part.a, pole.part.b):
                vertex = self.number.get(end)
                if vertex is not None and vertex not in self.entries:
                    rating_a = UNKNOWN if pole.rating_a is None else pole.rating_a
                    at[vertex].take(Beyond(devices=1, largest_a=rating_a))
        return at

    def _tied(self, entries: list[int]) -> int:
        """How many of the sources that feed a loop stand side by side with another of them."""
        feeding = {self.poles[vertex] for vertex in entries if vertex in self.poles}
        return sum(any(a[0] == b[0] and a[1] != b[1] for b in feeding) for a in feeding)

    def _poles(self) -> dict[int, tuple[str, str]]:
        """Poles of sources with their side and device: + beside + is a tie, + on - a series."""
        found = {}
        for source in self.panel.sources:
            lowest_v = min(potential.real for potential in source.poles.values())
            for mark, potential in source.poles.items():
                vertex = self.number.get(f"{source.device}:{mark}")
                if vertex is not None:
                    low = source.kind == "DC" and potential.real == lowest_v
                    found[vertex] = (f"{source.kind} low" if low else source.kind, source.device)
        return found

    def _length_m(self, wire: int) -> float:
        length_m = self.lengths_m[wire]
        return UNKNOWN if length_m is None else length_m
