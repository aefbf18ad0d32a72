"""Records: what dataclasses with slots give, at a twentieth of their start-up cost.

A dataclass costs about 0.7 ms of every start, for it compiles half a dozen methods;
netcheck declares some three hundred, and a review of a small panel should take 0.4 s.  A named
tuple with annotations costs 0.2 ms, for each annotation is compiled.
`tests/benchmarks/records.py` measures both.  Here only a pattern of `__init__` is compiled.

Annotations are a record's fields, in order; it has no bases of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, cached_property
from types import FunctionType
from typing import Any, NoReturn, TypeVar, dataclass_transform

Made = TypeVar("Made")
Value = TypeVar("Value")
_set = object.__setattr__


class FrozenRecord(AttributeError):
    """A field of a record was to be changed."""


class _Fresh:
    def __init__(self, factory: Callable[[], object]) -> None:
        self.factory = factory


def fresh(*, factory: Callable[[], Value]) -> Value:
    """A default that is made anew for each record: `fresh(factory=list)`."""
    return _Fresh(factory)  # type: ignore[return-value]


def _refuse(self: object, name: str, value: object = None) -> NoReturn:
    raise FrozenRecord(f"cannot change {name} of a {type(self).__name__}")


def values_of(self: Any) -> tuple[Any, ...]:
    """A record's values, in the order of its fields."""
    return tuple([getattr(self, name) for name in self.__match_args__])


def _equal(self: object, other: object) -> object:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return values_of(self) == values_of(other)


def _hash(self: object) -> int:
    return hash(values_of(self))


def _before(self: object, other: object) -> object:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return values_of(self) < values_of(other)


def _shown(self: Any) -> str:
    fields = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__match_args__)
    return f"{type(self).__name__}({fields})"


def _reduce(self: object) -> tuple[object, ...]:
    return type(self), values_of(self)


_OF_ALL = {"__repr__": _shown, "__reduce__": _reduce, "__eq__": _equal}
_OF_FROZEN = {
    **_OF_ALL,
    "__hash__": _hash,
    "__lt__": _before,
    "__setattr__": _refuse,
    "__delattr__": _refuse,
}
_OF_DRAFTS = {**_OF_ALL, "__hash__": None}


@dataclass_transform(frozen_default=True, field_specifiers=(fresh,))
def record(kind: type[Made]) -> type[Made]:
    """The class with its annotations as frozen fields; a value beside one is its default."""
    return _made(kind, _OF_FROZEN)


@dataclass_transform(field_specifiers=(fresh,))
def draft(kind: type[Made]) -> type[Made]:
    """As `record`, but its fields can be set: something in the making."""
    return _made(kind, _OF_DRAFTS)


def replace(made: Made, **changes: object) -> Made:
    """The record with some of its fields changed.  Raises TypeError for a name it lacks."""
    fields = made.__match_args__  # type: ignore[attr-defined]
    values = {name: getattr(made, name) for name in fields}
    return type(made)(**{**values, **changes})


def _made(kind: type[Made], methods: dict[str, Any]) -> type[Made]:
    body = dict(kind.__dict__)
    written = body.get("__annotations__", {})
    names = tuple(name for name in written if not str(written[name]).startswith("ClassVar"))
    defaults = {name: body.pop(name) for name in names if name in body}
    for name in ("__dict__", "__weakref__"):
        body.pop(name, None)
    # What is worked out once and kept needs a place to be kept in.
    kept = any(isinstance(value, cached_property) for value in body.values())
    body.update(
        __slots__=(*names, "__dict__") if kept else names,
        __match_args__=names,
        __init__=_initialiser(names, defaults),
    )
    for name, method in methods.items():
        body.setdefault(name, method)
    return type(kind.__name__, kind.__bases__, body)


def _initialiser(names: tuple[str, ...], defaults: dict[str, object]) -> Callable[..., None]:
    """The `__init__` that sets the fields, in their order."""
    if list(names)[len(names) - len(defaults) :] != list(defaults):
        raise TypeError("a field without a default stands behind one that has one")
    pattern = _pattern(len(names))
    field = {f"_{number}": name for number, name in enumerate(names)}
    code = pattern.__code__
    # Compiled once for each number of fields, and then only given the fields' names: a fifth
    # of the cost of compiling it for each record.
    named = code.replace(
        co_varnames=("self", *names),
        co_consts=tuple(field.get(value, value) for value in code.co_consts),
    )
    values = tuple(defaults.values()) or None
    initialise = FunctionType(named, pattern.__globals__, "__init__", values)
    factories = {n: value for n, value in defaults.items() if isinstance(value, _Fresh)}
    return _made_anew(initialise, factories) if factories else initialise


def _made_anew(
    initialise: Callable[..., None], factories: dict[str, _Fresh]
) -> Callable[..., None]:
    """As `initialise`, and then defaults that are made anew are made."""

    def initialise_anew(self: Any, *values: object, **named: object) -> None:
        initialise(self, *values, **named)
        for name, fresh_value in factories.items():
            if getattr(self, name) is fresh_value:
                _set(self, name, fresh_value.factory())

    return initialise_anew


@cache
def _pattern(count: int) -> FunctionType:
    """The `__init__` of a record of so many fields that have no names yet."""
    names = tuple(f"_{number}" for number in range(count))
    body = "; ".join(f"_set(self, {name!r}, {name})" for name in names) or "pass"
    made: dict[str, FunctionType] = {}
    exec(f"def __init__(self, {', '.join(names)}): {body}", {"_set": _set}, made)
    return made["__init__"]
