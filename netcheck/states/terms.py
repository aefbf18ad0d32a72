"""Diagrams over everything that moves in a panel, and sums of products of their positions.

A term is a switch, source or relay in one of some positions; a product is terms that hold
together.  Positions a switch only passes through, and numbers that stand for none, can be
left out of a care (`resting`), so that nothing is said of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Generic, TypeVar

from netcheck.record import record
from netcheck.states.diagrams import Diagrams, OutOfBudget
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.machine import Machine


@record
class Term:
    """A switch or mover in one of these positions (of a mover: 0 out, 1 in)."""

    name: str
    positions: frozenset[int]


Product = tuple[Term, ...]

_Cube = Mapping[str, frozenset[int]]

Result = TypeVar("Result")

Form = tuple[object, ...]
"""Of what is alike but for its names the same; good for comparing only."""

MOST_HELD = 80_000
"""Nodes and results held beside what is asked to be kept."""

_OUT, _IN = frozenset((0,)), frozenset((1,))


class Terms:
    """One machine's variables in one store of diagrams."""

    def __init__(self, machine: Machine, order: Iterable[int], rank: Callable[[str], int]) -> None:
        """`order` are the variables, topmost first.

        Of two names either of which a product can do without, that of the higher `rank` goes.
        """
        self._machine = machine
        self._logic = machine.logic
        self.store = Diagrams(list(dict.fromkeys(order)))
        self._owner = machine.owners()
        names = [*machine.switches, *machine.movers]
        self._place = {name: place for place, name in enumerate(names)}
        self._leaves = {name: (-rank(name), place) for name, place in self._place.items()}
        self._passed = {
            name
            for name, switch in machine.switches.items()
            if len(switch.resting) < 1 << len(switch.bits) or len(switch.bits) > 1
        }
        """Those of more than two positions, some of which they may not rest in."""
        self._bits = {name: switch.bits for name, switch in machine.switches.items()}
        self._bits.update((name, (mover.state,)) for name, mover in machine.movers.items())
        self._positions = {name: switch.resting for name, switch in machine.switches.items()}
        self._positions.update(dict.fromkeys(machine.movers, _OUT | _IN))
        self._kinds = {n: (len(s.positions), s.resting) for n, s in machine.switches.items()}
        self._kinds.update(dict.fromkeys(machine.movers, (2, _OUT | _IN)))
        self._known: dict[tuple[str, frozenset[int]], int] = {}
        self._terms: dict[tuple[str, frozenset[int]], Term] = {}
        self._told = ByForm(self.renamed)
        self._most_held = MOST_HELD

    def of(self, literal: int) -> int:
        return self.store.of(self._logic, literal)

    def tidy(self, diagrams: Callable[[], Iterable[int]]) -> bool:
        """Let go of all but these diagrams, if much is held: of a big panel most that was made for
        one relay or load is waste for the next."""
        if self.store.held <= self._most_held:
            return False
        self.store.keep([*diagrams(), *self._known.values()])
        self._most_held = self.store.held + MOST_HELD
        return True

    def owner(self, variable: int) -> str:
        """Whose variable it is; KeyError if it is nothing that moves."""
        return self._owner[variable]

    def names(self, f: int) -> frozenset[str]:
        """Of the switches and movers that make a difference to `f`."""
        return frozenset(self._owner[variable] for variable in self.store.support(f))

    def place(self, name: str) -> int:
        """Where it stands in the order of the text, switches before what coils move."""
        return self._place[name]

    def positions(self, name: str) -> frozenset[int]:
        """Where it can rest."""
        return self._positions[name]

    def at(self, name: str, positions: frozenset[int]) -> int:
        """Where it is in one of these positions."""
        known = self._known.get((name, positions))
        if known is None:
            switch = self._machine.switches.get(name)
            if switch is not None:
                known = self.of(self._machine.in_positions(switch, positions))
            elif len(positions) == 1:
                known = self.of(self._machine.movers[name].state) ^ (0 in positions)
            else:
                known = TRUE if positions else FALSE
            self._known[name, positions] = known
        return known

    def resting(self, names: Iterable[str]) -> int:
        """Where all of them are where they can rest."""
        switches = [self._machine.switches[name] for name in names if name in self._passed]
        valid = [self.of(self._machine.valid_code(switch)) for switch in switches]
        rests = [self.at(switch.name, switch.resting) for switch in switches]
        return self.store.all_of([*valid, *rests])

    def products(self, f: int, care: int, most: int) -> tuple[Product, ...]:
        """Products whose sum is `f` wherever `care` is true, as short and few as comes easily.

        No term and no product of it can be left out.  OutOfBudget past `most` products.  Rungs
        are much alike: what has the form of something asked before is that with its own names in.
        """
        care = self._of_its_own(f, care)
        names, form = self.form(f, care)
        return self._told.get(names, (most, *form), lambda: self._worked_out(f, care, most))

    def renamed(self, products: tuple[Product, ...], put: Mapping[str, str]) -> tuple[Product, ...]:
        """The products with other names put for their own."""
        return tuple(
            tuple(self._term(put[term.name], term.positions) for term in product)
            for product in products
        )

    def form(self, *diagrams: int) -> tuple[list[str], Form]:
        """The names that diagrams depend on, in the order of the text, and all else that a sum
        read off them does."""
        found = frozenset[str]().union(*map(self.names, diagrams))
        names = sorted(found, key=self._place.__getitem__)
        bits = self.store.in_order([bit for name in names for bit in self._bits[name]])
        place = {bit: at for at, bit in enumerate(bits)}
        leaves = [self._leaves[name] for name in names]
        return names, (
            self.store.shape(diagrams, bits),
            tuple(sorted(range(len(names)), key=leaves.__getitem__)),
            tuple(place[bit] for name in names for bit in self._bits[name]),
            tuple(self._kinds[name] for name in names),
        )

    def _of_its_own(self, f: int, care: int) -> int:
        """What a care for others too, such as what else moves a relay that `f` depends on, leaves
        of the variables of `f` alone: that is smaller, and of fewer forms."""
        others = self.store.support(care) - self.store.support(f)
        return self.store.exists(care, others) if others else care

    def _worked_out(self, f: int, care: int, most: int) -> tuple[Product, ...]:
        # Most conditions are short without any care; where one is not, care may make it so.
        whole = self.store.as_product(f)
        try:
            found = self.store.sum_of_products(f, f, most) if whole is None else (whole,)
        except OutOfBudget:
            lower, upper = self.store.both(f, care), self.store.either(f, care ^ 1)
            found = self.store.sum_of_products(lower, upper, most)
        maybe = map(self._cube, found)
        cubes: list[_Cube] = [cube for cube in maybe if cube is not None]
        if care != TRUE or any(name in self._passed for cube in cubes for name in cube):
            cubes = self._as_short_as_can_be(cubes, f, care)
        return tuple(sorted(map(self._product, cubes), key=self._in_order))

    def _as_short_as_can_be(self, cubes: list[_Cube], f: int, care: int) -> list[_Cube]:
        """Fewer and shorter cubes, of the same sum wherever `care` is true."""
        store = self.store
        wrong = store.both(care, f ^ 1)
        if wrong == care:
            return []
        cubes = [self._widened(self._shorter(cube, care, wrong), wrong) for cube in cubes]
        if len(cubes) == 1 and all(len(positions) == 1 for positions in cubes[0].values()):
            return cubes
        lower = store.both(f, care)
        kept = self._needed(cubes, lower)
        apart = self._apart(kept, lower)
        if apart != kept:
            apart = self._needed([self._shorter(cube, care, wrong) for cube in apart], lower)
        return apart

    def _cube(self, literals: Iterable[int]) -> dict[str, frozenset[int]] | None:
        """A product of variables as positions of what they belong to; None if it has none."""
        cube: dict[str, frozenset[int]] = {}
        for literal in literals:
            name = self._owner[literal & ~1]
            place = self._bits[name].index(literal & ~1)
            known = cube.get(name, self._positions[name])
            cube[name] = frozenset(p for p in known if (p >> place ^ literal) & 1)
        return cube if all(cube.values()) else None

    def _diagram(self, cube: _Cube) -> int:
        literals, found = [], TRUE
        for name, positions in cube.items():
            bits = self._bits[name]
            if len(bits) == len(positions) == 1:
                literals.append(bits[0] ^ (0 in positions))
            else:
                found = self.store.both(found, self.at(name, positions))
        return self.store.both(self.store.product(literals), found)

    def _shorter(self, cube: _Cube, care: int, wrong: int) -> _Cube:
        """Without terms it can do without: what is left meets nothing that is `wrong`."""
        point = self._example(care, cube)
        for name in sorted(cube, key=self._leaves.__getitem__):
            if point is not None and self._matters(name, cube[name], point, wrong):
                continue
            rest = {other: positions for other, positions in cube.items() if other != name}
            if self._example(wrong, rest) is None:
                cube = rest
        return cube

    def _example(self, f: int, cube: _Cube) -> dict[int, bool] | None:
        """Values that make `f` true within the cube; None if nothing does."""
        given: dict[int, bool] = {}
        for name, positions in cube.items():
            if len(positions) == 1:
                given.update(self._values(name, *positions))
            else:
                f = self.store.both(f, self.at(name, positions))
        return self.store.example(f, given)

    def _matters(
        self, name: str, positions: frozenset[int], point: Mapping[int, bool], wrong: int
    ) -> bool:
        """Whether moving only this, from a point where all is well, leads where it is not."""
        for position in self._positions[name] - positions:
            if self.store.value(wrong, {**point, **self._values(name, position)}):
                return True
        return False

    def _values(self, name: str, position: int) -> dict[int, bool]:
        """The values of its variables in a position."""
        return {bit: bool(position >> place & 1) for place, bit in enumerate(self._bits[name])}

    def _widened(self, cube: _Cube, wrong: int) -> _Cube:
        """With each term in as many positions as can be."""
        for name in [name for name in cube if len(self.positions(name)) > 2]:
            for position in sorted(self.positions(name) - cube[name]):
                wider = {**cube, name: cube[name] | {position}}
                if self._example(wrong, wider) is None:
                    cube = wider
        return cube

    def _needed(self, cubes: list[_Cube], lower: int) -> list[_Cube]:
        """Without any that the others make superfluous, the longest looked at first."""
        if len(cubes) == 1:
            return cubes
        kept = {id(cube): self._diagram(cube) for cube in cubes}
        for cube in sorted(cubes, key=lambda cube: -len(cube)):
            others = [diagram for key, diagram in kept.items() if key != id(cube)]
            if self.store.implies(lower, self.store.any_of(others)):
                del kept[id(cube)]
        return [cube for cube in cubes if id(cube) in kept]

    def _apart(self, cubes: list[_Cube], lower: int) -> list[_Cube]:
        """Without positions that another product speaks of already."""
        apart = list(cubes)
        for number, cube in enumerate(apart):
            for name in [name for name, positions in cube.items() if len(positions) > 1]:
                others = [self._diagram(other) for k, other in enumerate(apart) if k != number]
                for position in sorted(cube[name]):
                    fewer = {**cube, name: cube[name] - {position}}
                    found = self.store.any_of([*others, self._diagram(fewer)])
                    if fewer[name] and self.store.implies(lower, found):
                        cube = fewer
            apart[number] = cube
        return apart

    def _product(self, cube: _Cube) -> Product:
        names = sorted(cube, key=self._place.__getitem__)
        return tuple(self._term(name, cube[name]) for name in names)

    def _term(self, name: str, positions: frozenset[int]) -> Term:
        """The only one of its kind: they stand in many sums."""
        term = self._terms.get((name, positions))
        if term is None:
            term = self._terms[name, positions] = Term(name, positions)
        return term

    def _in_order(self, product: Product) -> list[tuple[int, list[int]]]:
        return [(self._place[term.name], sorted(term.positions)) for term in product]


class ByForm(Generic[Result]):
    """What hangs on names by its form alone: worked out once, and told again with others in."""

    def __init__(self, renamed: Callable[[Result, Mapping[str, str]], Result]) -> None:
        self._renamed = renamed
        self._known: dict[Form, tuple[list[str], Result]] = {}

    def get(self, names: list[str], form: Form, work: Callable[[], Result]) -> Result:
        """`work` says what it is of these names, which `Terms.form` gives with the form."""
        if form not in self._known:
            self._known[form] = names, work()
        told_of, result = self._known[form]
        if told_of == names:
            return result
        return self._renamed(result, dict(zip(told_of, names, strict=True)))
