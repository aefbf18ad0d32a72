"""Motor circuits: table currents, and the limits that are percentages of them."""

from __future__ import annotations

import math

from netcheck.record import record
from netcheck.tables.lookup import Lookup, NotTabulated, trim
from netcheck.tables.protection import next_standard_rating_a
from netcheck.tables.table import Rule

# Kinds of short-circuit and ground-fault devices, as table 430.52 heads its columns.
NON_TIME_DELAY_FUSE = "non-time-delay fuse"
DUAL_ELEMENT_FUSE = "dual-element fuse"
INSTANTANEOUS_TRIP = "instantaneous trip breaker"
INVERSE_TIME_BREAKER = "inverse-time breaker"

SINGLE_PHASE = "single-phase"
POLYPHASE = "AC polyphase other than wound-rotor"
DIRECT_CURRENT = "direct-current (constant voltage)"

# Rated powers in the tables are rounded to four figures (1/3 hp = 0.3333).
POWER_TOLERANCE = 0.001


@record
class _Column:
    """The system voltages (both inclusive) that take one column of the motor tables."""

    lowest_v: float
    highest_v: float
    column_v: int
    confirmed: bool


# Headings of tables 430.248 and 430.250.  The 460 V column is confirmed by a worked example
# (100 hp, 480 V, 124 A); the 575 V row is from memory.
_COLUMNS = (
    _Column(110, 120, 115, True),
    _Column(200, 200, 200, True),
    _Column(208, 208, 208, True),
    _Column(220, 240, 230, True),
    _Column(440, 480, 460, True),
    _Column(550, 600, 575, False),
)


def motor_full_load_current_a(
    power_hp: float, voltage_v: float, phases: int
) -> Lookup | NotTabulated:
    """Full-load current of an AC motor for conductors and short-circuit protection, A.

    `voltage_v` is the system's nominal or the motor's rated voltage (240 and 230 take the
    same column).  Source: NEC 430.248 (one phase), 430.250 (three phases).  Overloads go
    by the nameplate instead.
    """
    from netcheck.tables import nec_430_248, nec_430_250

    column = _column(voltage_v)
    if isinstance(column, NotTabulated):
        return column
    columns: dict[int, float | None]
    if phases == 1:
        for single in nec_430_248.ROWS:
            if _same_power(single.power_hp, power_hp):
                columns = {
                    115: single.at_115v_a,
                    200: single.at_200v_a,
                    208: single.at_208v_a,
                    230: single.at_230v_a,
                }
                cite, power, confirmed = "NEC 430.248", single.power, single.confirmed
                return _motor_current(columns, column, voltage_v, cite, power, confirmed)
        return NotTabulated(f"NEC 430.248 has no single-phase motor of {power_hp:g} hp")
    if phases == 3:
        for three in nec_430_250.ROWS:
            if _same_power(three.power_hp, power_hp):
                columns = {
                    115: three.at_115v_a,
                    200: three.at_200v_a,
                    208: three.at_208v_a,
                    230: three.at_230v_a,
                    460: three.at_460v_a,
                    575: three.at_575v_a,
                }
                cite, power, confirmed = "NEC 430.250", three.power, three.confirmed
                return _motor_current(columns, column, voltage_v, cite, power, confirmed)
        return NotTabulated(f"NEC 430.250 has no three-phase motor of {power_hp:g} hp")
    return NotTabulated(f"no NEC motor table for {phases} phases")


def motor_locked_rotor_current_a(power_hp: float, voltage_v: float) -> Lookup | NotTabulated:
    """Locked-rotor current of a single-phase motor, A.  Source: NEC 430.251(A)."""
    from netcheck.tables import nec_430_251

    column = _column(voltage_v)
    if isinstance(column, NotTabulated):
        return column
    for row in nec_430_251.ROWS:
        if _same_power(row.power_hp, power_hp):
            columns = {115: row.at_115v_a, 208: row.at_208v_a, 230: row.at_230v_a}
            cite = nec_430_251.SOURCE.cite
            found = _motor_current(columns, column, voltage_v, cite, row.power, row.confirmed)
            return found if isinstance(found, NotTabulated) else _as(found, "locked-rotor current")
    return NotTabulated(f"NEC 430.251(A) has no motor of {power_hp:g} hp")


