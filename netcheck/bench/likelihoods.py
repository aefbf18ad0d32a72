"""How often a fault of each sort is what is wrong with a circuit, against the others.

Source of every figure: common practice, no source.  Only the order and the rough proportion
count.  A table of the same form, `"ground fault" = 5` a line, changes what it names.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

LARGEST = 1000.0
COMMON_PRACTICE = "common practice, no source"


class Sort(StrEnum):
    """A sort of fault, by the words of the table."""

    PROTECTION = "blown fuse or tripped breaker"
    FIELD_WIRE = "field wire or terminal"
    SWITCH = "switch or sensor"
    SUPPLY = "missing or low supply"
    CONTACT = "contact that fails to close"
    JOINT = "high-resistance joint"
    GROUND = "ground fault"
    WELD = "welded contact or stuck relay"
    LOAD = "coil, lamp or other load"
    WIRE = "panel wire or terminal"
    SHORT = "shorted load"
    SWAPPED = "swapped wires"
    OTHER = "other"


Likelihoods = Mapping[Sort, float]

USUAL: Likelihoods = {
    Sort.PROTECTION: 6,
    Sort.FIELD_WIRE: 5,  # moisture, movement, splices
    Sort.SWITCH: 4,  # what hands or the process move
    Sort.SUPPLY: 3,
    Sort.CONTACT: 3,
    Sort.JOINT: 3,
    Sort.GROUND: 3,
    Sort.WELD: 2,
    Sort.LOAD: 2,
    Sort.WIRE: 2,
    Sort.SHORT: 1,
    Sort.SWAPPED: 1,  # likelier after work on the panel
    Sort.OTHER: 1,
}


class NoTable(Exception):
    """A text that is no table of likelihoods, and why."""


def likelihoods_in(text: str) -> dict[Sort, float]:
    """What a table says, each a number of more than nought and at most a thousand.

    Raises NoTable.
    """
    import tomllib

    try:
        said = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise NoTable(f"this is no TOML: {error}") from None
    found: dict[Sort, float] = {}
    for name, value in said.items():
        if name not in {str(sort) for sort in Sort}:
            listed = ", ".join(f'"{sort}"' for sort in Sort)
            raise NoTable(f'"{name}" is no sort of fault; there are {listed}')
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise NoTable(f'"{name}" is no number')
        if not 0 < value <= LARGEST:
            raise NoTable(f'"{name}" is not above 0 and at most {LARGEST:g}')
        found[Sort(name)] = float(value)
    return found
