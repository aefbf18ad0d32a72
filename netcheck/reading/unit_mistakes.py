"""What is wrong with a quantity, in a sentence, and what to write in its place."""

from __future__ import annotations

import re
from functools import lru_cache

from netcheck.reading.units import SIZE_UNITS, UNIT_TABLE, UNITS

LONGEST_TEXT = 60
MOST_DIGITS = 15
"""What a float holds exactly; no quantity of the trade is written longer."""

LONGEST_UNIT = 20


class UnitMistake(Exception):
    """A quantity that cannot be read: what is wrong, and what would fit."""

    def __init__(self, message: str, help: str = "", *, tells: bool = True) -> None:
        super().__init__(message)
        self.message = message
        self.help = help
        self.tells = tells
        """Whether it knows more of the unit than that it is none."""


SLIPS = {
    "C": "degC",
    "MCM": "kcmil",
    "Nm": "N m",
    "N-m": "N m",
    "N.m": "N m",
    "amp": "A",
    "amps": "A",
    "ft-lb": "lb-ft",
    "ga": "AWG",
    "gauge": "AWG",
    "in-lb": "lb-in",
    "lb in": "lb-in",
    "lb ft": "lb-ft",
    "mcm": "kcmil",
    "mm^2": "mm2",
    "mm\u00b2": "mm2",
    "pct": "%",
    "sq mm": "mm2",
    "sqmm": "mm2",
    '"': "in",
    "'": "ft",
}
"""Spellings of the trade that the language has another for, where pint cannot tell."""

_KIND_OF_VOLTAGE = r"(?i)(.*?)(ac|dc)"
_STUCK = r"([0-9][0-9./]*(?:Y/[0-9.]+)?)([^0-9\s./].*)"


def units_of(dimension: str) -> tuple[str, ...]:
    """The units to propose for a dimension, the usual one first."""
    if dimension in ("conductor size", "area"):
        return SIZE_UNITS
    if dimension == "system voltage":
        return ("V", "kV")
    return tuple(spelling for spelling, unit in UNIT_TABLE.items() if unit.dimension == dimension)


def explain_missing_blank(text: str) -> str | None:
    """What to write for a number stuck to its unit (`24V`, `24VDC`), or None for anything else."""
    stuck = re.fullmatch(_STUCK, text) if len(text) <= LONGEST_TEXT else None
    if stuck is None:
        return None
    unit = _spelling(stuck[2])
    return f"write `{stuck[1]} {unit}` with a blank" if unit else None


def no_quantity(text: str) -> UnitMistake:
    hint = explain_missing_blank(text)
    if hint:
        return UnitMistake(f"`{text}` has no blank between number and unit", hint)
    return UnitMistake(
        f"`{_short(text)}` is no quantity", "write a number, a blank and a unit: `24 V`"
    )


def refuse_too_many_digits(number: str, unit: str) -> None:
    if len(number) > MOST_DIGITS and MOST_DIGITS < sum(character.isdigit() for character in number):
        raise UnitMistake(
            f"`{number} {unit}` has more than {MOST_DIGITS} digits",
            "write no more digits than are known",
        )


def bad_number(number: str, unit: str) -> UnitMistake:
    """For a number that is neither `24`, `0.5`, `1/2` nor `1 1/2`."""
    return UnitMistake(
        f"`{number}` in `{number} {unit}` is not a number", _number_help(number, unit)
    )


def _number_help(number: str, unit: str) -> str:
    if re.fullmatch(r"[0-9]+-[0-9]+/[0-9]+", number):
        return f"write `{number.replace('-', ' ', 1)} {unit}`"
    if re.fullmatch(r"[0-9]+/0+", number):
        return "nothing can be divided by zero"
    if re.fullmatch(r"[0-9]+[ \t]+[0-9]+/[0-9]+", number):
        return "the fraction after a whole number is less than one: `1 1/2`"
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?", number):
        return f"write `{number.replace(',', '')} {unit}`, without a comma"
    if re.fullmatch(r"[0-9]+,[0-9]+", number):
        return f"write `{number.replace(',', '.')} {unit}`, with a point"
    if re.fullmatch(r"\.[0-9]+", number):
        return f"write `0{number} {unit}`"
    if re.fullmatch(r"[0-9.]+[eE][-+]?[0-9]+", number):
        return "write all the digits, or a larger or smaller unit, in place of the exponent"
    if number.startswith("+"):
        return f"write `{number[1:]} {unit}`"
    return "numbers are written `24`, `0.5`, `1/2` or `1 1/2`"


