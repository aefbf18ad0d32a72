"""Quantities of the trade, held against pint, NIST SP 811 and ASTM B258."""

from __future__ import annotations

import math
import subprocess
import sys
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.reading.conductor_size import KCMIL_MM2
from netcheck.reading.foreign_units import foreign_unit
from netcheck.reading.make_units import BASE_UNITS, PINT_SPELLINGS, SPELLINGS
from netcheck.reading.quantities import (
    UNITS,
    ConductorSize,
    Quantity,
    SystemVoltage,
    UnitMistake,
    explain_missing_blank,
    read_quantity,
    trade,
    wrong_dimension,
)
from netcheck.reading.trade import SCALES
from netcheck.reading.units import SIZE_UNITS, UNIT_TABLE
from netcheck.tables import astm_b258

EXACT: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
USUAL: pint.UnitRegistry[float] = pint.UnitRegistry()


def mistake(text: str) -> tuple[str, str]:
    with pytest.raises(UnitMistake) as caught:
        read_quantity(text)
    return caught.value.message, caught.value.help


# ---- the factor table


def test_the_table_holds_every_unit_of_the_generator_and_no_other() -> None:
    listed = {spelling for spellings in SPELLINGS.values() for spelling in spellings}
    assert listed == set(UNIT_TABLE)


@pytest.mark.parametrize("spelling", UNIT_TABLE)
def test_every_factor_and_zero_equals_pints_exactly(spelling: str) -> None:
    unit = UNIT_TABLE[spelling]
    name = PINT_SPELLINGS.get(spelling, spelling)
    for number in (0, 1, 37):
        theirs = EXACT.Quantity(Fraction(number), name).to(BASE_UNITS[unit.dimension])
        ours = Fraction((number - unit.zero) * unit.numerator, unit.denominator)
        assert theirs.magnitude == ours


@pytest.mark.parametrize("spelling", UNIT_TABLE)
def test_a_value_read_equals_pints_usual_floating_point_one(spelling: str) -> None:
    name = PINT_SPELLINGS.get(spelling, spelling)
    read = read_quantity(f"37.5 {spelling}")
    assert isinstance(read, Quantity)
    theirs = USUAL.Quantity(37.5, name).to(BASE_UNITS[read.dimension]).magnitude
    assert theirs == pytest.approx(read.value, rel=1e-12)


# NIST SP 811 (2008), appendix B.8, seven figures as printed there; from memory.
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1 ft", 3.048e-1),
        ("1 in", 2.54e-2),
        ("1 hp", 7.456999e2),
        ("1 lb-in", 1.129848e-1),
        ("1 lb-ft", 1.355818),
        ("212 degF", 100.0),
        ("-40 degF", -40.0),
    ],
)
def test_factors_agree_with_nist_sp_811(text: str, value: float) -> None:
    read = read_quantity(text)
    assert isinstance(read, Quantity)
    assert value == pytest.approx(read.value, rel=1e-6)


def test_units_are_tried_longest_first() -> None:
    assert sorted(UNITS, key=len, reverse=True) == list(UNITS)
    assert set(UNIT_TABLE) | set(SIZE_UNITS) == set(UNITS)
    assert len(set(UNITS)) == len(UNITS)


