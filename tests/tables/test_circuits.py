"""Class limits, smallest conductors, continuous loads and colours."""

import pytest

from netcheck.tables import (
    conductor_colours,
    nec_class_limits,
    nec_panel_rules,
    panel_minimum_sizes,
)
from netcheck.tables.circuits import (
    ColourLookup,
    class_1_device_max_a,
    class_2_device_max_a,
    class_2_power_max_va,
    continuous_load_minimum_a,
    expected_colours,
    smallest_permitted_size,
)
from netcheck.tables.lookup import Lookup, NotTabulated
from netcheck.tables.table import Rule


def value(found: Lookup | NotTabulated) -> float:
    assert isinstance(found, Lookup), found
    return found.value


def test_class_2_devices_go_by_the_voltage() -> None:
    """NEC chapter 9 table 11, from memory; the published unit cell prints 4.17 A at 24 V and
    3.33 A at 30 V."""
    assert 5 == value(class_2_device_max_a(20))
    assert 4.17 == round(value(class_2_device_max_a(24)), 2)
    assert 3.33 == round(value(class_2_device_max_a(30)), 2)
    assert "4.17 A at 24 V; 3.33 A at 30 V" in nec_class_limits.CLASS_2_DEVICE_UP_TO_30_V.unit
    assert isinstance(class_2_device_max_a(48), NotTabulated)
    assert isinstance(class_2_device_max_a(0), NotTabulated)


def test_class_2_power_and_class_1_devices() -> None:
    assert 100 == value(class_2_power_max_va(24))
    assert 100 == value(class_2_power_max_va(30))
    assert isinstance(class_2_power_max_va(0), NotTabulated)
    assert 7 == value(class_1_device_max_a("18 AWG"))
    assert 10 == value(class_1_device_max_a("16 AWG"))
    assert isinstance(class_1_device_max_a("14 AWG"), NotTabulated)
    assert isinstance(class_2_power_max_va(120), NotTabulated)


def test_continuous_loads_count_a_quarter_more() -> None:
    """NEC 210.19(A)(1), 210.20(A)."""
    assert 25 == continuous_load_minimum_a(16, 5).value


@pytest.mark.parametrize(
    ("rule", "size"),
    [
        (panel_minimum_sizes.UL_POWER_INSIDE, "14 AWG"),
        (panel_minimum_sizes.NFPA_79_CONTROL_INSIDE, "18 AWG"),
        (panel_minimum_sizes.IEC_POWER_INSIDE, "0.75 mm2"),
        (panel_minimum_sizes.IEC_POWER_OUTSIDE_SINGLE, "1 mm2"),
        (nec_panel_rules.SMALLEST_COPPER, "14 AWG"),
    ],
    ids=lambda value: value if isinstance(value, str) else None,
)
def test_a_rule_about_the_smallest_conductor_names_a_size(rule: Rule, size: str) -> None:
    assert size == str(smallest_permitted_size(rule).size)


def test_colours_by_standard_and_use() -> None:
    """NFPA 79 13.2 and IEC 60204-1 13.2."""
    found = expected_colours("NFPA 79", conductor_colours.GROUNDED_DC)
    assert isinstance(found, ColourLookup)
    assert ("white with blue stripe",) == found.colours
    assert isinstance(expected_colours("NFPA 79", "decoration"), NotTabulated)
