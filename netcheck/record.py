"""Frozen records: what a frozen dataclass with slots gives, at a tenth of its start-up cost.

A dataclass costs about 1.3 ms of every start, for it compiles half a dozen methods;
netcheck declares more than a hundred, and a review of a small panel takes about 0.3 s.
`tests/benchmarks/records.py` measures both.  Only `__init__` is compiled here.

A record has no bases of its own; annotations are its fields, in order.
"""

from __future__ import annotations

from typing import Any, NoReturn, TypeVar, dataclass_transform

Made = TypeVar("Made")
_set = object.__setattr__


class FrozenRecord(AttributeError):
    """A field of a record was to be changed."""


def _refuse(self: object, name: str, value: object = None) -> NoReturn:
    raise FrozenRecord(f"cannot change {name} of a {type(self).__name__}")


def _values(self: Any) -> tuple[object, ...]:
    return tuple([getattr(self, name) for name in self.__slots__])


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
    fields = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__slots__)
    return f"{type(self).__name__}({fields})"


def _reduce(self: object) -> tuple[object, ...]:
    return type(self), _values(self)


_METHODS = {
    "__eq__": _equal,
    "__hash__": _hash,
    "__lt__": _before,
    "__repr__": _shown,
    "__reduce__": _reduce,
    "__setattr__": _refuse,
    "__delattr__": _refuse,
}


@dataclass_transform(frozen_default=True)
def record(kind: type[Made]) -> type[Made]:
    """The class with its annotations as frozen fields; a value beside one is its default."""
    body = dict(kind.__dict__)
    names = tuple(
        name for name in body.get("__annotations__", {}) if not _is_class_variable(kind, name)
    )
    defaults = {name: body.pop(name) for name in names if name in body}
    for name in ("__dict__", "__weakref__"):
        body.pop(name, None)
    written = ", ".join(
        f"{name}=_defaults[{name!r}]" if name in defaults else name for name in names
    )
    lines = "; ".join(f"_set(self, {name!r}, {name})" for name in names) or "pass"
    made: dict[str, Any] = {}
    # The names are the class's own identifiers; nothing from outside is compiled.
    exec(f"def __init__(self, {written}): {lines}", {"_set": _set, "_defaults": defaults}, made)
    body.update(__slots__=names, __match_args__=names, __init__=made["__init__"])
    for name, method in _METHODS.items():
        body.setdefault(name, method)
    return type(kind.__name__, kind.__bases__, body)


def replace(made: Made, **changes: object) -> Made:
    """The record with some of its fields changed.  Raises TypeError for a name it lacks."""
    values = {name: getattr(made, name) for name in made.__slots__}  # type: ignore[attr-defined]
    return type(made)(**{**values, **changes})


def _is_class_variable(kind: type, name: str) -> bool:
    return str(kind.__annotations__[name]).startswith(("ClassVar", "typing.ClassVar"))
