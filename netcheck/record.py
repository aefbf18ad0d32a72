"""Records: what dataclasses with slots give, at a twentieth of their start-up cost.

A dataclass costs about 0.7 ms of every start, for it compiles half a dozen methods;
netcheck declares close to two hundred, and a review of a small panel should take 0.4 s.
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


def _values(self: Any) -> tuple[object, ...]:
    return tuple([getattr(self, name) for name in self.__match_args__])


def _equal(self: object, other: object) -> object:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return _values(self) == _values(other)


def _hash(self: object) -> int:
    return hash(_values(self))


def _before(self: object, other: object) -> object:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return _values(self) < _values(other)


def _shown(self: Any) -> str:
    fields = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__match_args__)
    return f"{type(self).__name__}({fields})"


def _reduce(self: object) -> tuple[object, ...]:
    return type(self), _values(self)


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
    if any(isinstance(default, _Fresh) for default in defaults.values()):
        return _compiled(names, defaults)
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
    return FunctionType(named, pattern.__globals__, "__init__", tuple(defaults.values()) or None)


@cache
def _pattern(count: int) -> FunctionType:
    names = tuple(f"_{number}" for number in range(count))
    made = _compiled(names, {})
    assert isinstance(made, FunctionType)
    return made


def _compiled(names: tuple[str, ...], defaults: dict[str, object]) -> Callable[..., None]:
    """`__init__` compiled; the names in it are the class's own identifiers."""
    values: dict[str, object] = {"_set": _set, "_default": defaults}
    taken, lines = [], []
    for name in names:
        default = defaults.get(name)
        taken.append(f"{name}=_default[{name!r}]" if name in defaults else name)
        lines.append(f"_set(self, {name!r}, {name})")
        if isinstance(default, _Fresh):
            values[f"_fresh_{name}"] = default.factory
            lines[-1] = (
                f"_set(self, {name!r}, _fresh_{name}() if {name} is _default[{name!r}] else {name})"
            )
    made: dict[str, Callable[..., None]] = {}
    exec(f"def __init__(self, {', '.join(taken)}): {'; '.join(lines) or 'pass'}", values, made)
    return made["__init__"]
