"""The plainest algebra of conditions there is: one bit for each assignment of the variables."""

from __future__ import annotations


class TruthTables:
    """Conditions over a few variables, equal if and only if their numbers are equal.

    0 is false, 1 is true, 2, 3, ... are the variables and what is made of them.
    """

    def __init__(self, variable_count: int) -> None:
        self.assignment_count = 1 << variable_count
        full = (1 << self.assignment_count) - 1
        self._tables = [0, full]
        self._numbers = {0: 0, full: 1}
        self.variables = [self._number(self._column(i)) for i in range(variable_count)]
        self.operations = 0

    def both(self, a: int, b: int, /) -> int:
        self.operations += 1
        return self._number(self._tables[a] & self._tables[b])

    def either(self, a: int, b: int, /) -> int:
        self.operations += 1
        return self._number(self._tables[a] | self._tables[b])

    def negate(self, a: int) -> int:
        return self._number(self._tables[1] ^ self._tables[a])

    def holds(self, condition: int, assignment: int) -> bool:
        """`assignment` is read in binary, variable 0 its lowest digit."""
        return bool(self._tables[condition] >> assignment & 1)

    def from_cases(self, holding: list[bool]) -> int:
        """The condition that holds in just those assignments that are True in the list."""
        return self._number(sum(1 << i for i, holds in enumerate(holding) if holds))

    def _column(self, variable: int) -> int:
        return sum(1 << i for i in range(self.assignment_count) if i >> variable & 1)

    def _number(self, table: int) -> int:
        number = self._numbers.get(table)
        if number is None:
            number = self._numbers[table] = len(self._tables)
            self._tables.append(table)
        return number


class Gates:
    """Counts the gates that a walk makes: "and" and "or" of two conditions, each made once."""

    def __init__(self, first_free: int) -> None:
        self._next = first_free
        self._made: dict[tuple[str, int, int], int] = {}

    @property
    def count(self) -> int:
        return len(self._made)

    def both(self, a: int, b: int, /) -> int:
        if a == 0 or b == 0:
            return 0
        if a == 1 or b == 1 or a == b:
            return max(a, b)
        return self._gate("both", a, b)

    def either(self, a: int, b: int, /) -> int:
        if a == 1 or b == 1:
            return 1
        if a == 0 or b == 0 or a == b:
            return max(a, b)
        return self._gate("either", a, b)

    def _gate(self, kind: str, a: int, b: int) -> int:
        key = (kind, min(a, b), max(a, b))
        if key not in self._made:
            self._made[key] = self._next
            self._next += 1
        return self._made[key]