def test_good_input_loads_neither_pint_nor_difflib() -> None:
    code = (
        "import sys; from netcheck.reading.quantities import read_quantity, trade;"
        "[read_quantity(t) for t in ('24 V', '120/240 V', '14 AWG', '1 1/2 hp', '40 degC')];"
        "trade(24, 'voltage');"
        "print([m for m in ('pint', 'difflib', 'numpy') if m in sys.modules])"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert "[]" == answer.stdout.strip()


# ---- what is accepted


@pytest.mark.parametrize(
    ("text", "value", "dimension"),
    [
        ("24 V", 24.0, "voltage"),
        ("10 kA", 10_000.0, "current"),
        ("500 mA", 0.5, "current"),
        ("3 W", 3.0, "power"),
        ("1.5 kW", 1500.0, "power"),
        ("2 VA", 2.0, "apparent power"),
        ("1 kVA", 1000.0, "apparent power"),
        ("1.2 m", 1.2, "length"),
        ("3 ft", 0.9144, "length"),
        ("6 in", 0.1524, "length"),
        ("40 degC", 40.0, "temperature"),
        ("-20 degC", -20.0, "temperature"),
        ("104 degF", 40.0, "temperature"),
        ("0.5 s", 0.5, "time"),
        ("10 min", 600.0, "time"),
        ("65 ohm", 65.0, "resistance"),
        ("1.2 kohm", 1200.0, "resistance"),
        ("10 Mohm", 10e6, "resistance"),
        ("60 Hz", 60.0, "frequency"),
        ("5 %", 0.05, "share"),
        ("100 uF", 1e-4, "capacitance"),
        ("5 mH", 5e-3, "inductance"),
        ("1 N m", 1.0, "torque"),
        ("0 A", 0.0, "current"),
    ],
)
def test_a_quantity_is_read_to_the_nearest_float(text: str, value: float, dimension: str) -> None:
    assert Quantity(value, dimension, text, text.split(" ", 1)[1]) == read_quantity(text)


@pytest.mark.parametrize(("text", "halves"), [("1/2 hp", 1), ("1 1/2 hp", 3), ("7 1/2 hp", 15)])
def test_horsepower_is_read_in_fractions(text: str, halves: int) -> None:
    read, half = read_quantity(text), read_quantity("0.5 hp")
    assert isinstance(read, Quantity)
    assert isinstance(half, Quantity)
    assert halves * half.value == pytest.approx(read.value, rel=1e-15)


# ANSI C84.1 lists these system voltages; from memory.  230/400 V: IEC 60038; from memory.
@pytest.mark.parametrize(
    ("text", "line_v", "neutral_v", "phases"),
    [
        ("120/240 V", 240, 120, "split"),
        ("240/480 V", 480, 240, "split"),
        ("208Y/120 V", 208, 120, "wye"),
        ("120/208 V", 208, 120, "wye"),
        ("480Y/277 V", 480, 277, "wye"),
        ("600Y/347 V", 600, 347, "wye"),
        ("230/400 V", 400, 230, "wye"),
        ("4.16Y/2.4 kV", 4160, 2400, "wye"),
    ],
)
def test_a_system_voltage_tells_its_two_voltages_apart(
    text: str, line_v: float, neutral_v: float, phases: str
) -> None:
    read = read_quantity(text)
    assert isinstance(read, SystemVoltage)
    assert (line_v, neutral_v, phases) == (read.line_v, read.neutral_v, read.phases)


@pytest.mark.parametrize("row", astm_b258.ROWS, ids=lambda row: str(row.size))
def test_gauge_areas_agree_with_astm_b258_as_published(row: astm_b258.Row) -> None:
    read = read_quantity(row.size)
    assert isinstance(read, ConductorSize)
    assert row.size == read.text
    # Published in two or three figures: half a unit of the second, and the diameter likewise.
    assert row.area_mm2 == pytest.approx(read.area_mm2, rel=6e-3)
    assert row.diameter_mm == pytest.approx(math.sqrt(4 / math.pi * read.area_mm2), abs=6e-4)


def test_a_kcmil_is_pints() -> None:
    assert USUAL.Quantity(1.0, "kcmil").to("mm**2").magnitude == pytest.approx(KCMIL_MM2, rel=1e-12)


def test_4_0_awg_is_211_6_kcmil() -> None:
    """NEC chapter 9 table 8 prints 211600 circular mils for 4/0; from memory."""
    read = read_quantity("4/0 AWG")
    assert isinstance(read, ConductorSize)
    assert 211.6 == pytest.approx(read.area_mm2 / KCMIL_MM2, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("2.50 mm2", "2.5 mm2"),
        ("250  kcmil", "250 kcmil"),
        ("4/0\tAWG", "4/0 AWG"),
        ("50 mm2", "50 mm2"),
    ],
)
def test_one_conductor_size_has_one_text(text: str, normal: str) -> None:
    assert normal == read_quantity(text).text


@given(number=st.decimals(0, 10**6, places=3), spelling=st.sampled_from(sorted(UNIT_TABLE)))
def test_any_number_is_read_to_the_float_nearest_to_the_exact_product(
    number: Fraction, spelling: str
) -> None:
    unit = UNIT_TABLE[spelling]
    read = read_quantity(f"{number} {spelling}")
    assert isinstance(read, Quantity)
    exact = (Fraction(number) - unit.zero) * Fraction(unit.numerator, unit.denominator)
    assert float(exact) == read.value


@given(
    number=st.integers(1, 999),
    power=st.integers(-3, 5),
    dimension=st.sampled_from(sorted(set(SCALES) - {"system voltage", "conductor size"})),
)
def test_what_trade_writes_is_read_back_to_the_same_three_figures(
    number: int, power: int, dimension: str
) -> None:
    value = float(f"{number}e{power}")
    read = read_quantity(trade(value, dimension))
    assert isinstance(read, Quantity)
    assert dimension == read.dimension
    assert value == pytest.approx(read.value, rel=5.1e-3)


