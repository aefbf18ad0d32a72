"""What is drawn in one rung: a chain of wires and parts as the text traces it.

Every wire of a panel stands in exactly one chain, and so does every part that is wired at
both its ends and joins more than a strip.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from netcheck.model.devices import Conducts, Drive, Part, device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import draft, fresh

STRIPS = frozenset(("strip", "terminal", "grounding bar", "neutral bar"))
IN_A_BOX = frozenset(("winding", "element", "load", "outlet", "supply input", "input"))
"""Loads that stand at the end of several rungs, not in one."""

Link = Wire | Part


@draft
class Chain:
    """Terminals in a row; `links[i]` joins `terminals[i]` and the next."""

    circuit: str
    terminals: list[str] = fresh(factory=list)
    links: list[Link] = fresh(factory=list)

    @property
    def parts(self) -> list[Part]:
        return [link for link in self.links if isinstance(link, Part)]

    @property
    def wires(self) -> list[Wire]:
        return [link for link in self.links if isinstance(link, Wire)]

    def turned(self) -> Chain:
        return Chain(self.circuit, self.terminals[::-1], self.links[::-1])

    def followed_by(self, other: Chain, by: Part | None = None) -> Chain:
        """This and then `other`, through a part or at one terminal."""
        if by is None:
            terminals = self.terminals + other.terminals[1:]
            return Chain(self.circuit, terminals, self.links + other.links)
        links = [*self.links, by, *other.links]
        return Chain(self.circuit, self.terminals + other.terminals, links)


def is_strip(panel: Panel, terminal: str) -> bool:
    return panel.devices[device_of(terminal)].kind in STRIPS


Fits = Callable[[Chain], bool]
"""Whether a chain is short enough for a rung."""


class _Finder:
    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self.passed: set[int] = set()

    def between(self, start: str, end: str) -> Part | None:
        """The part that leads from one terminal of a device to another and is not drawn yet."""
        found = [
            part
            for part in self.panel.parts_at.get(start, ())
            if end in (part.a, part.b)
            and part.index not in self.passed
            and part.conducts is not Conducts.NOTHING
        ]
        # A diode across a coil has the same ends: it is no way on.
        found.sort(key=lambda part: part.conducts is Conducts.ONE_WAY)
        return found[0] if found else None

    def traced(self) -> Iterator[Chain]:
        """As the lines of the text run."""
        chain: Chain | None = None
        line = None
        for wire in self.panel.wires:
            if chain is not None and line == wire.line and self._goes_on(chain, wire):
                continue
            if chain is not None:
                yield self._ended(chain)
            chain, line = Chain(wire.circuit, [wire.a, wire.b], [wire]), wire.line
            self._begin(chain, wire)
        if chain is not None:
            yield self._ended(chain)

    def _begin(self, chain: Chain, wire: Wire) -> None:
        """A line may begin with a way through a device, and end with one."""
        part = self._passed_at(wire, wire.a)
        if part is not None:
            other = part.b if part.a == wire.a else part.a
            if other not in chain.terminals:
                self.passed.add(part.index)
                chain.terminals.insert(0, other)
                chain.links.insert(0, part)

    def _ended(self, chain: Chain) -> Chain:
        wire, last = chain.wires[-1], chain.terminals[-1]
        part = self._passed_at(wire, last)
        if part is not None:
            other = part.b if part.a == last else part.a
            if other not in chain.terminals:
                self.passed.add(part.index)
                chain.terminals.append(other)
                chain.links.append(part)
        return chain

    def _passed_at(self, wire: Wire, terminal: str) -> Part | None:
        """The part at a terminal that the wire's own line of text goes through."""
        for part in self.panel.parts_at.get(terminal, ()):
            span = self.panel.chain_spans.get(part.index)
            if span is None or part.index in self.passed or is_strip(self.panel, terminal):
                continue
            if span.path == wire.span.path and wire.line.line <= span.line <= wire.span.line + 1:
                return part
        return None

    def _goes_on(self, chain: Chain, wire: Wire) -> bool:
        last = chain.terminals[-1]
        if wire.a in chain.terminals[:-1] or wire.b in chain.terminals:
            return False
        if wire.a != last:
            part = self.between(last, wire.a) if device_of(last) == device_of(wire.a) else None
            if part is None:
                return False
            self.passed.add(part.index)
            chain.terminals.append(wire.a)
            chain.links.append(part)
        chain.terminals.append(wire.b)
        chain.links.append(wire)
        return True


