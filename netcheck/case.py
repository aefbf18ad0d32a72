"""What a rule may look at: the panel, and the shared conclusions it declares.

A fact is worked out when it is first asked for, and once.  A rule or fact that asks
for one it did not declare is refused, so that each file's needs stand at its top.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol, TypeVar

from netcheck.model.panel import Panel

Conclusion = TypeVar("Conclusion")


class View(Protocol):
    """The panel, and facts by their class."""

    @property
    def panel(self) -> Panel: ...

    def __getitem__(self, fact: type[Conclusion]) -> Conclusion: ...


class UndeclaredFact(Exception):
    """A fact was asked for by something that does not declare it."""


class Case:
    """One panel under review, with the facts worked out so far."""

    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self._facts: dict[type, object] = {}
        self._in_work: list[type] = []

    def view(self, requires: tuple[type, ...]) -> View:
        """This case, narrowed to the facts in `requires`."""
        return _Narrowed(self, requires)

    def conclude(self, fact: type[Conclusion]) -> Conclusion:
        """The fact, worked out from those it requires; refuses facts that need each other."""
        if fact not in self._facts:
            if fact in self._in_work:
                circle = " needs ".join(kind.__name__ for kind in [*self._in_work, fact])
                raise UndeclaredFact(f"facts go in a circle: {circle}")
            self._in_work.append(fact)
            requires, build = _declarations[fact]
            try:
                self._facts[fact] = build(self.view(requires))
            finally:
                self._in_work.pop()
        return self._facts[fact]  # type: ignore[return-value]


class _Narrowed:
    def __init__(self, case: Case, requires: tuple[type, ...]) -> None:
        self._case = case
        self._requires = requires

    @property
    def panel(self) -> Panel:
        return self._case.panel

    def __getitem__(self, fact: type[Conclusion]) -> Conclusion:
        if fact not in self._requires:
            raise UndeclaredFact(f"{fact.__name__} is used but not declared")
        return self._case.conclude(fact)


_declarations: dict[type, tuple[tuple[type, ...], Callable[[View], Any]]] = {}


def concludes(
    *requires: type,
) -> Callable[[Callable[[View], Conclusion]], Callable[[View], Conclusion]]:
    """Declares a function that works out the fact named by its return annotation.

    `requires` are the facts it reads.  The annotation must be a class.
    """

    def declare(build: Callable[[View], Conclusion]) -> Callable[[View], Conclusion]:
        fact = build.__annotations__["return"]
        if isinstance(fact, str):
            fact = build.__globals__[fact]
        _declarations[fact] = (requires, build)
        return build

    return declare
