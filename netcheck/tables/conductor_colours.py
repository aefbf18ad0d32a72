"""Conductor colours in machine panels, by standard and by what the conductor does."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 79-2021 13.2, UL 508A 66.5 and 66.9, NEMA ICS 1 7.6, IEC 60204-1 13.2, "
        "NEC 200.6 and 250.119: conductor colours"
    ),
    cite="conductor colours",
    edition="",
    note=(
        "the NEC itself fixes grounded and grounding conductors only; other schemes are"
        " lawful where documented"
    ),
)

POWER = "power"
CONTROL_AT_SUPPLY_VOLTAGE = "control at supply voltage"
AC_CONTROL = "AC control"
DC_CONTROL = "DC control"
GROUNDED_AC = "grounded AC"
GROUNDED_DC = "grounded DC"
FLOATING_DC_NEGATIVE = "floating DC negative"
LIVE_WITH_MAIN_OFF = "live with the disconnect off"
GROUNDED_AC_LIVE_WITH_MAIN_OFF = "grounded AC, live with the disconnect off"
GROUNDING = "grounding"


@record
class Row:
    """Colours accepted for one use under one standard; `wording` is how the source puts it."""

    standard: str
    use: str
    function: str
    colours: tuple[str, ...]
    wording: str
    confirmed: bool


ROWS = (
    Row(
        "NFPA 79",
        POWER,
        "ungrounded conductors at supply (line) voltage, power",
        ("black",),
        "black",
        True,
    ),
    Row(
        "NFPA 79",
        AC_CONTROL,
        "ungrounded AC control at less than supply voltage",
        ("red",),
        "red",
        True,
    ),
    Row("NFPA 79", DC_CONTROL, "ungrounded DC control", ("blue",), "blue", True),
    Row(
        "NFPA 79",
        GROUNDED_AC,
        "grounded AC conductor (neutral)",
        ("white", "grey"),
        "white or grey (or three white stripes on another colour)",
        True,
    ),
    Row(
        "NFPA 79",
        GROUNDED_DC,
        "grounded DC conductor",
        ("white with blue stripe",),
        "white with blue stripe",
        True,
    ),
    Row(
        "NFPA 79",
        LIVE_WITH_MAIN_OFF,
        "ungrounded conductors that stay live with the disconnect off",
        ("yellow", "orange"),
        "yellow or orange",
        True,
    ),
    Row(
        "NFPA 79",
        GROUNDED_AC_LIVE_WITH_MAIN_OFF,
        "grounded AC conductor live with the disconnect off",
        ("white with yellow stripe", "white with orange stripe"),
        "white with yellow or orange stripe",
        True,
    ),
    Row(
        "NFPA 79",
        GROUNDING,
        "protective/equipment grounding conductor",
        ("green", "green with yellow stripe"),
        "green, or green with yellow stripe",
        True,
    ),
    Row(
        "UL 508A 66.5.3", POWER, "ungrounded power circuit, any voltage", ("black",), "black", True
    ),
    Row(
        "UL 508A 66.5.3",
        GROUNDED_AC,
        "grounded AC power conductor",
        ("white", "grey"),
        "white or natural grey",
        True,
    ),
    Row(
        "UL 508A 66.9",
        CONTROL_AT_SUPPLY_VOLTAGE,
        "ungrounded control at supply voltage",
        ("black",),
        "black",
        True,
    ),
    Row(
        "UL 508A 66.9",
        AC_CONTROL,
        "ungrounded AC control below supply voltage",
        ("red",),
        "red",
        True,
    ),
    Row("UL 508A 66.9", DC_CONTROL, "ungrounded DC control", ("blue",), "blue", True),
    Row(
        "UL 508A 66.9",
        GROUNDED_DC,
        "grounded DC control",
        ("white with blue stripe",),
        "white with blue stripe",
        True,
    ),
    Row(
        "UL 508A 66.9",
        LIVE_WITH_MAIN_OFF,
        "control that stays live with the disconnect off",
        ("yellow", "orange"),
        "yellow or orange",
        True,
    ),
    Row(
        "UL 508A",
        GROUNDING,
        "equipment grounding",
        ("green", "green with yellow stripe"),
        "green or green with yellow stripe",
        True,
    ),
    Row(
        "NEMA ICS 1-2000 7.6",
        POWER,
        "line, load, power and motor (AC and DC), control-transformer primaries",
        ("black",),
        "black",
        True,
    ),
    Row("NEMA ICS 1-2000 7.6", AC_CONTROL, "AC control", ("red",), "red", True),
    Row("NEMA ICS 1-2000 7.6", DC_CONTROL, "DC control", ("blue",), "blue", True),
    Row("IEC 60204-1 13.2.4", POWER, "AC and DC power circuits", ("black",), "black", True),
    Row("IEC 60204-1 13.2.4", AC_CONTROL, "AC control circuits", ("red",), "red", True),
    Row("IEC 60204-1 13.2.4", DC_CONTROL, "DC control circuits", ("blue",), "blue", True),
    Row(
        "IEC 60204-1 13.2.4",
        LIVE_WITH_MAIN_OFF,
        "circuits fed from an external source (excepted/interlock)",
        ("orange",),
        "orange",
        True,
    ),
    Row(
        "IEC 60204-1 13.2.2",
        GROUNDING,
        "protective conductor",
        ("green with yellow stripe",),
        "green/yellow",
        True,
    ),
    Row("IEC 60204-1 13.2.3", GROUNDED_AC, "neutral", ("light blue",), "light blue", True),
    Row(
        "NEC 200.6",
        GROUNDED_AC,
        "grounded conductor (4 AWG/6 AWG and smaller)",
        ("white", "grey"),
        "white or grey",
        True,
    ),
    Row(
        "NEC 250.119",
        GROUNDING,
        "equipment grounding conductor",
        ("bare", "green", "green with yellow stripe"),
        "bare, green, or green with yellow stripes",
        True,
    ),
    Row(
        "NFPA 79 / UL 508A",
        FLOATING_DC_NEGATIVE,
        "ungrounded (floating) 24 V DC negative",
        ("blue",),
        "blue",
        True,
    ),
)