@given(st.integers(1, 56))
def test_each_gauge_is_thinner_than_the_one_before_by_one_ratio(gauge: int) -> None:
    thicker = read_quantity(f"{gauge - 1} AWG" if gauge > 1 else "1/0 AWG")
    thinner = read_quantity(f"{gauge} AWG")
    assert isinstance(thicker, ConductorSize)
    assert isinstance(thinner, ConductorSize)
    assert 92 ** (2 / 39) == pytest.approx(thicker.area_mm2 / thinner.area_mm2, rel=1e-12)


# ---- what is refused, in words


@pytest.mark.parametrize(
    ("text", "message", "help"),
    [
        ("1-1/2 hp", "`1-1/2` in `1-1/2 hp` is not a number", "write `1 1/2 hp`"),
        ("1/0 hp", "`1/0` in `1/0 hp` is not a number", "nothing can be divided by zero"),
        (
            "1 3/2 hp",
            "`1 3/2` in `1 3/2 hp` is not a number",
            "the fraction after a whole number is less than one: `1 1/2`",
        ),
        ("1,000 W", "`1,000` in `1,000 W` is not a number", "write `1000 W`, without a comma"),
        ("0,5 A", "`0,5` in `0,5 A` is not a number", "write `0.5 A`, with a point"),
        (".5 A", "`.5` in `.5 A` is not a number", "write `0.5 A`"),
        ("+5 A", "`+5` in `+5 A` is not a number", "write `5 A`"),
        (
            "1e999 V",
            "`1e999` in `1e999 V` is not a number",
            "write all the digits, or a larger or smaller unit, in place of the exponent",
        ),
        (
            "1.2.3 V",
            "`1.2.3` in `1.2.3 V` is not a number",
            "numbers are written `24`, `0.5`, `1/2` or `1 1/2`",
        ),
        (
            "1234567890123456 V",
            "`1234567890123456 V` has more than 15 digits",
            "write no more digits than are known",
        ),
        ("-5 A", "`-5 A` is below zero", "write `5 A`"),
        (
            "-274 degC",
            "`-274 degC` is colder than absolute zero",
            "nothing is below -273.15 degC (-459.67 degF)",
        ),
        (
            "-460 degF",
            "`-460 degF` is colder than absolute zero",
            "nothing is below -273.15 degC (-459.67 degF)",
        ),
        ("24V", "`24V` has no blank between number and unit", "write `24 V` with a blank"),
        ("24", "`24` is no quantity", "write a number, a blank and a unit: `24 V`"),
        ("", "`` is no quantity", "write a number, a blank and a unit: `24 V`"),
        ("0 mm2", "`0 mm2` is no conductor", "write the size of its metal"),
        (
            "99999 mm2",
            "`99999 mm2` is thicker than any cable",
            "write the size of one conductor in mm2",
        ),
        ("000 AWG", "`000 AWG` is written otherwise", "write `3/0 AWG`"),
        (
            "14/2 AWG",
            "`14/2 AWG` is no wire gauge",
            "gauges are whole numbers from 1 to 56, and 1/0, 2/0, 3/0, 4/0; "
            "larger sizes are written in kcmil",
        ),
        (
            "1/2 V",
            "`1/2 V` is too low for the two voltages of a system",
            "two voltages with a slash are a system's, `120/240 V`; "
            "a part of a volt is written `0.5 V`",
        ),
    ],
)
def test_a_bad_number_is_refused_with_what_to_write(text: str, message: str, help: str) -> None:
    assert (message, help) == mistake(text)


@pytest.mark.parametrize("text", ["100/300 V", "120Y/208 V", "240/120 V", "240Y/120 V", "0Y/0 V"])
def test_two_voltages_that_fit_no_system_are_refused(text: str) -> None:
    message, _ = mistake(text)
    assert message.startswith(f"`{text}` ")
    assert message.endswith(("are not the two voltages of one system", "voltages of a system"))


