"""What a review says as JSON, and back, so that nothing in a file can be anything else.

A record is a list that begins with its name, a tuple one that begins with an empty word, a
mapping an object.  Only records that a review is made of are made again; no code is run.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import Any

from netcheck import finding
from netcheck.text import Span

MADE: Mapping[str, type] = {
    kind.__name__: kind
    for kind in (Span, *vars(finding).values())
    if isinstance(kind, type) and kind.__module__ in (Span.__module__, finding.__name__)
}


class CannotPack(TypeError):
    """A value that a review should not hold, and that JSON could not give back the same."""


def packed(value: Any) -> Any:
    """What `json.dumps` takes.  Raises CannotPack."""
    if isinstance(value, Enum):  # some are words as well
        return [_known(value), value.value]
    if value is None or isinstance(value, (bool, int, float, str)):
        return value
    if type(value) is tuple:
        return ["", *map(packed, value)]
    if isinstance(value, Mapping):
        if not all(isinstance(key, str) for key in value):
            raise CannotPack("a mapping by other things than words")
        return {key: packed(one) for key, one in value.items()}
    name = _known(value)
    return [name, *(packed(getattr(value, field)) for field in value.__match_args__)]


def _known(value: object) -> str:
    name = type(value).__name__
    if MADE.get(name) is not type(value):
        raise CannotPack(f"a {name}")
    return name


def unpacked(value: Any) -> Any:
    """The value that was packed.  Raises TypeError, ValueError, LookupError for anything else."""
    if isinstance(value, list):
        name, *fields = value
        made = map(unpacked, fields)
        return MADE[name](*made) if name else tuple(made)
    if isinstance(value, dict):
        return {key: unpacked(one) for key, one in value.items()}
    return value
