"""NEC rules for terminals, continuous loads, smallest conductors, drop and bundling in panels."""

from __future__ import annotations

from netcheck.tables.table import Rule, TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC): other rules used in panel checks",
    cite="NEC",
    edition="2023",
    note="",
)

TERMINALS_UP_TO_100_A = Rule(
    "terminals of equipment <= 100 A or marked for 14-1 AWG: ampacity column",
    60,
    "C unless marked 75 C",
    "NEC 110.14(C)(1)(a)",
    True,
)
TERMINALS_ABOVE_100_A = Rule(
    "terminals of equipment > 100 A or larger than 1 AWG: ampacity column",
    75,
    "C",
    "NEC 110.14(C)(1)(b)",
    True,
)
TERMINALS_OF_MOTORS = Rule(
    "motors design B/C/D: 75 C conductors may be used at 75 C ampacity",
    75,
    "C",
    "NEC 110.14(C)(1)(a)(4)",
    True,
)
CONTINUOUS_LOAD_DEVICE = Rule(
    "continuous load (3 h or more): overcurrent device minimum",
    125,
    "% of continuous + 100 % of other load",
    "NEC 210.20(A), 215.3",
    True,
)
CONTINUOUS_LOAD_CONDUCTOR = Rule(
    "continuous load: conductor minimum before derating",
    125,
    "% of continuous + 100 % of other load",
    "NEC 210.19(A)(1), 215.2(A)(1)",
    True,
)
NEXT_STANDARD_UP_TO = Rule(
    "next standard device size above ampacity allowed up to",
    800,
    "A (not multi-outlet receptacle circuits)",
    "NEC 240.4(B)",
    True,
)
ABOVE_NEXT_STANDARD_UP_TO = Rule(
    "above 800 A the device may not exceed the ampacity", 800, "A", "NEC 240.4(C)", True
)
SMALLEST_COPPER = Rule(
    "smallest general conductor, copper", 14, "AWG", "NEC 310.3(A) (was 310.106(A))", True
)
SMALLEST_ALUMINIUM = Rule("smallest general conductor, aluminium", 12, "AWG", "NEC 310.3(A)", False)
DROP_BRANCH = Rule(
    "voltage drop recommended: branch circuit",
    3,
    "% (informational note)",
    "NEC 210.19 note",
    False,
)
DROP_FEEDER_AND_BRANCH = Rule(
    "voltage drop recommended: feeder + branch",
    5,
    "% (informational note)",
    "NEC 215.2 note",
    False,
)
NIPPLE = Rule(
    "nipple <= 24 in: bundling adjustment not needed",
    24,
    "in",
    "NEC 310.15(C)(1)(b); Ch. 9 note 4",
    False,
)
METAL_WIREWAY = Rule(
    "metal wireway: bundling adjustment not needed up to",
    30,
    "current-carrying conductors in a cross-section",
    "NEC 376.22(B)",
    False,
)
PANEL_SUPPLY_CONDUCTOR = Rule(
    "UL 508A/NEC 409: panel supply conductors",
    125,
    "% of heating + 125 % of largest motor + 100 % of rest",
    "NEC 409.20; UL 508A",
    True,
)

ROWS = (
    TERMINALS_UP_TO_100_A,
    TERMINALS_ABOVE_100_A,
    TERMINALS_OF_MOTORS,
    CONTINUOUS_LOAD_DEVICE,
    CONTINUOUS_LOAD_CONDUCTOR,
    NEXT_STANDARD_UP_TO,
    ABOVE_NEXT_STANDARD_UP_TO,
    SMALLEST_COPPER,
    SMALLEST_ALUMINIUM,
    DROP_BRANCH,
    DROP_FEEDER_AND_BRANCH,
    NIPPLE,
    METAL_WIREWAY,
    PANEL_SUPPLY_CONDUCTOR,
)
