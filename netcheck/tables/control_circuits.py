"""Control supplies: transformer practice, control voltages and tolerances."""

from __future__ import annotations

from netcheck.tables.table import Rule, TableSource

SOURCE = TableSource(
    title="NFPA 79, IEC 60204-1 clause 9.1 and NEMA ST-1: supply of control circuits",
    cite="control circuit practice",
    edition="",
    note="values written as expressions or ranges stay text",
)

SECONDARY_DURING_INRUSH = Rule(
    "secondary voltage during inrush must not fall below",
    85,
    "% of rated",
    "NEMA ST-1 part 4",
    True,
)
SELECTION_STEADY_SUPPLY = Rule(
    "selection column, supply steady within 5 %",
    90,
    "% secondary column of regulation table",
    "transformer selection practice",
    True,
)
SELECTION_VARYING_SUPPLY = Rule(
    "selection column, supply varies up to 10 %",
    95,
    "% secondary column",
    "transformer selection practice",
    True,
)
INRUSH_POWER_FACTOR = Rule(
    "inrush load power factor assumed", 40, "%", "transformer selection practice", True
)
INRUSH_DURATION = Rule("inrush duration", 50, "ms (30-50)", "transformer selection practice", True)
INRUSH_MULTIPLE = Rule(
    "inrush multiple of normal current", 10, "x (3-10)", "transformer selection practice", True
)
SELECTION_INRUSH_ROOT_OF_SQUARES = Rule(
    "selection inrush VA (method A)",
    "sqrt(sealed^2 + inrush^2)",
    "VA",
    "transformer selection practice",
    True,
)
SELECTION_INRUSH_SUM = Rule(
    "selection inrush VA (method B, more conservative)",
    "sealed + inrush",
    "VA",
    "transformer selection practice",
    True,
)
COIL_OPERATES_FROM = Rule(
    "coil must operate from",
    85,
    "% of rated control voltage (to 110 %)",
    "NEMA/IEC contactor practice (IEC 60947-4-1)",
    False,
)
NFPA_79_AC_CONTROL_VOLTAGE = Rule(
    "NFPA 79 control circuit voltage from control transformer",
    120,
    "V AC max",
    "NFPA 79 9.1.2",
    False,
)
NFPA_79_DC_CONTROL_VOLTAGE = Rule(
    "NFPA 79 DC control circuit voltage", 250, "V DC max", "NFPA 79 9.1.2", False
)
IEC_AC_CONTROL_VOLTAGE = Rule(
    "IEC 60204-1 AC control voltage, 50 Hz / 60 Hz",
    230,
    "V max (277 at 60 Hz)",
    "IEC 60204-1:2016 9.1.2",
    False,
)
IEC_DC_CONTROL_VOLTAGE = Rule(
    "IEC 60204-1 DC control voltage", 220, "V DC max", "IEC 60204-1:2016 9.1.2", False
)
IEC_AC_TOLERANCE = Rule(
    "IEC 60204-1 AC supply tolerance", "0.9 to 1.1", "x nominal", "IEC 60204-1 4.3.2", False
)
IEC_BATTERY_TOLERANCE = Rule(
    "IEC 60204-1 DC battery supply tolerance",
    "0.85 to 1.15",
    "x nominal",
    "IEC 60204-1 4.3.3",
    False,
)
PELV_DC_VOLTAGE = Rule(
    "IEC 60204-1 / EN PELV limit, normally",
    60,
    "V DC (25 V AC) dry locations",
    "IEC 60204-1 6.4",
    False,
)
IEC_AMBIENT = Rule("rated ambient for IEC 60204-1 tables", 40, "C", "IEC 60204-1 4.4.3", True)

ROWS = (
    SECONDARY_DURING_INRUSH,
    SELECTION_STEADY_SUPPLY,
    SELECTION_VARYING_SUPPLY,
    INRUSH_POWER_FACTOR,
    INRUSH_DURATION,
    INRUSH_MULTIPLE,
    SELECTION_INRUSH_ROOT_OF_SQUARES,
    SELECTION_INRUSH_SUM,
    COIL_OPERATES_FROM,
    NFPA_79_AC_CONTROL_VOLTAGE,
    NFPA_79_DC_CONTROL_VOLTAGE,
    IEC_AC_CONTROL_VOLTAGE,
    IEC_DC_CONTROL_VOLTAGE,
    IEC_AC_TOLERANCE,
    IEC_BATTERY_TOLERANCE,
    PELV_DC_VOLTAGE,
    IEC_AMBIENT,
)
