"""NEC article 430: the multipliers of motor circuits."""

from __future__ import annotations

from netcheck.tables.table import Rule, TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) Article 430: motor circuit multipliers",
    cite="NEC 430",
    edition="2023",
    note="",
)

CONDUCTOR_OF_ONE_MOTOR = Rule(
    "single continuous-duty motor: conductor ampacity minimum",
    125,
    "% of table full-load current",
    "NEC 430.22",
    True,
)
CONDUCTOR_OF_SEVERAL_MOTORS = Rule(
    "several motors on one conductor: largest motor",
    125,
    "% plus 100 % of the rest",
    "NEC 430.24",
    False,
)
CONDUCTOR_HALF_WAVE = Rule(
    "rectified supply, half-wave single-phase, DC motor conductors",
    190,
    "% of motor full-load current",
    "NEC 430.22(A)(1)",
    True,
)
CONDUCTOR_FULL_WAVE = Rule(
    "rectified supply, full-wave single-phase, DC motor conductors",
    150,
    "% of motor full-load current",
    "NEC 430.22(A)(2)",
    True,
)
OVERLOAD_SERVICE_FACTOR = Rule(
    "overload: marked service factor >= 1.15",
    125,
    "% of nameplate current, maximum",
    "NEC 430.32(A)(1)",
    True,
)
OVERLOAD_LOW_RISE = Rule(
    "overload: marked temperature rise <= 40 C",
    125,
    "% of nameplate current, maximum",
    "NEC 430.32(A)(1)",
    True,
)
OVERLOAD_OTHERS = Rule(
    "overload: all other motors", 115, "% of nameplate current, maximum", "NEC 430.32(A)(1)", True
)
OVERLOAD_RAISED_SERVICE_FACTOR_OR_LOW_RISE = Rule(
    "overload raised if motor cannot start: SF >= 1.15 or rise <= 40 C",
    140,
    "% of nameplate current",
    "NEC 430.32(C)",
    True,
)
OVERLOAD_RAISED_OTHERS = Rule(
    "overload raised if motor cannot start: all others",
    130,
    "% of nameplate current",
    "NEC 430.32(C)",
    True,
)
THERMAL_PROTECTOR_UP_TO_9_A = Rule(
    "integral thermal protector, FLC <= 9 A",
    170,
    "% of table full-load current",
    "NEC 430.32(A)(2)",
    True,
)
THERMAL_PROTECTOR_UP_TO_20_A = Rule(
    "integral thermal protector, FLC 9.1-20 A",
    156,
    "% of table full-load current",
    "NEC 430.32(A)(2)",
    True,
)
THERMAL_PROTECTOR_ABOVE_20_A = Rule(
    "integral thermal protector, FLC > 20 A",
    140,
    "% of table full-load current",
    "NEC 430.32(A)(2)",
    True,
)
NEXT_STANDARD_UP = Rule(
    "device rating not standard: next higher standard size allowed",
    1,
    "step up",
    "NEC 430.52(C)(1) Ex. 1",
    True,
)
CANNOT_START_NON_TIME_DELAY_FUSE = Rule(
    "motor cannot start: non-time-delay fuse <= 600 A, or time-delay class CC",
    400,
    "% of full-load current",
    "NEC 430.52(C)(1) Ex. 2(a)",
    False,
)
CANNOT_START_DUAL_ELEMENT_FUSE = Rule(
    "motor cannot start: dual-element (time-delay) fuse",
    225,
    "% of full-load current",
    "NEC 430.52(C)(1) Ex. 2(b)",
    False,
)
CANNOT_START_BREAKER_UP_TO_100_A = Rule(
    "motor cannot start: inverse-time breaker, FLC <= 100 A",
    400,
    "% of full-load current",
    "NEC 430.52(C)(1) Ex. 2(c)",
    False,
)
CANNOT_START_BREAKER_ABOVE_100_A = Rule(
    "motor cannot start: inverse-time breaker, FLC > 100 A",
    300,
    "% of full-load current",
    "NEC 430.52(C)(1) Ex. 2(c)",
    False,
)
OVERLOAD_UNITS_SINGLE_PHASE = Rule(
    "overload units needed: single-phase",
    1,
    "in the ungrounded conductor (2-wire, one grounded)",
    "NEC Table 430.37",
    False,
)
OVERLOAD_UNITS_THREE_PHASE = Rule(
    "overload units needed: three-phase", 3, "one per phase", "NEC Table 430.37", False
)

ROWS = (
    CONDUCTOR_OF_ONE_MOTOR,
    CONDUCTOR_OF_SEVERAL_MOTORS,
    CONDUCTOR_HALF_WAVE,
    CONDUCTOR_FULL_WAVE,
    OVERLOAD_SERVICE_FACTOR,
    OVERLOAD_LOW_RISE,
    OVERLOAD_OTHERS,
    OVERLOAD_RAISED_SERVICE_FACTOR_OR_LOW_RISE,
    OVERLOAD_RAISED_OTHERS,
    THERMAL_PROTECTOR_UP_TO_9_A,
    THERMAL_PROTECTOR_UP_TO_20_A,
    THERMAL_PROTECTOR_ABOVE_20_A,
    NEXT_STANDARD_UP,
    CANNOT_START_NON_TIME_DELAY_FUSE,
    CANNOT_START_DUAL_ELEMENT_FUSE,
    CANNOT_START_BREAKER_UP_TO_100_A,
    CANNOT_START_BREAKER_ABOVE_100_A,
    OVERLOAD_UNITS_SINGLE_PHASE,
    OVERLOAD_UNITS_THREE_PHASE,
)
