"""Reduced ordered decision diagrams, and irredundant sums of products read off them.

    store = Diagrams(order, budget=100_000)    # variables (any even numbers), topmost first
    store.of(logic, literal)                   # a diagram of an expression of ours
    store.of(logic, literal, known)            # the same with other diagrams for its variables
    store.variable(v), f ^ 1                   # the variable; NOT
    store.both(f, g), store.either(f, g), store.choose(f, g, h), store.equal(f, g)
    store.implies(f, g)                        # whether f is true nowhere that g is not
    store.given(f, {v: True})                  # f where these variables are so
    store.exists(f, {v, w}), store.for_all(f, {v, w})
    store.both_exists(f, g, {v, w})            # exists(both(f, g)) without making both(f, g)
    store.renamed(f, {v: w}), store.composed(f, {v: g})
    store.simplified(f, care)                  # smaller where it can be, f wherever care is true
    store.allow(budget)                        # the next question has a budget of its own
    store.forget(), store.keep(diagrams)       # memory is let go of
    store.support(f), store.size(f), store.count(f, variables), store.example(f)
    store.example(f, {v: True})                # where these variables are so, without a new diagram
    store.as_product(f)                        # the literals it is the product of, or None
    store.shape((f, g), store.in_order(vs))    # equal for what is alike but for its variables
    store.sum_of_products(lower, upper, most)  # products, of which every one is needed

A diagram is a whole number, like a literal of `Logic`: FALSE is 0, TRUE is 1, the odd number
above an even one is its negation.  Two diagrams of one store are the same function exactly if
they are the same number.  Every result worked out costs one of the budget; past it, whatever is
asked raises OutOfBudget.  Nothing recurses, so an order may be thousands of variables long.

Importing a library of diagrams costs 65 ms (oxidd) to 165 ms (dd) of every start, and what is asked
here is small: most conditions have some ten variables.

One step of a relay machine: with the states now over `k` and those after over `after[k]`, side
by side in the order, `renamed(both_exists(states, step, {k...}), {after[k]: k...})`.

R. E. Bryant, Graph-based algorithms for Boolean function manipulation, 1986; sums of products
after S. Minato, 1992; `simplified` is O. Coudert and J. C. Madre's restrict, 1990.  From memory.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from typing import TypeVar

from netcheck.states.answers import OutOfBudget
from netcheck.states.expressions import FALSE, TRUE, Logic

Question = TypeVar("Question", bound=Hashable)
Result = TypeVar("Result")

Product = tuple[int, ...]
"""Literals that are all true: a variable, or the odd number above it for its negation."""

Shape = tuple[int, ...]
"""Of diagrams alike but for their variables the same; good for comparing only."""

_Path = tuple[int, bool, "_Path"] | None
"""The branches taken to a node: variable, its value, and those before."""

MOST_STEPS = 1_000_000


class Diagrams:
    """A store of diagrams over one order of variables."""

    __slots__ = (
        "_and",
        "_budget",
        "_free",
        "_high",
        "_kept",
        "_level",
        "_levels",
        "_low",
        "_nodes",
        "_of",
        "_supports",
        "order",
    )

    def __init__(self, order: Sequence[int], budget: int = MOST_STEPS) -> None:
        """ValueError if a variable stands in the order twice or is odd."""
        self.order = tuple(order)
        if len(set(self.order)) < len(self.order) or any(v & 1 for v in self.order):
            raise ValueError("variables are even numbers, each once in the order")
        self._budget = budget
        self._levels = {variable: level for level, variable in enumerate(self.order)}
        # Node 0 is FALSE, below every variable.  The low branch of a node is never negated.
        self._level: list[int] = [len(self.order)]
        self._low: list[int] = [FALSE]
        self._high: list[int] = [FALSE]
        self._nodes: dict[tuple[int, int, int], int] = {}
        self._free: list[int] = []
        self._kept = {FALSE}
        self._and: dict[tuple[int, int], int] = {}
        self._of: dict[int, dict[int, int]] = {}
        self._supports: dict[int, frozenset[int]] = {}

    def __len__(self) -> int:
        """How many nodes there are."""
        return len(self._nodes)

    @property
    def held(self) -> int:
        """How many nodes and results are held: some 250 bytes each."""
        return len(self._nodes) + len(self._and)

    def allow(self, budget: int) -> None:
        """Let so many more results be worked out, whatever is left."""
        self._budget = budget

    def forget(self) -> None:
        """Let go of results kept in case they are asked for again; diagrams stay."""
        self._and.clear()
        self._of.clear()
        self._supports.clear()

    def keep(self, diagrams: Iterable[int]) -> None:
        """Let go of everything else; any other diagram is not to be used any more.

        What was kept before stays: it need not be looked at again.
        """
        self.forget()
        kept = self._kept
        todo = [f & ~1 for f in diagrams]
        while todo:
            node = todo.pop()
            if node not in kept:
                kept.add(node)
                todo += (self._low[node >> 1], self._high[node >> 1] & ~1)
        for key in [key for key, node in self._nodes.items() if node not in kept]:
            self._free.append(self._nodes.pop(key))

    # ---- making ------------------------------------------------------------------------------

    def variable(self, variable: int) -> int:
        """The diagram of a variable; KeyError if it is not in the order."""
        return self._node(self._levels[variable], FALSE, TRUE)

    def product(self, literals: Iterable[int]) -> int:
        """The diagram of literals that are all true."""
        found = TRUE
        for level, sign in sorted(((self._levels[x & ~1], x & 1) for x in literals), reverse=True):
            if self._level[found >> 1] == level:  # named twice
                found = self.both(found, self._node(level, FALSE, TRUE) ^ sign)
            elif found != FALSE:
                found = self._node(level, found, FALSE) if sign else self._node(level, FALSE, found)
        return found

    def of(self, logic: Logic, literal: int, known: dict[int, int] | None = None) -> int:
        """The diagram of an expression; KeyError if it has a variable that is not in the order.

        `known` gives the diagrams of its variables where they are others (and of any gates, by
        even literals); what is worked out is put there.
        """
        if known is None:
            known = self._of.setdefault(id(logic), {})
            if literal & ~1 in known:
                return known[literal & ~1] ^ (literal & 1)
        known[FALSE] = FALSE
        for variable in logic.support(literal):
            if variable not in known:
                known[variable] = self.variable(variable)
        for gate in logic.gates([literal], known):
            a, b = logic.operands(gate)
            known[gate] = self.both(known[a & ~1] ^ (a & 1), known[b & ~1] ^ (b & 1))
        return known[literal & ~1] ^ (literal & 1)

    def both(self, f: int, g: int) -> int:
        """AND."""
        easy = _easy_both(f, g)
        if easy is not None:
            return easy
        known = self._and
        first = (f, g) if f < g else (g, f)
        found = known.get(first)
        return self._both(first) if found is None else found

    def _both(self, first: tuple[int, int]) -> int:
        """Most of all work is done here, hence without a call for anything easy."""
        known, nodes = self._and, self._nodes
        levels, lows, highs = self._level, self._low, self._high
        todo = [first]
        while todo:
            pair = todo[-1]
            if pair in known:
                todo.pop()
                continue
            f, g = pair
            f_node, g_node = f >> 1, g >> 1
            f_level, g_level = levels[f_node], levels[g_node]
            f_low = f_high = f
            g_low = g_high = g
            top = g_level
            if f_level <= g_level:
                top, sign = f_level, f & 1
                f_low, f_high = lows[f_node] ^ sign, highs[f_node] ^ sign
            if g_level <= f_level:
                sign = g & 1
                g_low, g_high = lows[g_node] ^ sign, highs[g_node] ^ sign
            f, g = (f_low, g_low) if f_low < g_low else (g_low, f_low)
            low: int | None
            high: int | None
            if f <= TRUE or f == g or f ^ 1 == g:
                low = FALSE if f == FALSE or f ^ 1 == g else g
            else:
                low = known.get((f, g))
                if low is None:
                    todo.append((f, g))
            f, g = (f_high, g_high) if f_high < g_high else (g_high, f_high)
            if f <= TRUE or f == g or f ^ 1 == g:
                high = FALSE if f == FALSE or f ^ 1 == g else g
            else:
                high = known.get((f, g))
                if high is None:
                    todo.append((f, g))
                    continue
            if low is None:
                continue
            if low == high:
                known[pair] = low
            else:
                sign = low & 1
                node = nodes.get((top, low ^ sign, high ^ sign))
                if node is None:
                    node = self._node(top, low, high)
                    known[pair] = node
                else:
                    known[pair] = node ^ sign
            todo.pop()
            self._budget -= 1
            if self._budget < 0:
                raise OutOfBudget
        return known[first]

    def either(self, f: int, g: int) -> int:
        """OR."""
        return self.both(f ^ 1, g ^ 1) ^ 1

    def choose(self, f: int, g: int, h: int) -> int:
        """`g` where `f` is true, `h` elsewhere."""
        return self.either(self.both(f, g), self.both(f ^ 1, h))

    def equal(self, f: int, g: int) -> int:
        """Where both are true or both false."""
        return self.choose(f, g, g ^ 1)

    def all_of(self, diagrams: Iterable[int]) -> int:
        """AND of any number, TRUE of none, those that reach least far up first."""
        found = TRUE
        for f in sorted(diagrams, key=lambda f: -self._level[f >> 1]):
            found = self.both(found, f)
        return found

    def any_of(self, diagrams: Iterable[int]) -> int:
        """OR of any number, FALSE of none."""
        return self.all_of(f ^ 1 for f in diagrams) ^ 1

    def implies(self, f: int, g: int) -> bool:
        return self.both(f, g ^ 1) == FALSE

    # ---- less of them ------------------------------------------------------------------------

    def given(self, f: int, values: Mapping[int, bool]) -> int:
        """`f` where these variables have these values."""
        if self.support(f).isdisjoint(values):
            return f
        fixed = {self._levels[variable]: value for variable, value in values.items()}
        last = max(fixed)
        known = {FALSE: FALSE}
        for node in self.nodes(f):  # the lowest first: what lies below is always known
            level = self._level[node >> 1]
            if level > last:
                known[node] = node
                continue
            low, high = self._low[node >> 1], self._high[node >> 1]
            low, high = known[low], known[high & ~1] ^ (high & 1)
            value = fixed.get(level)
            known[node] = self._node(level, low, high) if value is None else (low, high)[value]
            self._pay()
        return known[f & ~1] ^ (f & 1)

    def exists(self, f: int, variables: Iterable[int]) -> int:
        """Where `f` is true for some values of the variables."""
        return self.both_exists(f, TRUE, variables)

    def for_all(self, f: int, variables: Iterable[int]) -> int:
        """Where `f` is true for all values of the variables."""
        return self.both_exists(f ^ 1, TRUE, variables) ^ 1

    def both_exists(self, f: int, g: int, variables: Iterable[int]) -> int:
        """Where `f` and `g` are both true for some values of the variables."""
        gone = frozenset(self._levels[variable] for variable in variables)
        last = max(gone, default=-1)
        known: dict[tuple[int, int], int] = {}

        def step(pair: tuple[int, int]) -> int | list[tuple[int, int]]:
            f, g = pair
            top = min(self._level[f >> 1], self._level[g >> 1])
            if top > last or FALSE in pair or f ^ 1 == g:
                return self.both(f, g)
            (f_low, f_high), (g_low, g_high) = self._branches(f, top), self._branches(g, top)
            below = [_ordered(f_low, g_low), _ordered(f_high, g_high)]
            low = known.get(below[0])
            if low == TRUE and top in gone:
                return TRUE
            high = known.get(below[1])
            if low is None or high is None:
                return [pair for pair in below if pair not in known]
            return self.either(low, high) if top in gone else self._node(top, low, high)

        return self._worked_out(_ordered(f, g), known, step)

    def simplified(self, f: int, care: int) -> int:
        """A diagram, smaller where it can be, that is `f` wherever `care` is true."""
        known: dict[tuple[int, int], int] = {}

        def step(pair: tuple[int, int]) -> int | list[tuple[int, int]]:
            f, care = pair
            if f in (FALSE, TRUE) or care in (FALSE, TRUE):
                return FALSE if care == FALSE else f
            top = self._level[f >> 1]
            if self._level[care >> 1] < top:
                # What f does not depend on only widens where it matters.
                low, high = self._branches(care, self._level[care >> 1])
                below = [(f, self.either(low, high))]
            else:
                (f_low, f_high), (low, high) = self._branches(f, top), self._branches(care, top)
                cared = [(f_low, low), (f_high, high)]
                below = [pair for pair in cared if pair[1] != FALSE]
            missing = [pair for pair in below if pair not in known]
            if missing:
                return missing
            if len(below) == 1:
                return known[below[0]]
            return self._node(top, known[below[0]], known[below[1]])

        return self._worked_out((f, care), known, step)

    # ---- other variables ---------------------------------------------------------------------

    def renamed(self, f: int, names: Mapping[int, int]) -> int:
        """`f` with variables put in place of others, all at once."""
        return self.composed(f, {old: self.variable(new) for old, new in names.items()})

    def composed(self, f: int, diagrams: Mapping[int, int]) -> int:
        """`f` with diagrams put in place of variables, all at once."""
        support = self.support(f)
        instead = {self._levels[v]: diagrams[v] for v in support if v in diagrams}
        if not instead:
            return f
        last = max(instead, default=-1)
        known: dict[int, int] = {}

        def step(f: int) -> int | list[int]:
            level = self._level[f >> 1]
            if level > last:
                return f
            low, high = self._low[f >> 1], self._high[f >> 1]
            missing = [branch for branch in (low, high & ~1) if branch not in known]
            if missing:
                return missing
            low, high = known[low], known[high & ~1] ^ (high & 1)
            top = instead.get(level)
            if top is None:
                if level < min(self._level[low >> 1], self._level[high >> 1]):
                    return self._node(level, low, high)
                top = self._node(level, FALSE, TRUE)
            return self.choose(top, high, low)

        return self._worked_out(f & ~1, known, step) ^ (f & 1)

    # ---- looking -----------------------------------------------------------------------------

    def nodes(self, f: int) -> list[int]:
        """The diagrams of all its nodes but the constant, as even numbers, lowest first."""
        seen = {FALSE}
        todo = [f & ~1]
        while todo:
            node = todo.pop()
            if node not in seen:
                seen.add(node)
                todo += (self._low[node >> 1], self._high[node >> 1] & ~1)
        return sorted(seen - {FALSE}, key=lambda node: -self._level[node >> 1])

    def size(self, f: int) -> int:
        return len(self.nodes(f))

    def support(self, f: int) -> frozenset[int]:
        """The variables that make a difference to `f`."""
        known = self._supports.get(f & ~1)
        if known is None:
            found = {self._level[node >> 1] for node in self.nodes(f)}
            known = self._supports[f & ~1] = frozenset(self.order[level] for level in found)
        return known

    def count(self, f: int, variables: Iterable[int] | None = None) -> int:
        """How many settings of the variables (of all, unless said) make `f` true.

        ValueError if `f` depends on another.
        """
        counted = frozenset(self.order if variables is None else variables)
        if not self.support(f) <= counted:
            raise ValueError("the diagram depends on a variable that is not counted")
        below = [0]  # for each level, how many counted variables stand above it
        for variable in self.order:
            below.append(below[-1] + (variable in counted))
        total = below[-1]
        ways = {FALSE: 0}  # settings of the variables from a node's own level down

        def of(branch: int, above: int) -> int:
            level = self._level[branch >> 1]
            true = ways[branch & ~1]
            if branch & 1:
                true = (1 << total - below[level]) - true
            return true << below[level] - above

        for node in self.nodes(f):
            above = below[self._level[node >> 1]] + 1
            ways[node] = of(self._low[node >> 1], above) + of(self._high[node >> 1], above)
        return of(f, 0)

    def example(self, f: int, given: Mapping[int, bool] | None = None) -> dict[int, bool] | None:
        """Values that make `f` true, of those variables it takes; None if nothing does.

        With some `given`, these and such as agree with them; no diagram is made for that.
        """
        levels, lows, highs, order = self._level, self._low, self._high, self.order
        fixed = {} if given is None else given
        todo: list[tuple[int, _Path]] = [(f, None)]
        seen = {FALSE}
        while todo:
            f, path = todo.pop()
            if f == TRUE:
                return {**self._values(path), **fixed}
            if f not in seen:
                seen.add(f)
                node, sign = f >> 1, f & 1
                variable = order[levels[node]]
                value = fixed.get(variable)
                if value is not False:
                    todo.append((highs[node] ^ sign, (variable, True, path)))
                if value is not True:
                    todo.append((lows[node] ^ sign, (variable, False, path)))
        return None

    def _values(self, path: _Path) -> dict[int, bool]:
        values = {}
        while path is not None:
            variable, value, path = path
            values[variable] = value
        return values

    def value(self, f: int, values: Mapping[int, bool]) -> bool:
        """Whether these values make `f` true; variables without one are false."""
        while f > TRUE:
            level = self._level[f >> 1]
            f = self._branches(f, level)[values.get(self.order[level], False)]
        return f == TRUE

    def as_product(self, f: int) -> Product | None:
        """The literals of which it is the product, topmost first; None if it is no product."""
        literals = []
        while f != TRUE:
            level = self._level[f >> 1]
            low, high = self._branches(f, level) if f else (FALSE, FALSE)
            if FALSE not in (low, high) or low == high:
                return None
            literals.append(self.order[level] ^ (high == FALSE))
            f = low if high == FALSE else high
        return tuple(literals)

    def in_order(self, variables: Iterable[int]) -> list[int]:
        """The variables, topmost first."""
        return sorted(variables, key=self._levels.__getitem__)

    def shape(self, diagrams: Iterable[int], variables: Sequence[int]) -> Shape:
        """What diagrams are but for which variables they are over, given `in_order`.

        Others over as many variables have the same shape exactly if they are these with the one
        list of variables put for the other.
        """
        levels, lows, highs = self._level, self._low, self._high
        place = {self._levels[variable]: at for at, variable in enumerate(variables)}
        number = {FALSE: 0}
        shape = []
        for f in diagrams:
            shape.append(f & 1)
            todo = [f & ~1]
            while todo:
                node = todo.pop()
                known = number.get(node)
                if known is not None:
                    shape.append(known)
                    continue
                number[node] = len(number)
                high = highs[node >> 1]
                # Negative, so that no node met before is taken for it.
                shape.append(~(2 * place[levels[node >> 1]] + (high & 1)))
                todo += (lows[node >> 1], high & ~1)
        return tuple(shape)

    # ---- sums of products --------------------------------------------------------------------

    def sum_of_products(self, lower: int, upper: int, most: int) -> tuple[Product, ...]:
        """Products whose sum is true where `lower` is and nowhere that `upper` is not.

        Without any one of them it would not be so.  ValueError if `lower` does not imply
        `upper`; OutOfBudget for more than `most` products.
        """
        if not self.implies(lower, upper):
            raise ValueError("nothing lies between the bounds")
        known: dict[tuple[int, int], tuple[int, tuple[Product, ...]]] = {}

        def step(
            bounds: tuple[int, int],
        ) -> tuple[int, tuple[Product, ...]] | list[tuple[int, int]]:
            lower, upper = bounds
            if lower == FALSE:
                return FALSE, ()
            if upper == TRUE:
                return TRUE, ((),)
            top = min(self._level[lower >> 1], self._level[upper >> 1])
            (in_low, in_high), (up_low, up_high) = (self._branches(f, top) for f in bounds)
            # What cannot do without the variable, false or true.
            halves = [
                (self.both(in_low, up_high ^ 1), up_low),
                (self.both(in_high, up_low ^ 1), up_high),
            ]
            missing = [half for half in halves if half not in known]
            if missing:
                return missing
            (low, lows), (high, highs) = (known[half] for half in halves)
            left = self.either(self.both(in_low, low ^ 1), self.both(in_high, high ^ 1))
            rest = (left, self.both(up_low, up_high))
            if rest not in known:
                return [rest]
            shared, shareds = known[rest]
            if len(lows) + len(highs) + len(shareds) > most:
                raise OutOfBudget
            variable = self.order[top]
            products = (
                *((variable, *product) for product in highs),
                *((variable ^ 1, *product) for product in lows),
                *shareds,
            )
            covered = self._node(top, self.either(low, shared), self.either(high, shared))
            return covered, products

        return self._worked_out((lower, upper), known, step)[1]

    # ---- within ------------------------------------------------------------------------------

    def _node(self, level: int, low: int, high: int) -> int:
        if low == high:
            return low
        sign = low & 1
        key = (level, low ^ sign, high ^ sign)
        node = self._nodes.get(key)
        if node is None:
            if self._free:
                node = self._free.pop()
                at = node >> 1
                self._level[at], self._low[at], self._high[at] = key
            else:
                node = 2 * len(self._level)
                self._level.append(level)
                self._low.append(key[1])
                self._high.append(key[2])
            self._nodes[key] = node
            self._pay()
        return node ^ sign

    def _branches(self, f: int, level: int) -> tuple[int, int]:
        """`f` with the variable of a level (no lower than its own) false, and true."""
        node = f >> 1
        if self._level[node] != level:
            return f, f
        sign = f & 1
        return self._low[node] ^ sign, self._high[node] ^ sign

    def _worked_out(
        self,
        first: Question,
        known: dict[Question, Result],
        step: Callable[[Question], Result | list[Question]],
    ) -> Result:
        """The answer to a question, by steps that give it or the questions to be answered before.

        `known` holds the answers so far.
        """
        todo = [first]
        while todo:
            question = todo[-1]
            if question in known:
                todo.pop()
                continue
            found = step(question)
            if isinstance(found, list):
                todo += found
            else:
                known[question] = found
                self._pay()
        return known[first]

    def _pay(self) -> None:
        self._budget -= 1
        if self._budget < 0:
            raise OutOfBudget


def _easy_both(f: int, g: int) -> int | None:
    if f == g or g == TRUE:
        return f
    if f == FALSE or g == FALSE or f ^ 1 == g:
        return FALSE
    return g if f == TRUE else None


def _ordered(f: int, g: int) -> tuple[int, int]:
    return (f, g) if f < g else (g, f)


__all__ = ["MOST_STEPS", "Diagrams", "OutOfBudget", "Product", "Shape"]
