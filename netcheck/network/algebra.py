"""What the network needs of conditions: that they can be joined by "and" and "or"."""

from __future__ import annotations

from typing import Final, Protocol

FALSE: Final = 0
TRUE: Final = 1


class Algebra(Protocol):
    """Makes conditions, each known by an int, of which 0 is never true and 1 always.

    The network only passes these numbers on. So the same walk makes gates for a
    proof, decision diagrams for a printed condition, or truth tables for a test.
    """

    def both(self, a: int, b: int, /) -> int:
        """The condition that a and b hold."""
        ...

    def either(self, a: int, b: int, /) -> int:
        """The condition that a or b holds."""
        ...
