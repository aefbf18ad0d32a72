"""Logic expressions, each written once: a graph of two-input AND gates and inverters.

A literal is a whole number.  Even numbers are a gate or variable, the odd number
above each is its negation; 0 is FALSE and 1 is TRUE.  Equal expressions built
twice give the same literal as far as local simplification sees it.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping

FALSE = 0
TRUE = 1

_VARIABLE = -1
_FEW_GATES = 64
"""Of an expression with no more, which gates it is built from is remembered: most have some seven,
and three questions of four are about one met before."""


def negate(literal: int) -> int:
    """NOT."""
    return literal ^ 1


class Logic:
    """A store of expressions.  Every literal belongs to the store that made it."""

    __slots__ = ("_built_from", "_gates", "_left", "_names", "_right", "_support", "_variables")

    def __init__(self) -> None:
        # Node n has the literals 2n and 2n+1; an operand's node is always below its gate's.
        self._left: list[int] = [_VARIABLE]
        self._right: list[int] = [_VARIABLE]
        self._gates: dict[tuple[int, int], int] = {}
        self._variables: dict[str, int] = {}
        self._names: dict[int, str] = {}
        self._support: dict[int, frozenset[int]] = {0: frozenset()}
        self._built_from: dict[int, list[int]] = {}

    def __len__(self) -> int:
        """How many gates and variables there are."""
        return len(self._left) - 1

    def variable(self, name: str) -> int:
        """The variable of this name, made at its first mention."""
        literal = self._variables.get(name)
        if literal is None:
            literal = self._add(_VARIABLE, _VARIABLE)
            self._variables[name] = literal
            self._names[literal] = name
        return literal

    def name_of(self, variable: int) -> str:
        """The name of a variable literal, negated or not; KeyError for anything else."""
        return self._names[variable & ~1]

    def is_variable(self, literal: int) -> bool:
        return literal & ~1 in self._names

    def negate(self, literal: int) -> int:
        """NOT."""
        return literal ^ 1

    def both(self, a: int, b: int) -> int:
        """AND."""
        if a > b:
            a, b = b, a
        if a == FALSE or a ^ 1 == b:
            return FALSE
        if a in (TRUE, b):
            return b
        gate = self._gates.get((a, b))
        if gate is not None:
            return gate
        for literal, other in ((b, a), (a, b)):
            simpler = self._absorbed(literal, other)
            if simpler is not None:
                return simpler
        self._gates[a, b] = gate = self._add(a, b)
        return gate

    def either(self, a: int, b: int) -> int:
        """OR."""
        return self.both(a ^ 1, b ^ 1) ^ 1

    def choose(self, condition: int, then: int, otherwise: int) -> int:
        """`then` where the condition holds, `otherwise` where it does not."""
        if then == otherwise:
            return then
        return self.either(self.both(condition, then), self.both(condition ^ 1, otherwise))

    def all_of(self, literals: Iterable[int]) -> int:
        """AND of any number; TRUE of none."""
        todo = sorted(set(literals))
        while len(todo) > 1:  # in pairs, so that the graph stays shallow
            paired = [self.both(a, b) for a, b in zip(todo[::2], todo[1::2], strict=False)]
            if len(todo) % 2:
                paired.append(todo[-1])
            todo = paired
        return todo[0] if todo else TRUE

    def any_of(self, literals: Iterable[int]) -> int:
        """OR of any number; FALSE of none."""
        return self.all_of([literal ^ 1 for literal in literals]) ^ 1

    def operands(self, gate: int) -> tuple[int, int]:
        """The two literals a gate (an even literal that is no variable) joins by AND."""
        return self._left[gate >> 1], self._right[gate >> 1]

    def members(self, literal: int) -> list[int]:
        """The operands of an AND, and of ANDs among them, in order; of anything else, itself."""
        found: dict[int, None] = {}
        seen: set[int] = set()
        todo = [literal]
        while todo:
            here = todo.pop()
            if here in seen:
                continue
            seen.add(here)
            if here & 1 or here == FALSE or here in self._names:
                found[here] = None
            else:
                todo += reversed(self.operands(here))
        return list(found)

    def any_way(self, literals: Iterable[int]) -> int:
        """As `any_of`, without those that are another one and more: of the way by the service
        alone, and the same way while two of its lines are joined too, the first is left."""
        ways = list(dict.fromkeys(literals))
        if len(ways) < 2:
            return ways[0] if ways else FALSE
        sets = {way: frozenset(self.members(way)) for way in ways}
        return self.any_of(
            [way for way in ways if not any(sets[way] > other for other in sets.values())]
        )

    def gates(self, literals: Iterable[int], known: Container[int] = ()) -> list[int]:
        """The gates the literals are built from, as even literals, operands before their gate.

        What is `known` already (even literals) is left out, with all below it.
        """
        seen: set[int] = set()
        todo = [literal >> 1 for literal in literals]
        left, right = self._left, self._right
        while todo:
            node = todo.pop()
            if node in seen or left[node] == _VARIABLE or 2 * node in known:
                continue
            seen.add(node)
            todo.append(left[node] >> 1)
            todo.append(right[node] >> 1)
        return [2 * node for node in sorted(seen)]

    def _gates_of(self, literal: int) -> list[int]:
        """As `gates`, of one literal."""
        known = self._built_from.get(literal >> 1)
        if known is None:
            known = self.gates([literal])
            if len(known) <= _FEW_GATES:
                self._built_from[literal >> 1] = known
        return known

    def support(self, literal: int) -> frozenset[int]:
        """The variables (even literals) the expression is written with."""
        root = literal >> 1
        known = self._support.get(root)
        if known is not None:
            return known
        found: set[int] = set()
        seen: set[int] = set()
        todo = [root]
        while todo:
            node = todo.pop()
            if node in seen:
                continue
            seen.add(node)
            known = self._support.get(node)
            if known is not None:
                found |= known
            elif self._left[node] == _VARIABLE:
                found.add(2 * node)
            else:
                todo.append(self._left[node] >> 1)
                todo.append(self._right[node] >> 1)
        self._support[root] = result = frozenset(found)
        return result

    def evaluate(self, literal: int, assignment: Mapping[int, bool]) -> bool:
        """The value where each variable (even literal) has the given one; KeyError if one lacks."""
        if literal <= TRUE:
            return literal == TRUE
        if self._left[literal >> 1] == _VARIABLE:
            return assignment[literal & ~1] ^ bool(literal & 1)
        values: dict[int, bool] = {FALSE: False}
        for variable in self.support(literal):
            values[variable] = assignment[variable]
        for gate in self._gates_of(literal):
            a, b = self.operands(gate)
            values[gate] = (values[a & ~1] ^ bool(a & 1)) and (values[b & ~1] ^ bool(b & 1))
        return values[literal & ~1] ^ bool(literal & 1)

    def substitute(self, literal: int, mapping: Mapping[int, int]) -> int:
        """The expression with variables (even literals) replaced, all at once, by literals."""
        support = self.support(literal)
        if support.isdisjoint(mapping):
            return literal
        image = {variable: mapping.get(variable, variable) for variable in support}
        left, right = self._left, self._right
        for gate in self._gates_of(literal):
            a, b = left[gate >> 1], right[gate >> 1]
            new_a, new_b = image[a & ~1] ^ (a & 1), image[b & ~1] ^ (b & 1)
            # Most of an expression stays as it is: no need to ask for a gate that is at hand.
            image[gate] = gate if new_a == a and new_b == b else self.both(new_a, new_b)
        return image[literal & ~1] ^ (literal & 1)

    def polarities(self, literal: int) -> dict[int, frozenset[bool]]:
        """For each variable, whether it is met plain (True), negated (False), or both.

        A variable met only plain can only help the expression to be true.
        """
        marks: dict[int, set[bool]] = {literal & ~1: {not literal & 1}}
        for gate in reversed(self._gates_of(literal)):
            for operand in self.operands(gate):
                signs = {sign ^ bool(operand & 1) for sign in marks[gate]}
                marks.setdefault(operand & ~1, set()).update(signs)
        return {node: frozenset(signs) for node, signs in marks.items() if node in self._names}

    def _add(self, left: int, right: int) -> int:
        self._left.append(left)
        self._right.append(right)
        return 2 * (len(self._left) - 1)

    def _absorbed(self, literal: int, other: int) -> int | None:
        """`literal` AND `other` where one look inside `literal` tells, else None."""
        node = literal >> 1
        inner = (self._left[node], self._right[node])
        if inner[0] == _VARIABLE:
            return None
        if not literal & 1:
            if other in inner:
                return literal
            return FALSE if other ^ 1 in inner else None
        if other ^ 1 in inner:
            return other
        if other in inner:
            rest = inner[1] if other == inner[0] else inner[0]
            return self.both(other, rest ^ 1)
        return None
