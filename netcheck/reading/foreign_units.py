"""What pint knows of a unit that the language lacks.  Loads pint: for error messages only."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from netcheck.reading.make_units import BASE_UNITS, PINT_SPELLINGS, SPELLINGS
from netcheck.record import record

if TYPE_CHECKING:
    import pint

SAME_DIMENSION = {
    **{name: unit for name, unit in BASE_UNITS.items() if name != "apparent power"},
    "area": "m**2",
    "energy": "J",
    "charge": "C",
    "mass": "kg",
    "force": "N",
    "pressure": "Pa",
    "speed": "m/s",
    "volume": "m**3",
    "rate of flow": "m**3/s",
    "amount of light": "lm",
    "illumination": "lx",
    "magnetic flux density": "T",
    "conductance": "S",
}
"""Dimensions by a pint unit that has them, the commoner meaning of two alike last."""


@record
class ForeignUnit:
    """A unit of pint's: its dimension in words, and our spelling where it is one of ours."""

    dimension: str
    ours: str = ""


@lru_cache(maxsize=256)
def foreign_unit(unit: str) -> ForeignUnit | None:
    """What pint takes `unit` for, or None where it does not know it or is not installed."""
    try:
        registry = _registry()
        name = registry.get_name(unit)
        dimensionality = registry.get_dimensionality(name) if name else None
    except Exception:  # pint's parser raises many kinds on odd text; all mean "not known"
        return None
    if dimensionality is None:
        return None
    return ForeignUnit(_dimension_words(name, dimensionality), _our_names().get(name, ""))


@cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()


@cache
def _our_names() -> dict[str, str]:
    """pint's name of each of our units that is a single word to pint."""
    registry = _registry()
    names = {}
    for spelling in (s for spellings in SPELLINGS.values() for s in spellings):
        pint_spelling = PINT_SPELLINGS.get(spelling, spelling)
        if pint_spelling.isalpha():
            names[registry.get_name(pint_spelling)] = spelling
    return names


def _dimension_words(name: str, dimensionality: Any) -> str:
    if dimensionality == {"[time]": -1} and not name.endswith("hertz"):
        return "rate"
    registry = _registry()
    found = "unit"
    for words, unit in SAME_DIMENSION.items():
        if registry.parse_units(unit).dimensionality == dimensionality:
            found = words
    return found
