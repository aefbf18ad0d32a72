"""What a conductor's ampacity depends on besides its size."""

from __future__ import annotations

from netcheck.record import record

NEC = "NEC"
IEC = "IEC 60204-1"

COPPER = "copper"
ALUMINIUM = "aluminium"
COPPER_CLAD_ALUMINIUM = "copper-clad aluminium"


@record
class Conditions:
    """How a conductor is made and laid.

    Temperatures in degC: `insulation_c` and `terminal_c` are ratings, `ambient_c` the air
    around the conductor.  `current_carrying` counts the current-carrying conductors laid
    together, None where no raceway, duct or cable is stated.  `method` is the IEC
    installation method (B1, B2, C or E); the NEC has no use for it, and the IEC table
    none for `terminal_c` and `inside_panel`.  `in_parallel` counts the like conductors that
    make up one and share its current; `cord` says that it is a core of a flexible cord.
    """

    insulation_c: float
    terminal_c: float
    ambient_c: float
    material: str = COPPER
    current_carrying: int | None = None
    inside_panel: bool = False
    practice: str = NEC
    method: str = "B1"
    in_parallel: int = 1
    cord: bool = False
