"""Devices and grounding conductors by the conductor, and the smallest conductor that would do."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import replace
from netcheck.tables import ampacity as by
from netcheck.tables import protection, sizing
from netcheck.tables.ampacity import ampacity, nec_sizes
from netcheck.tables.conditions import ALUMINIUM, COPPER, COPPER_CLAD_ALUMINIUM, IEC, Conditions
from netcheck.tables.lookup import CurrentLimit, Lookup, NotTabulated
from netcheck.tables.protection import (
    SizeLookup,
    control_conductor_device_max_a,
    device_limit_a,
    egc_minimum_size,
    iec_protective_minimum_mm2,
    largest_standard_rating_a,
    next_standard_rating_a,
    small_conductor_limit_a,
    standard_ratings_a,
    tap_longest_ft,
    tap_minimum_ampacity_a,
)
from netcheck.tables.sizing import SmallestSize, smallest_size_for
from netcheck.tables.wire_sizes import trade_size

FIELD = Conditions(insulation_c=90, terminal_c=60, ambient_c=30)
PANEL = replace(FIELD, ambient_c=40, inside_panel=True)


def value(found: Lookup | NotTabulated | None) -> float:
    assert isinstance(found, Lookup), found
    return found.value


def carrying(current_a: float) -> CurrentLimit:
    return CurrentLimit(current_a, (), "as given")


def device(size: str, current_a: float, fuse: bool = False, material: str = COPPER) -> CurrentLimit:
    return device_limit_a(trade_size(size), material, carrying(current_a), fuse)


@pytest.mark.parametrize(
    ("current_a", "fuse", "rating_a"),
    [(15, False, 15), (15.01, False, 20), (8, False, 15), (8, True, 10), (0.5, True, 1)]
    + [(600.5, True, 700)],
)
def test_the_next_standard_rating(current_a: float, fuse: bool, rating_a: float) -> None:
    """NEC 240.6(A); 1, 3, 6, 10 A are fuses only, 601 A is in older editions only."""
    assert rating_a == value(next_standard_rating_a(current_a, fuse))


def test_ratings_end_somewhere_and_say_so() -> None:
    assert isinstance(next_standard_rating_a(6001), NotTabulated)
    assert isinstance(largest_standard_rating_a(14.9), NotTabulated)
    assert isinstance(next_standard_rating_a(float("nan")), NotTabulated)


@given(st.floats(15, 6000), st.booleans())
def test_a_current_lies_between_its_neighbouring_ratings(current_a: float, fuse: bool) -> None:
    below = value(largest_standard_rating_a(current_a, fuse))
    above = value(next_standard_rating_a(current_a, fuse))
    assert below <= current_a * (1 + 1e-8)
    assert above >= current_a * (1 - 1e-8)
    between = [r.value for r in standard_ratings_a(fuse) if below < r.value < above]
    assert [] == between


@pytest.mark.parametrize(
    ("size", "material", "limit_a"),
    [("18 AWG", COPPER, 7), ("16 AWG", COPPER, 10), ("14 AWG", COPPER, 15), ("12 AWG", COPPER, 20)]
    + [("10 AWG", COPPER, 30), ("12 AWG", ALUMINIUM, 15), ("10 AWG", ALUMINIUM, 25)]
    + [("12 AWG", COPPER_CLAD_ALUMINIUM, 15), ("14 AWG", COPPER_CLAD_ALUMINIUM, 10)]
    + [("2.5 mm2", COPPER, 15), ("6 mm2", COPPER, 30)],
)
def test_small_conductors_have_a_device_limit(size: str, material: str, limit_a: float) -> None:
    """NEC 240.4(D); metric sizes by the next smaller gauge."""
    assert limit_a == value(small_conductor_limit_a(trade_size(size), material))


@pytest.mark.parametrize("size", ["8 AWG", "4/0 AWG", "10 mm2", "250 kcmil"])
def test_larger_conductors_have_no_such_limit(size: str) -> None:
    assert small_conductor_limit_a(trade_size(size), COPPER) is None


@pytest.mark.parametrize(("size", "material"), [("20 AWG", COPPER), ("14 AWG", ALUMINIUM)])
def test_sizes_the_rule_does_not_name_are_not_tabulated(size: str, material: str) -> None:
    assert isinstance(small_conductor_limit_a(trade_size(size), material), NotTabulated)


@pytest.mark.parametrize(
    ("size", "current_a", "limit_a", "governed_by"),
    [
        ("6 AWG", 55, 60, protection.NEXT_STANDARD_RATING),
        ("8 AWG", 40, 40, protection.NEXT_STANDARD_RATING),
        ("14 AWG", 20, 15, protection.SMALL_CONDUCTOR),
        ("18 AWG", 6.37, 7, protection.SMALL_CONDUCTOR),
        ("500 kcmil", 790, 800, protection.NEXT_STANDARD_RATING),
        ("500 kcmil", 801, 801, protection.AMPACITY),
        ("20 AWG", 5, 5, protection.AMPACITY),
    ],
)
def test_the_largest_device_of_a_conductor(
    size: str, current_a: float, limit_a: float, governed_by: str
) -> None:
    """NEC 240.4(B) next size up to 800 A, (C) none beyond, (D) small conductors; smaller than
    18 AWG the ampacity itself, as no rounding up is granted there."""
    found = device(size, current_a)
    assert (limit_a, governed_by) == (found.current_a, found.governed_by)


def test_a_device_limit_from_an_ampacity_from_memory_is_not_called_confirmed() -> None:
    size = trade_size("20 AWG")
    carried = ampacity(size, PANEL)
    assert isinstance(carried, CurrentLimit)
    assert not device_limit_a(size, COPPER, carried).confirmed


@pytest.mark.parametrize(
    ("size", "laid", "limit_a"),
    [("18 AWG", "inside", 25), ("14 AWG", "inside", 100), ("14 AWG", "leaving", 45)]
    + [("16 AWG", "separate", 10)],
)
def test_motor_control_conductors_have_their_own_limits(
    size: str, laid: str, limit_a: float
) -> None:
    """NEC 430.72(B), from memory."""
    found = control_conductor_device_max_a(trade_size(size), COPPER, laid)
    assert limit_a == value(found)
    assert isinstance(found, Lookup)
    assert not found.confirmed


@pytest.mark.parametrize(
    ("size", "material", "laid"),
    [("14 AWG", COPPER, "separate"), ("8 AWG", COPPER, "inside"), ("18 AWG", ALUMINIUM, "inside")]
    + [("14 AWG", COPPER, "elsewhere")],
)
def test_other_motor_control_conductors_are_not_tabulated(
    size: str, material: str, laid: str
) -> None:
    found = control_conductor_device_max_a(trade_size(size), material, laid)
    assert isinstance(found, NotTabulated)


def test_taps_within_their_length_need_a_part_of_the_device_ahead() -> None:
    """NEC 240.21(B)(1) and (2)."""
    assert 10 == value(tap_minimum_ampacity_a("10 ft feeder tap", 100))
    assert 10 == value(tap_longest_ft("10 ft feeder tap"))
    assert 100 / 3 == pytest.approx(value(tap_minimum_ampacity_a("25 ft feeder tap", 100)))
    assert isinstance(tap_minimum_ampacity_a("industrial secondary, 25 ft", 100), NotTabulated)
    assert isinstance(tap_longest_ft("a very long tap"), NotTabulated)


@pytest.mark.parametrize(
    ("device_a", "copper", "aluminium"),
    [(15, "14 AWG", "12 AWG"), (16, "12 AWG", "10 AWG"), (60, "10 AWG", "8 AWG")]
    + [(61, "8 AWG", "6 AWG"), (400, "3 AWG", "1 AWG")],
)
def test_the_grounding_conductor_goes_by_its_device(
    device_a: float, copper: str, aluminium: str
) -> None:
    """NEC 250.122."""
    for material, size in ((COPPER, copper), (ALUMINIUM, aluminium)):
        found = egc_minimum_size(device_a, material)
        assert isinstance(found, SizeLookup)
        assert size == str(found.size)


def test_a_grounding_conductor_beyond_the_table_is_not_tabulated() -> None:
    assert isinstance(egc_minimum_size(401), NotTabulated)
    assert isinstance(egc_minimum_size(15, "silver"), NotTabulated)


@pytest.mark.parametrize(
    ("line_mm2", "least_mm2"), [(0.75, 0.75), (16, 16), (16.1, 16), (35, 16), (50, 25), (70, 35)]
)
def test_the_iec_protective_conductor_goes_by_its_line_conductor(
    line_mm2: float, least_mm2: float
) -> None:
    """IEC 60204-1 table 1."""
    assert least_mm2 == iec_protective_minimum_mm2(line_mm2).value


# --- The smallest size ---


def smallest(current_a: float, conditions: Conditions, **asked: object) -> tuple[str, str]:
    found = smallest_size_for(current_a, conditions, **asked)  # type: ignore[arg-type]
    assert isinstance(found, SmallestSize), found
    return str(found.size), found.governed_by


def test_the_smallest_size_names_the_limit_that_decides_it() -> None:
    warm = replace(FIELD, terminal_c=75)
    assert ("12 AWG", protection.SMALL_CONDUCTOR) == smallest(18, warm)
    assert ("14 AWG", by.SMALL_FIELD_WIRE) == smallest(18, warm, motor_circuit=True)
    assert ("10 AWG", by.TERMINALS) == smallest(25, FIELD)
    assert ("8 AWG", by.INSULATION) == smallest(15, replace(FIELD, current_carrying=41))
    assert ("16 AWG", by.PANEL_WIRE) == smallest(8, PANEL)
    assert ("14 AWG", sizing.SMALLEST_PERMITTED) == smallest(
        8, PANEL, at_least=trade_size("14 AWG")
    )


def test_the_device_ahead_asks_for_a_larger_conductor() -> None:
    """A 20 A breaker on a 3 A load: 12 AWG by 240.4(D); in a motor circuit its load decides."""
    assert ("12 AWG", protection.SMALL_CONDUCTOR) == smallest(3, PANEL, device_a=20)
    assert ("22 AWG", by.PANEL_WIRE) == smallest(3, PANEL, device_a=20, motor_circuit=True)


def test_in_iec_practice_the_device_may_not_exceed_the_capacity() -> None:
    laid = Conditions(insulation_c=70, terminal_c=70, ambient_c=40, practice=IEC, method="C")
    assert ("1.5 mm2", by.INSTALLATION_METHOD) == smallest(12, laid)
    assert ("2.5 mm2", by.INSTALLATION_METHOD) == smallest(12, laid, device_a=16)


def test_what_no_size_carries_has_no_smallest_size() -> None:
    found = smallest_size_for(10_000, FIELD)
    assert isinstance(found, NotTabulated)
    assert "carries 10000 A" in found.reason
    hot = smallest_size_for(1, replace(FIELD, ambient_c=90))
    assert isinstance(hot, NotTabulated)
    assert "90 degC" in hot.reason


@given(
    st.floats(0.1, 300),
    st.none() | st.floats(0.1, 300),
    st.sampled_from([60.0, 75.0, 90.0]),
    st.sampled_from([30.0, 40.0, 50.0]),
    st.none() | st.integers(1, 50),
    st.booleans(),
    st.sampled_from([COPPER, ALUMINIUM]),
)
def test_the_smallest_size_suffices_and_the_next_smaller_does_not(
    current_a: float,
    device_a: float | None,
    terminal_c: float,
    ambient_c: float,
    together: int | None,
    inside: bool,
    material: str,
) -> None:
    laid = Conditions(
        insulation_c=90,
        terminal_c=terminal_c,
        ambient_c=ambient_c,
        material=material,
        current_carrying=together,
        inside_panel=inside,
    )
    found = smallest_size_for(current_a, laid, device_a)
    wanted_a = current_a if device_a is None else device_a

    def suffices(size: ConductorSize) -> bool:
        carried = ampacity(size, laid)
        return (
            isinstance(carried, CurrentLimit)
            and carried.current_a >= current_a
            and device_limit_a(size, material, carried).current_a >= wanted_a
        )

    enough = [size for size in nec_sizes(material) if suffices(size)]
    assert (enough[0] if enough else None) == (
        found.size if isinstance(found, SmallestSize) else None
    )


def test_the_area_of_a_size_outside_table_8_goes_by_geometry() -> None:
    """1000 circular mils are 0.506707 mm2."""
    assert 25 / 0.506707e-3 == pytest.approx(protection.area_cmil(trade_size("25 mm2")), rel=1e-6)
    assert 26240 == protection.area_cmil(trade_size("6 AWG"))