def below_zero(number: str, unit: str) -> UnitMistake:
    return UnitMistake(f"`{number} {unit}` is below zero", f"write `{number[1:]} {unit}`")


def below_absolute_zero(number: str, unit: str) -> UnitMistake:
    return UnitMistake(
        f"`{number} {unit}` is colder than absolute zero",
        "nothing is below -273.15 degC (-459.67 degF)",
    )


def fraction_of_a_volt(number: str, unit: str) -> UnitMistake:
    return UnitMistake(
        f"`{number} {unit}` is too low for the two voltages of a system",
        "two voltages with a slash are a system's, `120/240 V`; "
        "a part of a volt is written `0.5 V`",
    )


def no_system_voltage(number: str, unit: str) -> UnitMistake:
    return UnitMistake(
        f"`{number} {unit}` are not the two voltages of one system",
        "voltage to neutral comes first and line to line is twice it, `120/240 V`, "
        "or 1.732 times it, `120/208 V`; with Y line to line comes first, `208Y/120 V`",
    )


def wrong_dimension(text: str, met: str, wanted: str) -> UnitMistake:
    return UnitMistake(
        f"`{text}` is {with_article(met)}; {with_article(wanted)} is wanted here",
        f"write it in {_either(units_of(wanted))}",
    )


def unknown_unit(number: str, unit: str) -> UnitMistake:
    """For a unit the language lacks: our spelling, a near name, or what pint takes it for."""
    shown = _short(unit)
    spelling = _spelling(unit)
    if spelling:
        return UnitMistake(
            f"`{shown}` is not how the unit is written here", f"write `{number} {spelling}`"
        )
    near = _caseless(unit)
    if near:
        return UnitMistake(f"`{shown}` is not a unit here", f"did you mean {_either(near)}?")
    return _beyond_spelling(number, unit)


def _other_spelling(number: str, shown: str, ours: str) -> UnitMistake:
    return UnitMistake(f"`{shown}` is not how the unit is written here", f"write `{number} {ours}`")


def _beyond_spelling(number: str, unit: str) -> UnitMistake:
    from netcheck.reading.foreign_units import foreign_unit

    shown = _short(unit)
    near = _near(unit)
    short = len(unit) <= LONGEST_UNIT
    foreign = (foreign_unit(unit) or foreign_unit(unit.lower())) if short else None
    if foreign is None:
        suggestion = (
            f"did you mean {_either(near)}?" if near else "see `explain language` for the units"
        )
        return UnitMistake(f"`{shown}` is not a unit", suggestion, tells=bool(near))
    if foreign.ours:
        return _other_spelling(number, shown, foreign.ours)
    kind = with_article(foreign.dimension)
    units = units_of(foreign.dimension)
    if units:
        return UnitMistake(f"`{shown}` is {kind}", f"write it in {_either(units)}")
    suggestion = f"did you mean {_either(near)}?" if near else "leave it to a comment"
    return UnitMistake(f"`{shown}` is {kind}, which is not described here", suggestion)


def _spelling(unit: str) -> str | None:
    """Our spelling of a unit, with AC or DC stuck to it taken off."""
    if _is_unit(unit):
        return unit
    slip = SLIPS.get(unit) or SLIPS.get(unit.lower())
    if slip:
        return slip
    kind = re.fullmatch(_KIND_OF_VOLTAGE, unit)
    if kind and _is_unit(kind[1].strip()):
        return f"{kind[1].strip()} {kind[2].upper()}"
    return None


def _is_unit(unit: str) -> bool:
    return unit in UNIT_TABLE or unit in SIZE_UNITS


def _caseless(unit: str) -> tuple[str, ...]:
    return tuple(known for known in UNITS if known.casefold() == unit.casefold())


@lru_cache(maxsize=256)
def _near(unit: str) -> tuple[str, ...]:
    import difflib

    if len(unit) > LONGEST_UNIT:
        return ()
    return tuple(difflib.get_close_matches(unit, UNITS, n=2, cutoff=0.66))


def _either(words: tuple[str, ...]) -> str:
    """`a`; `a` or `b`; `a`, `b` or `c`."""
    marked = [f"`{word}`" for word in words]
    return " or ".join(filter(None, (", ".join(marked[:-1]), marked[-1])))


def with_article(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _short(text: str) -> str:
    return text if len(text) <= LONGEST_UNIT else text[:LONGEST_UNIT] + "..."
