"""Smallest conductors in and around panels."""

from __future__ import annotations

from netcheck.tables.table import Rule, TableSource

SOURCE = TableSource(
    title="UL 508A, NFPA 79 and IEC 60204-1 Table 5: minimum conductor sizes",
    cite="minimum conductor sizes",
    edition="",
    note="mostly from memory",
)

UL_POWER_INSIDE = Rule("internal power wiring", 14, "AWG", "UL 508A", True)
UL_FIELD_TERMINALS = Rule("field-wiring terminals sized for at least", 14, "AWG", "UL 508A", True)
UL_CONTROL_INSIDE = Rule("internal control wiring", 18, "AWG", "UL 508A", True)
UL_LOAD_CONDUCTORS = Rule(
    "branch/load conductors", 125, "% of full-load current of motor or heater", "UL 508A", True
)
UL_INSULATION = Rule(
    "insulation of internal power wire", 90, "C rated, used at <= 75 C ampacity", "UL 508A", True
)
NFPA_79_POWER = Rule("power circuits", 14, "AWG", "NFPA 79", True)
NFPA_79_CONTROL_OUTSIDE = Rule(
    "lighting and control circuits on machine and in raceways", 16, "AWG", "NFPA 79", True
)
NFPA_79_CONTROL_INSIDE = Rule(
    "control circuits inside enclosures/operator stations", 18, "AWG", "NFPA 79", True
)
NFPA_79_ELECTRONIC_INSIDE = Rule(
    "electronic/low-level inside enclosures", 30, "AWG", "NFPA 79", False
)
IEC_POWER_INSIDE = Rule("power circuit inside enclosure", 0.75, "mm2", "IEC 60204-1", False)
IEC_POWER_OUTSIDE_SINGLE = Rule(
    "power circuit outside enclosure, single flexible / single solid",
    1,
    "mm2 (1.5 solid or class 2)",
    "IEC 60204-1",
    False,
)
IEC_POWER_OUTSIDE_MULTICORE = Rule(
    "power circuit outside enclosure, multicore", 0.75, "mm2", "IEC 60204-1", False
)
IEC_CONTROL_INSIDE = Rule("control circuit inside enclosure", 0.2, "mm2", "IEC 60204-1", True)
IEC_CONTROL_OUTSIDE_SINGLE = Rule(
    "control circuit outside enclosure, single", 1, "mm2", "IEC 60204-1", False
)
IEC_DATA = Rule("data communication wiring", 0.08, "mm2", "IEC 60204-1", False)
IEC_DROP = Rule(
    "supply terminals to load: voltage drop", 5, "% of nominal maximum", "IEC 60204-1", False
)

ROWS = (
    UL_POWER_INSIDE,
    UL_FIELD_TERMINALS,
    UL_CONTROL_INSIDE,
    UL_LOAD_CONDUCTORS,
    UL_INSULATION,
    NFPA_79_POWER,
    NFPA_79_CONTROL_OUTSIDE,
    NFPA_79_CONTROL_INSIDE,
    NFPA_79_ELECTRONIC_INSIDE,
    IEC_POWER_INSIDE,
    IEC_POWER_OUTSIDE_SINGLE,
    IEC_POWER_OUTSIDE_MULTICORE,
    IEC_CONTROL_INSIDE,
    IEC_CONTROL_OUTSIDE_SINGLE,
    IEC_DATA,
    IEC_DROP,
)