def motor_code_letter_current_a(
    letter: str, power_hp: float, voltage_v: float, phases: int
) -> tuple[Lookup, Lookup | None] | NotTabulated:
    """What a motor takes with its rotor locked, at its rated voltage, by its code letter, A.

    At least the first, and less than the second; the last letter has no upper end.
    Source: NEMA MG 1 10.37.2, which is table NEC 430.7(B), and the formula printed with it.
    """
    from netcheck.tables import nec_430_7_b

    cite = nec_430_7_b.SOURCE.cite
    if phases not in (1, 3) or power_hp <= 0 or voltage_v <= 0:
        return NotTabulated(f"{cite} is of motors with horsepower, on one phase or three")
    for row in nec_430_7_b.ROWS:
        if row.letter == letter:
            a_for_each_kva = power_hp * 1000 / voltage_v / (math.sqrt(3) if phases == 3 else 1.0)
            ends = [
                kva
                if kva is None
                else Lookup(
                    trim(kva * a_for_each_kva),
                    "A",
                    f"{cite}, code letter {letter}, {kva:g} kVA/hp, {power_hp:.4g} hp "
                    f"at {voltage_v:g} V{', three-phase' if phases == 3 else ''}",
                    row.confirmed,
                    "locked-rotor current",
                )
                for kva in (row.from_kva_per_hp, row.below_kva_per_hp)
            ]
            assert ends[0] is not None
            return ends[0], ends[1]
    return NotTabulated(f"{cite} has no code letter {letter}")


def dc_motor_full_load_current_a(power_hp: float, armature_v: float) -> Lookup | NotTabulated:
    """Full-load current of a DC motor at its base speed, A.  Source: NEC 430.247.

    The table has no 24 V motors: those go by their nameplate.
    """
    from netcheck.tables import nec_430_247

    for row in nec_430_247.ROWS:
        if not _same_power(row.power_hp, power_hp):
            continue
        columns: dict[float, float | None] = {
            90: row.at_90v_a,
            120: row.at_120v_a,
            180: row.at_180v_a,
            240: row.at_240v_a,
            500: row.at_500v_a,
        }
        value = columns.get(armature_v)
        if value is None:
            break
        source = f"{nec_430_247.SOURCE.cite}, {row.power} hp, {armature_v:g} V DC"
        return Lookup(float(value), "A", source, row.confirmed, "full-load current")
    return NotTabulated(f"NEC 430.247 has no DC motor of {power_hp:g} hp at {armature_v:g} V")


def _column(voltage_v: float) -> _Column | NotTabulated:
    for column in _COLUMNS:
        if column.lowest_v <= voltage_v <= column.highest_v:
            return column
    return NotTabulated(f"the NEC motor tables have no column for {voltage_v:g} V")


def _same_power(row_hp: float, power_hp: float) -> bool:
    return abs(row_hp - power_hp) <= POWER_TOLERANCE * row_hp


def _motor_current(
    columns: dict[int, float | None],
    column: _Column,
    voltage_v: float,
    cite: str,
    power: str,
    confirmed: bool,
) -> Lookup | NotTabulated:
    value = columns.get(column.column_v)
    if value is None:
        return NotTabulated(f"{cite} has no {column.column_v} V value for {power} hp")
    source = f"{cite}, {power} hp, {column.column_v} V column for {voltage_v:g} V"
    confirmed = confirmed and column.confirmed
    return Lookup(float(value), "A", source, confirmed, "full-load current")


def _as(found: Lookup, what: str) -> Lookup:
    return Lookup(found.value, found.unit, found.source, found.confirmed, what)


# --- Limits ---


def motor_conductor_minimum_a(full_load_currents_a: tuple[float, ...]) -> Lookup:
    """The ampacity the conductors of one motor or of several need, A.

    Source: NEC 430.22 (one: 125 % of its table current), 430.24 (several: 125 % of the
    largest and the sum of the others).  Raises ValueError for no motor.
    """
    from netcheck.tables import nec_430_rules

    if not full_load_currents_a:
        raise ValueError("no motor")
    one = len(full_load_currents_a) == 1
    rule = (
        nec_430_rules.CONDUCTOR_OF_ONE_MOTOR if one else nec_430_rules.CONDUCTOR_OF_SEVERAL_MOTORS
    )
    largest_a = max(full_load_currents_a)
    needed_a = largest_a * rule.figure / 100 + sum(full_load_currents_a) - largest_a
    return Lookup(trim(needed_a), "A", rule.reference, rule.confirmed, "needed by the motors")


