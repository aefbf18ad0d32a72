"""Which test shows each trap that a meter sets: `python -m tests.bench.test_traps` lists them.

The traps are the trade's own, common practice.
"""

from __future__ import annotations

import ast
from pathlib import Path

TESTS = Path(__file__).parents[1]
TRAPS: dict[str, tuple[str, ...]] = {
    "full supply across what should conduct: it is open, if the rest of the loop is closed": (
        "bench/test_metering.py: test_full_supply_across_a_part_says_it_is_open_if_the_rest_of_the_"
        "loop_is_closed",
        "bench/test_metering.py: test_an_open_part_reads_nothing_where_the_rest_of_the_loop_is_"
        "open_too",
    ),
    "0 V across a fuse or a contact proves nothing": (
        "bench/test_metering.py: test_0_v_across_a_fuse_proves_nothing_while_nothing_flows",
        "cli/test_meter.py: test_0_v_across_a_fuse_is_told_to_prove_nothing",
    ),
    "a 240 V load with one line open reads 0 V across and 120 V from both ends": (
        "bench/test_metering.py: test_a_240_v_load_with_one_line_open_reads_0_across_and_120_from_"
        "both_ends",
        "bench/test_diagnosing.py: test_a_blown_line_fuse_of_a_240_v_heater_is_found_by_120_v_to_"
        "neutral",
    ),
    "both ends of an open load at one pole read 0 V and are live": (
        "bench/test_metering.py: test_both_ends_of_an_open_load_at_one_pole_read_0_v_and_are_live",
        "bench/test_tracing.py: test_places_that_read_0_v_past_an_open_line_are_told_as_live",
    ),
    "0 V between two points, and both are live": (
        "cli/test_meter.py: test_two_points_are_read_with_each_to_ground",
        "bench/test_exercising.py: test_nought_between_the_two_points_alone_proves_nothing",
    ),
    "neither pole is grounded: both are live": (
        "cli/test_meter.py: test_ungrounded_poles_are_both_live",
    ),
    "a reading costs a walk, a cover, live work: halving goes by that too": (
        "bench/test_tracing.py: test_the_first_point_to_try_halves_what_is_left",
        "bench/test_order.py: test_of_points_that_halve_alike_the_one_without_a_walk_or_a_cover_is_"
        "metered",
        "bench/test_order.py: test_a_walk_is_made_where_it_saves_more_than_it_costs",
        "bench/test_order.py: test_where_24_v_tell_as_much_120_v_are_left_alone",
    ),
    "a floating point reads ghost volts on 10 Mohm": (
        "bench/test_metering.py: test_a_point_that_nothing_joins_floats_and_is_not_called_0_v",
        "bench/test_readings.py: test_what_floats_is_not_nought",
        "cli/test_meter.py: test_points_that_only_float_are_told_as_not_proved_dead",
    ),
    "a low-impedance meter or a load tells real volts from ghosts and leakage": (
        "bench/test_metering.py: test_a_leaking_sensor_reads_full_volts_on_10_megohm_and_little_on_"
        "low_impedance",
    ),
    "ohms only with the power off, proved dead": (
        "bench/test_exercising.py: test_ohms_on_a_live_circuit_are_refused_with_the_reason",
        "bench/test_exercising.py: test_ohms_where_a_contactor_alone_is_open_are_no_safe_work",
        "bench/test_documents.py: test_the_cautions_stand_under_everything",
    ),
    "which handles to lock before ohms": (
        "bench/test_metering.py: test_what_to_lock_out_before_ohms_is_all_that_reaches_the_devices_"
        "at_the_leads",
        "bench/test_metering.py: test_ohms_are_those_with_the_breaker_open_that_is_to_be_locked",
    ),
    "a good coil, winding, primary or heater of few ohms beeps": (
        "bench/test_metering.py: test_a_good_coil_of_few_ohms_may_beep_like_a_short",
        "bench/test_metering.py: test_windings_on_ac_are_low_ohms_that_no_nameplate_tells",
        "bench/test_metering.py: test_a_windings_ohms_that_the_text_says_are_read_as_they_are",
        "bench/test_metering.py: test_a_transformers_primary_reads_what_the_text_says",
        "bench/test_metering.py: test_a_good_heater_of_less_than_50_ohm_may_beep_like_a_short",
    ),
    "a way beside rings too, until one end is lifted, and which": (
        "bench/test_metering.py: test_a_parallel_path_rings_too_until_one_end_is_lifted",
        "bench/test_power_off.py: test_what_reads_low_in_a_sound_circuit_is_lifted_first",
    ),
    "a diode across a coil is read with the leads the other way round": (
        "bench/test_metering.py: test_with_power_off_relays_have_dropped_out_and_open_contacts_"
        "read_open",
    ),
    "a loose terminal is a drop under load, no open": (
        "bench/test_tracing.py: test_a_loose_terminal_shows_as_a_drop_under_load_so_the_drop_that_"
        "is_due_is_told",
        "bench/test_faults_of_all_kinds.py: test_volts_dropped_across_a_wire_name_it",
    ),
    "a clamp round the grounding conductor must read 0": (
        "bench/test_metering.py: test_a_grounding_conductor_must_read_0_in_the_clamp_and_lines_"
        "what_the_load_takes",
    ),
    "past one open line a three-phase load feeds back half the volts": (
        "bench/test_metering.py: test_a_three_phase_load_feeds_its_open_line_back_at_half_volts",
    ),
    "a controller's lamps are looked at first, and an output's tells only what is wanted": (
        "bench/test_tracing.py: test_controllers_lamps_are_looked_at_first",
        "bench/test_diagnosing.py: test_the_lamp_of_an_input_is_told_as_it_is_seen",
        "bench/test_diagnosing.py: test_what_an_output_s_lamp_shows_is_said_with_it",
        "bench/test_lamps.py: test_an_output_is_lit_when_it_is_switched_on_and_metered_at_its_"
        "terminal",
    ),
}


def test_every_trap_is_shown_by_tests_that_there_are() -> None:
    named = {test for tests in TRAPS.values() for test in tests}
    known = {
        f"{path.relative_to(TESTS).as_posix()}: {one.name}"
        for path in {TESTS / test.partition(":")[0] for test in named}
        for one in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(one, ast.FunctionDef)
    }
    assert set() == named - known
    assert all(TRAPS.values())


if __name__ == "__main__":
    for trap, tests in TRAPS.items():
        print(trap)
        for test in tests:
            print(f"  {test}")
