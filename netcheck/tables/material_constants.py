"""Copper and aluminium at 20 degC, and the geometry of the American wire gauge."""

from __future__ import annotations

from netcheck.tables.table import Rule, TableSource

SOURCE = TableSource(
    title="Copper and aluminium constants at 20 degC; American wire gauge geometry (ASTM B258)",
    cite="material constants",
    edition="",
    note="formulas stay text",
)

COPPER_RESISTIVITY = Rule(
    "resistivity at 20 C (annealed, 100 % IACS)", 1.7241e-08, "ohm m", "copper", True
)
COPPER_COEFFICIENT_20C = Rule("temperature coefficient at 20 C", 0.00393, "1/K", "copper", True)
COPPER_COEFFICIENT_75C = Rule("temperature coefficient at 75 C", 0.00323, "1/K", "copper", True)
ALUMINIUM_RESISTIVITY = Rule(
    "resistivity at 20 C, electrical grade 61 % IACS", 2.826e-08, "ohm m", "aluminium", True
)
PURE_ALUMINIUM_RESISTIVITY = Rule("resistivity at 20 C, pure", 2.65e-08, "ohm m", "aluminium", True)
ALUMINIUM_COEFFICIENT_20C = Rule(
    "temperature coefficient at 20 C", 0.00403, "1/K", "aluminium", True
)
ALUMINIUM_COEFFICIENT_75C = Rule(
    "temperature coefficient at 75 C", 0.0033, "1/K", "aluminium", True
)
COPPER_ZERO_RESISTANCE = Rule("inferred zero-resistance temperature", -234.5, "C", "copper", False)
ALUMINIUM_ZERO_RESISTANCE = Rule(
    "inferred zero-resistance temperature", -228.1, "C", "aluminium", False
)
AWG_36_DIAMETER = Rule("36 AWG diameter", 0.005, "inch", "awg", True)
AWG_DIAMETER = Rule(
    "diameter formula",
    "0.127 mm * 92**((36-n)/39)",
    "mm; n=0 for 1/0, -1 for 2/0, -2 for 3/0, -3 for 4/0",
    "awg",
    True,
)
AWG_AREA = Rule("area formula", "pi/4*d^2 = 0.012668 mm2 * 92**((36-n)/19.5)", "mm2", "awg", True)
AWG_CIRCULAR_MILS = Rule("circular mil area", "(d in mils)^2", "cmil", "awg", False)
KCMIL_AREA = Rule("1000 circular mils", 0.506707, "mm2", "awg", False)

ROWS = (
    COPPER_RESISTIVITY,
    COPPER_COEFFICIENT_20C,
    COPPER_COEFFICIENT_75C,
    ALUMINIUM_RESISTIVITY,
    PURE_ALUMINIUM_RESISTIVITY,
    ALUMINIUM_COEFFICIENT_20C,
    ALUMINIUM_COEFFICIENT_75C,
    COPPER_ZERO_RESISTANCE,
    ALUMINIUM_ZERO_RESISTANCE,
    AWG_36_DIAMETER,
    AWG_DIAMETER,
    AWG_AREA,
    AWG_CIRCULAR_MILS,
    KCMIL_AREA,
)