def motor_branch_device_max_pct(device: str, motor: str) -> Lookup | NotTabulated:
    """The largest short-circuit and ground-fault device, percent of full-load current.

    `device` and `motor` are worded as table 430.52(C)(1) words them (constants above).
    """
    from netcheck.tables import nec_430_52

    for row in nec_430_52.ROWS:
        if row.motor != motor:
            continue
        percent = {
            NON_TIME_DELAY_FUSE: row.non_time_delay_fuse_pct,
            DUAL_ELEMENT_FUSE: row.dual_element_fuse_pct,
            INSTANTANEOUS_TRIP: row.instantaneous_trip_pct,
            INVERSE_TIME_BREAKER: row.inverse_time_breaker_pct,
        }.get(device)
        if percent is None:
            return NotTabulated(f"NEC 430.52(C)(1) has no column for: {device}")
        source = f"{nec_430_52.SOURCE.cite}, {motor}, {device}"
        return Lookup(float(percent), "%", source, row.confirmed, "largest motor branch device")
    return NotTabulated(f"NEC 430.52(C)(1) has no row for: {motor}")


def motor_branch_device_max_a(
    full_load_current_a: float, device: str, motor: str
) -> Lookup | NotTabulated:
    """The largest motor branch device, A: the percentage, then the next standard rating.

    Source: NEC 430.52(C)(1) and its exception 1.  An instantaneous trip is a setting and is
    not rounded up.
    """
    from netcheck.tables import nec_430_rules

    percent = motor_branch_device_max_pct(device, motor)
    if isinstance(percent, NotTabulated):
        return percent
    limit_a = trim(full_load_current_a * percent.value / 100)
    if device == INSTANTANEOUS_TRIP:
        return Lookup(limit_a, "A", percent.source, percent.confirmed, percent.what)
    fuse = device in (NON_TIME_DELAY_FUSE, DUAL_ELEMENT_FUSE)
    rating = next_standard_rating_a(limit_a, fuse)
    if isinstance(rating, NotTabulated):
        return rating
    rule = nec_430_rules.NEXT_STANDARD_UP
    source = f"{percent.source} ({percent.value:g} % = {limit_a:g} A), {rule.reference}"
    confirmed = percent.confirmed and rule.confirmed and rating.confirmed
    return Lookup(rating.value, "A", source, confirmed, percent.what)


def overload_max_pct(
    service_factor: float | None, temperature_rise_c: float | None, cannot_start: bool = False
) -> Lookup:
    """The largest overload setting, percent of the nameplate current.

    Source: NEC 430.32(A)(1); with `cannot_start`, the raised values of 430.32(C).  What is
    not marked (None) earns nothing.
    """
    from netcheck.tables import nec_430_rules as rules

    by_service_factor = service_factor is not None and service_factor >= 1.15
    by_rise = temperature_rise_c is not None and temperature_rise_c <= 40
    if cannot_start:
        rule = (
            rules.OVERLOAD_RAISED_SERVICE_FACTOR_OR_LOW_RISE
            if by_service_factor or by_rise
            else rules.OVERLOAD_RAISED_OTHERS
        )
    elif by_service_factor:
        rule = rules.OVERLOAD_SERVICE_FACTOR
    else:
        rule = rules.OVERLOAD_LOW_RISE if by_rise else rules.OVERLOAD_OTHERS
    return _percent(rule, "largest overload setting")


def thermal_protector_max_pct(full_load_current_a: float) -> Lookup:
    """The trip of a protector built into the motor, percent of table full-load current.

    Source: NEC 430.32(A)(2).
    """
    from netcheck.tables import nec_430_rules as rules

    if full_load_current_a <= 9:
        rule = rules.THERMAL_PROTECTOR_UP_TO_9_A
    elif full_load_current_a <= 20:
        rule = rules.THERMAL_PROTECTOR_UP_TO_20_A
    else:
        rule = rules.THERMAL_PROTECTOR_ABOVE_20_A
    return _percent(rule, "largest trip of the motor's own protector")


def _percent(rule: Rule, what: str) -> Lookup:
    return Lookup(rule.figure, "%", f"{rule.reference}, {rule.item}", rule.confirmed, what)
