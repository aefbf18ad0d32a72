"""A value of a device, a wire or a panel in words, for the line that says what it was."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.figure import figure
from netcheck.reading.conductor_size import ConductorSize

UNITS = {
    "_m": "m", "_c": "degC", "_v": "V", "_a": "A", "_w": "W", "_va": "VA", "_s": "s",
    "_ohm": "ohm", "_hz": "Hz", "_mm2": "mm2", "_f_per_km": "F/km",
}  # fmt: skip
"""By the ending of a name."""

WHOLE_UNITS = {"power": "W", "va": "VA", "current": "A", "rating": "V"}
"""Of phrases whose key is a word of the trade."""

SHARES = frozenset(("drop_limit",))


def told(name: str, value: object) -> str:
    """`length 2 m`, `no colour`, `drop limit 3 %`."""
    words, unit = _parted(name)
    if value is None:
        return f"no {words}"
    if isinstance(value, ConductorSize):
        return value.text
    if isinstance(value, bool):
        return words if value else f"not {words}"
    if isinstance(value, (int, float)):
        return f"{words} {figure(100 * value, '%') if name in SHARES else figure(value, unit)}"
    return f"{words} {value}"


def _parted(name: str) -> tuple[str, str]:
    """A name's words, and the unit that it ends in or stands for."""
    ending = max((one for one in UNITS if name.endswith(one)), key=len, default="")
    words = name.removesuffix(ending).replace("_", " ")
    return words, UNITS[ending] if ending else WHOLE_UNITS.get(name, "")


def fields_apart(before: object, after: object) -> Iterator[tuple[str, str]]:
    """Fields of two records that are not equal, in words; where they are written is left out."""
    for name in before.__match_args__:  # type: ignore[attr-defined]
        old, new = getattr(before, name), getattr(after, name)
        if old == new or name in ("span", "unread"):
            continue
        if hasattr(old, "__match_args__") and type(old) is type(new) and name == "properties":
            yield from fields_apart(old, new)
        else:
            yield told(name, old), told(name, new)


def in_a_row(apart: list[tuple[str, str]]) -> tuple[str, str]:
    """What was and what is, each in one line."""
    before, after = (", ".join(words) for words in zip(*apart, strict=True))
    return before, after
