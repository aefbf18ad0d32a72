"""A word of a statement, with what it is and where it stands."""

from __future__ import annotations


class Token(str):
    """A piece of a statement's text.  It equals the plain text; `value` is that.

    `type` is the grammar's terminal; `line` and `column` count within the statement, from 1;
    `end_column` is the one behind its last character.
    """

    __slots__ = ("column", "end_column", "line", "type", "value")

    type: str
    value: str
    line: int
    column: int
    end_column: int

    def __new__(
        cls, type: str, value: str, line: int = 1, column: int = 1, end_column: int = 0
    ) -> Token:
        made = str.__new__(cls, value)
        made.type = type
        made.value = value
        made.line = line
        made.column = column
        made.end_column = end_column or column + len(value)
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Token, (self.type, self.value, self.line, self.column, self.end_column)

    def saying(self, value: str, type: str = "") -> Token:
        """Other words at the same place, of the same type unless another is said."""
        return Token(type or self.type, value, self.line, self.column, self.end_column)
