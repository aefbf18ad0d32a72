"""Motor currents and the limits that are percentages of them."""

import pytest

from netcheck.tables import motors
from netcheck.tables.lookup import Lookup, NotTabulated
from netcheck.tables.motors import (
    dc_motor_full_load_current_a,
    motor_branch_device_max_a,
    motor_branch_device_max_pct,
    motor_code_letter_current_a,
    motor_conductor_minimum_a,
    motor_full_load_current_a,
    motor_locked_rotor_current_a,
    overload_max_pct,
    thermal_protector_max_pct,
)


def value(found: Lookup | NotTabulated) -> float:
    assert isinstance(found, Lookup), found
    return found.value


@pytest.mark.parametrize(
    ("power_hp", "voltage_v", "phases", "current_a"),
    [(1, 120, 1, 16), (1, 115, 1, 16), (1, 240, 1, 8), (1, 230, 1, 8), (1 / 3, 120, 1, 7.2)]
    + [(1 / 6, 208, 1, 2.4), (5, 208, 3, 16.7), (5, 480, 3, 7.6), (5, 600, 3, 6.1)],
)
def test_the_nominal_voltage_finds_its_column(
    power_hp: float, voltage_v: float, phases: int, current_a: float
) -> None:
    """NEC 430.248 and 430.250."""
    assert current_a == value(motor_full_load_current_a(power_hp, voltage_v, phases))


def test_the_column_is_named_with_the_voltage_it_stands_for() -> None:
    found = motor_full_load_current_a(1, 240, 1)
    assert isinstance(found, Lookup)
    assert "NEC 430.248, 1 hp, 230 V column for 240 V" == found.source
    assert found.confirmed


def test_the_575_v_column_is_found_from_memory() -> None:
    found = motor_full_load_current_a(5, 600, 3)
    assert isinstance(found, Lookup)
    assert not found.confirmed


@pytest.mark.parametrize(
    ("power_hp", "voltage_v", "phases"),
    [(1, 24, 1), (1, 277, 1), (1, 480, 1), (15, 240, 1), (0.9, 240, 1), (3, 120, 3)]
    + [(250, 480, 3), (1, 240, 2), (0, 240, 1), (float("nan"), 240, 3)],
)
def test_a_motor_outside_the_tables_is_not_tabulated(
    power_hp: float, voltage_v: float, phases: int
) -> None:
    assert isinstance(motor_full_load_current_a(power_hp, voltage_v, phases), NotTabulated)


def test_locked_rotor_and_direct_current_motors() -> None:
    """NEC 430.251(A) and 430.247."""
    assert 48 == value(motor_locked_rotor_current_a(1, 240))
    assert 9.5 == value(dc_motor_full_load_current_a(1, 120))
    assert isinstance(motor_locked_rotor_current_a(1, 480), NotTabulated)
    assert isinstance(motor_locked_rotor_current_a(20, 240), NotTabulated)
    assert isinstance(dc_motor_full_load_current_a(0.25, 24), NotTabulated)


@pytest.mark.parametrize(
    ("letter", "power_hp", "voltage_v", "phases", "least_a", "most_a"),
    [
        # Building code forum, "Determine the maximum locked-rotor current for a motor": 158 A.
        ("G", 20, 460, 3, 140.6, 158.1),
        # A published motor starting calculator: 10 hp, 460 V, G, some 75 A in the middle.
        ("G", 10, 460, 3, 70.3, 79.1),
        # By the formula printed with the table, by hand: 5 hp, 230 V, one phase, 28 to 31.5 kVA.
        ("G", 5, 230, 1, 121.7, 137.0),
    ],
)
def test_a_code_letter_gives_a_range_of_locked_rotor_current(
    letter: str, power_hp: float, voltage_v: float, phases: int, least_a: float, most_a: float
) -> None:
    found = motor_code_letter_current_a(letter, power_hp, voltage_v, phases)
    assert not isinstance(found, NotTabulated)
    least, most = found
    assert most is not None
    assert least_a == pytest.approx(least.value, abs=0.05)
    assert most_a == pytest.approx(most.value, abs=0.05)
    assert least.confirmed


def test_the_last_code_letter_has_no_upper_end() -> None:
    found = motor_code_letter_current_a("V", 1, 230, 1)
    assert not isinstance(found, NotTabulated)
    assert found[1] is None


def test_several_motors_take_the_largest_at_125_percent() -> None:
    """NEC 430.22 and 430.24 (the latter from memory)."""
    assert 10 == motor_conductor_minimum_a((8.0,)).value
    several = motor_conductor_minimum_a((8.0, 16.0, 4.9))
    assert 32.9 == several.value
    assert not several.confirmed
    with pytest.raises(ValueError, match="no motor"):
        motor_conductor_minimum_a(())


@pytest.mark.parametrize(
    ("device", "percent"),
    [
        (motors.NON_TIME_DELAY_FUSE, 300),
        (motors.DUAL_ELEMENT_FUSE, 175),
        (motors.INSTANTANEOUS_TRIP, 800),
        (motors.INVERSE_TIME_BREAKER, 250),
    ],
)
def test_the_branch_device_of_a_motor(device: str, percent: float) -> None:
    """NEC 430.52(C)(1)."""
    assert percent == value(motor_branch_device_max_pct(device, motors.SINGLE_PHASE))


def test_an_instantaneous_trip_is_not_rounded_up() -> None:
    found = motor_branch_device_max_a(8, motors.INSTANTANEOUS_TRIP, motors.SINGLE_PHASE)
    assert 64 == value(found)
    assert 20 == value(
        motor_branch_device_max_a(8, motors.INVERSE_TIME_BREAKER, motors.SINGLE_PHASE)
    )


def test_unknown_devices_and_motors_are_not_tabulated() -> None:
    assert isinstance(motor_branch_device_max_pct("rope", motors.POLYPHASE), NotTabulated)
    assert isinstance(motor_branch_device_max_pct("rope", "a horse"), NotTabulated)


@pytest.mark.parametrize(
    ("service_factor", "rise_c", "cannot_start", "percent"),
    [(1.15, None, False, 125), (1.0, 40, False, 125), (1.0, 50, False, 115)]
    + [(None, None, False, 115), (1.15, None, True, 140), (None, None, True, 130)],
)
def test_the_overload_goes_by_what_the_nameplate_says(
    service_factor: float | None, rise_c: float | None, cannot_start: bool, percent: float
) -> None:
    """NEC 430.32(A)(1) and (C)."""
    assert percent == overload_max_pct(service_factor, rise_c, cannot_start).value


@pytest.mark.parametrize(("current_a", "percent"), [(9, 170), (9.1, 156), (20, 156), (20.1, 140)])
def test_the_motors_own_protector_goes_by_its_current(current_a: float, percent: float) -> None:
    """NEC 430.32(A)(2)."""
    assert percent == thermal_protector_max_pct(current_a).value


@pytest.mark.parametrize(("voltage_v", "phases"), [(200, 1), (480, 3), (120, 1), (208, 3)])
def test_columns_read_on_a_page_are_confirmed(voltage_v: float, phases: int) -> None:
    found = motor_full_load_current_a(1, voltage_v, phases)
    assert isinstance(found, Lookup)
    assert found.confirmed


@pytest.mark.parametrize("power_hp", [0.3328, 0.3338, 0.334, 0.33])
def test_a_power_near_a_tabulated_one_is_not_taken_for_it(power_hp: float) -> None:
    assert isinstance(motor_full_load_current_a(power_hp, 120, 1), NotTabulated)