def chains_of(panel: Panel, fits: Fits) -> list[Chain]:
    """All chains, in the order of the text; `fits` says whether one is short enough for a rung."""
    finder = _Finder(panel)
    chains = [piece for chain in finder.traced() for piece in _split(panel, chain, fits)]
    chains = _joined_at_terminals(panel, chains, fits)
    chains = _joined_through_parts(panel, finder, chains, fits)
    _lengthen(panel, finder, chains, fits)
    return _with_what_is_left(panel, finder, chains)


def _split(panel: Panel, chain: Chain, fits: Fits) -> Iterator[Chain]:
    """Cut at a strip terminal if there is one far enough along, else where it must be."""
    while not fits(chain) and len(chain.links) > 1:
        longest = 1
        while longest < len(chain.links) - 1 and fits(_piece(chain, 0, longest + 1)):
            longest += 1
        at = next(
            (
                place
                for place in range(longest, longest // 2, -1)
                if is_strip(panel, chain.terminals[place])
            ),
            longest,
        )
        yield _piece(chain, 0, at)
        chain = _piece(chain, at, len(chain.links))
    yield chain


def _piece(chain: Chain, start: int, end: int) -> Chain:
    return Chain(chain.circuit, chain.terminals[start : end + 1], chain.links[start:end])


def _joined_at_terminals(panel: Panel, chains: list[Chain], fits: Fits) -> list[Chain]:
    """Where one line of the text ends and another begins, they are one rung."""
    live: dict[int, Chain] = dict(enumerate(chains))
    starting: dict[str, list[int]] = {}
    for number, chain in enumerate(chains):
        starting.setdefault(chain.terminals[0], []).append(number)
    for number in list(live):
        while number in live:
            end = live[number].terminals[-1]
            after = [other for other in starting.get(end, ()) if other in live and other != number]
            if len(after) != 1 or not _is_way_on(panel, live[number]):
                break
            one, other = live[number], live[after[0]]
            through = panel.devices[device_of(end)].kind == "terminal"
            apart = not set(one.terminals[:-1]) & set(other.terminals)
            if not apart or (one.circuit != other.circuit and not through):
                break
            longer = one.followed_by(other)
            if not fits(longer):
                break
            live[number] = longer
            del live[after[0]]
    return [live[number] for number in sorted(live)]


def _is_way_on(panel: Panel, chain: Chain) -> bool:
    """Whether at its end two wires meet, or a part and a wire, and no more."""
    wires = len(panel.wires_at.get(chain.terminals[-1], ()))
    return wires == (1 if isinstance(chain.links[-1], Part) else 2)


def _joined_through_parts(
    panel: Panel, finder: _Finder, chains: list[Chain], fits: Fits
) -> list[Chain]:
    """A part whose ends are the ends of two chains, for texts that list wires."""
    ends: dict[str, int] = {}
    for number, chain in enumerate(chains):
        for end in (chain.terminals[0], chain.terminals[-1]):
            ends[end] = number
    owner = list(range(len(chains)))
    live: dict[int, Chain] = dict(enumerate(chains))

    def find(number: int) -> int:
        while owner[number] != number:
            number = owner[number]
        return number

    for part in panel.parts:
        if part.index in finder.passed or not _is_passable(panel, part) or part.role in IN_A_BOX:
            continue
        if part.a not in ends or part.b not in ends or is_strip(panel, part.a):
            continue
        if len(panel.wires_at[part.a]) != 1 or len(panel.wires_at[part.b]) != 1:
            continue
        first, second = find(ends[part.a]), find(ends[part.b])
        if first == second:
            continue
        one, other = live[first], live[second]
        if one.terminals[-1] != part.a:
            one = one.turned()
        if other.terminals[0] != part.b:
            other = other.turned()
        whole = one.followed_by(other, part)
        meet = one.terminals[-1] == part.a and other.terminals[0] == part.b
        if meet and fits(whole):
            finder.passed.add(part.index)
            owner[second] = first
            live[first] = whole
            del live[second]
    return [live[number] for number in sorted(live)]


def _lengthen(panel: Panel, finder: _Finder, chains: list[Chain], fits: Fits) -> None:
    """A part that leads on from the end of a chain stands in it: an output before its wire."""
    ends: dict[str, Chain] = {}
    for chain in chains:
        ends[chain.terminals[0]] = ends[chain.terminals[-1]] = chain
    for part in panel.parts:
        if part.index in finder.passed or not _is_passable(panel, part) or part.role in IN_A_BOX:
            continue
        for end, other in ((part.b, part.a), (part.a, part.b)):
            beside_it = ends.get(end)
            if beside_it is None or is_strip(panel, end) or other not in panel.wires_at:
                continue
            if len(panel.wires_at.get(end, ())) != 1 or other in beside_it.terminals:
                continue
            if part.conducts is Conducts.ONE_WAY and _across_a_load(panel, part):
                continue
            first = beside_it.terminals[0] == end
            beside = beside_it.links[0 if first else -1]
            longer = _with_end(beside_it, part, other, first)
            if isinstance(beside, Wire) and fits(longer):
                beside_it.terminals, beside_it.links = longer.terminals, longer.links
                finder.passed.add(part.index)
                break


def _with_end(chain: Chain, part: Part, other: str, first: bool) -> Chain:
    if first:
        return Chain(chain.circuit, [other, *chain.terminals], [part, *chain.links])
    return Chain(chain.circuit, [*chain.terminals, other], [*chain.links, part])


def is_output(panel: Panel, part: Part) -> bool:
    """A contact that a program moves: it stands in the box of its device, not in a rung."""
    mechanism = panel.mechanisms.get(part.mechanism)
    return mechanism is not None and mechanism.drive is Drive.OUTPUT


def _is_passable(panel: Panel, part: Part) -> bool:
    if part.inside or part.spare or part.is_fault or is_output(panel, part):
        return False
    return part.conducts in (
        Conducts.CONTACT,
        Conducts.LOAD,
        Conducts.JOINS,
        Conducts.ONE_WAY,
    )


def _with_what_is_left(panel: Panel, finder: _Finder, chains: list[Chain]) -> list[Chain]:
    """Parts that no chain passes, each in a rung of its own behind the one it hangs on."""
    behind: dict[int, list[Chain]] = {}
    at: dict[str, int] = {}
    for number, chain in enumerate(chains):
        for terminal in chain.terminals:
            at.setdefault(terminal, number)
    for part in panel.parts:
        if part.index in finder.passed or part.a not in at or part.b not in at:
            continue
        if not _is_passable(panel, part) or part.role in IN_A_BOX or is_strip(panel, part.a):
            continue
        if part.conducts is Conducts.ONE_WAY and _across_a_load(panel, part):
            continue
        number = max(at[part.a], at[part.b])
        chain = Chain(chains[number].circuit, [part.a, part.b], [part])
        behind.setdefault(number, []).append(chain)
    return [one for number, chain in enumerate(chains) for one in [chain, *behind.get(number, [])]]


def _across_a_load(panel: Panel, part: Part) -> bool:
    return any(
        other.load is not None and {other.a, other.b} == {part.a, part.b}
        for other in panel.parts_at[part.a]
    )