@pytest.mark.parametrize(
    ("text", "message", "help"),
    [
        ("24 v", "`v` is not a unit here", "did you mean `V`?"),
        ("10 MOHM", "`MOHM` is not a unit here", "did you mean `Mohm` or `mohm`?"),
        ("24 VDC", "`VDC` is not how the unit is written here", "write `24 V DC`"),
        ("3 feet", "`feet` is not how the unit is written here", "write `3 ft`"),
        ("3 amps", "`amps` is not how the unit is written here", "write `3 A`"),
        ("40 C", "`C` is not how the unit is written here", "write `40 degC`"),
        ("40 °C", "`°C` is not how the unit is written here", "write `40 degC`"),
        ("3 Ω", "`Ω` is not how the unit is written here", "write `3 ohm`"),
        ("250 MCM", "`MCM` is not how the unit is written here", "write `250 kcmil`"),
        ("9 in-lb", "`in-lb` is not how the unit is written here", "write `9 lb-in`"),
        (
            "3 furlong",
            "`furlong` is a length",
            "write it in `m`, `km`, `cm`, `mm`, `ft` or `in`",
        ),
        ("3 acre", "`acre` is an area", "write it in `mm2`, `AWG` or `kcmil`"),
        ("40 psi", "`psi` is a pressure, which is not described here", "leave it to a comment"),
        ("3 kWh", "`kWh` is an energy, which is not described here", "did you mean `kW`?"),
        ("3 rpm", "`rpm` is a rate, which is not described here", "leave it to a comment"),
        ("3 kVAR", "`kVAR` is not a unit", "did you mean `kVA` or `kV`?"),
        ("3 zzz", "`zzz` is not a unit", "see `explain language` for the units"),
    ],
)
def test_an_unknown_unit_gets_a_near_name_or_its_dimension(
    text: str, message: str, help: str
) -> None:
    assert (message, help) == mistake(text)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("24V", "write `24 V` with a blank"),
        ("24VDC", "write `24 V DC` with a blank"),
        ("14AWG", "write `14 AWG` with a blank"),
        ("4/0AWG", "write `4/0 AWG` with a blank"),
        ("1/2hp", "write `1/2 hp` with a blank"),
        ("208Y/120V", "write `208Y/120 V` with a blank"),
        ("5%", "write `5 %` with a blank"),
        ("K1", None),
        ("1K1", None),
        ("24 V", None),
    ],
)
def test_a_missing_blank_is_pointed_out(text: str, hint: str | None) -> None:
    assert hint == explain_missing_blank(text)


@pytest.mark.parametrize(
    ("text", "wanted", "message", "help"),
    [
        ("3 W", "voltage", "`3 W` is a power; a voltage is wanted here", "`V`, `kV` or `mV`"),
        (
            "14 AWG",
            "time",
            "`14 AWG` is a conductor size; a time is wanted here",
            "`s`, `ms`, `min` or `h`",
        ),
        (
            "120/240 V",
            "share",
            "`120/240 V` is a system voltage; a share is wanted here",
            "`%`",
        ),
    ],
)
def test_a_wrong_dimension_says_what_was_met_and_what_is_wanted(
    text: str, wanted: str, message: str, help: str
) -> None:
    made = wrong_dimension(read_quantity(text), wanted)
    assert (message, f"write it in {help}") == (made.message, made.help)


@given(st.text(max_size=80) | st.from_regex(r"[0-9./Y, eE+-]{1,20} [A-Za-z%/*() -]{1,20}"))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    try:
        said = [read_quantity(text).text]
    except UnitMistake as refused:
        said = [refused.message, refused.help]
    assert all(said)


@given(st.text(max_size=30))
def test_pint_never_lets_an_error_through(text: str) -> None:
    known = foreign_unit(text)
    assert known is None or known.dimension


# ---- writing


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (24, "voltage", "24 V"),
        (4160, "voltage", "4.16 kV"),
        (999.6, "voltage", "1 kV"),
        (1200, "current", "1.2 kA"),
        (0.5, "current", "0.5 A"),
        (0.02, "current", "20 mA"),
        (0, "current", "0 A"),
        (40, "temperature", "40 degC"),
        (-20, "temperature", "-20 degC"),
        (12, "length", "12 m"),
        (0.05, "share", "5 %"),
        (90, "time", "90 s"),
        (600, "time", "10 min"),
        (2.0809, "conductor size", "2.08 mm2"),
        (3.1234e-5, "capacitance", "31.2 uF"),
        (math.inf, "current", "no finite current"),
        (math.nan, "voltage", "no finite voltage"),
    ],
)
def test_a_value_is_written_as_the_trade_writes_it(value: float, dimension: str, text: str) -> None:
    assert text == trade(value, dimension)


def test_more_figures_are_written_when_asked_for() -> None:
    assert "25.04 A" == trade(25.04, "current", figures=4)


def test_every_dimension_can_be_written() -> None:
    assert set(BASE_UNITS) | {"conductor size", "system voltage"} == set(SCALES)
