"""NEC articles 724 and 725: limits of class 1 and class 2 circuits around 24 V."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70 (NEC) articles 724 and 725, chapter 9 tables 11(A) and 11(B): class 1 "
        "and class 2 limits"
    ),
    cite="NEC 725 and chapter 9 table 11",
    edition="",
    note="section numbers of several editions, as read",
)


@record
class Row:
    """A limit of `figure` times the source voltage to the power `volt_power`; None = no figure."""

    item: str
    figure: float | None
    volt_power: int
    unit: str
    reference: str
    confirmed: bool


CLASS_1_LIMITED_VOLTAGE = Row(
    "Class 1 power-limited: source voltage",
    30,
    0,
    "V max",
    "724.40 (2023) / 725.41(A) (2008) / 725.21(A) older",
    True,
)
CLASS_1_LIMITED_POWER = Row(
    "Class 1 power-limited: source rating", 1000, 0, "VA max", "725.41(A) (2008)", True
)
CLASS_1_LIMITED_OUTPUT = Row(
    "Class 1 power-limited, source not a transformer: maximum output",
    2500,
    0,
    "VA (and Imax x Vmax <= 10000 VA)",
    "725.41(A)(2)",
    True,
)
CLASS_1_VOLTAGE = Row("Class 1 remote-control: voltage", 600, 0, "V max", "725.41(B)", True)
CLASS_1_DEVICE_18_AWG = Row(
    "Class 1 overcurrent device, 18 AWG", 7, 0, "A max", "725.43 (now 724.43)", True
)
CLASS_1_DEVICE_16_AWG = Row("Class 1 overcurrent device, 16 AWG", 10, 0, "A max", "725.43", True)
CLASS_1_DEVICE_LARGER = Row(
    "Class 1 overcurrent device, 14 AWG and larger",
    None,
    0,
    "ampacity without derating of 310.15",
    "725.43",
    True,
)
CLASS_1_LOAD_18_AWG = Row("Class 1 load limit, 18 AWG", 6, 0, "A", "402.5 via 725.49", True)
CLASS_1_LOAD_16_AWG = Row("Class 1 load limit, 16 AWG", 8, 0, "A", "402.5 via 725.49", True)
CLASS_1_INSULATION = Row("Class 1 conductor insulation", 600, 0, "V", "725.49(B)", True)
CLASS_2_POWER = Row("Class 2: source power at <= 30 V", 100, 0, "VA", "Table 11(A)", True)
CLASS_2_LIMITED_CURRENT_UP_TO_20_V = Row(
    "Class 2 ac inherently limited, 0-20 V: current under any load", 8, 0, "A", "Table 11(A)", True
)
CLASS_2_LIMITED_NAMEPLATE_UP_TO_20_V = Row(
    "Class 2 ac inherently limited, 0-20 V: nameplate", 5, 1, "VA (and 5.0 A)", "Table 11(A)", True
)
CLASS_2_LIMITED_CURRENT_UP_TO_30_V = Row(
    "Class 2 ac inherently limited, >20-30 V: current under any load",
    8,
    0,
    "A",
    "Table 11(A)",
    True,
)
CLASS_2_LIMITED_NAMEPLATE_UP_TO_30_V = Row(
    "Class 2 ac inherently limited, >20-30 V: nameplate", 100, 0, "VA", "Table 11(A)", True
)
CLASS_2_LIMITED_NAMEPLATE_CURRENT_UP_TO_30_V = Row(
    "Class 2 ac inherently limited, >20-30 V: nameplate current", 100, -1, "A", "Table 11(A)", False
)
CLASS_2_DEVICE_UP_TO_20_V = Row(
    "Class 2 not inherently limited, 0-20 V: overcurrent device",
    5,
    0,
    "A",
    "Tables 11(A)/(B)",
    False,
)
CLASS_2_DEVICE_UP_TO_30_V = Row(
    "Class 2 not inherently limited, >20-30 V: overcurrent device",
    100,
    -1,
    "A (4.17 A at 24 V; 3.33 A at 30 V)",
    "Tables 11(A)/(B)",
    False,
)
CLASS_2_OUTPUT = Row(
    "Class 2 not inherently limited, <=30 V: maximum VA",
    250,
    0,
    "VA (350 if transformer and Vmax <= 15)",
    "Tables 11(A)/(B)",
    False,
)
CLASS_2_CURRENT = Row(
    "Class 2 not inherently limited, <=30 V: maximum current",
    1000,
    -1,
    "A",
    "Tables 11(A)/(B)",
    False,
)
CLASS_2_DC_VOLTAGE = Row("Class 2 dc upper voltage", 60, 0, "V continuous dc", "Table 11(B)", False)
WET_CONTACT_VOLTAGE = Row(
    "wet contact: class 3 wiring or max",
    15,
    0,
    "V ac sinusoidal (30 V dc)",
    "Table 11 notes 2, 4",
    True,
)

ROWS = (
    CLASS_1_LIMITED_VOLTAGE,
    CLASS_1_LIMITED_POWER,
    CLASS_1_LIMITED_OUTPUT,
    CLASS_1_VOLTAGE,
    CLASS_1_DEVICE_18_AWG,
    CLASS_1_DEVICE_16_AWG,
    CLASS_1_DEVICE_LARGER,
    CLASS_1_LOAD_18_AWG,
    CLASS_1_LOAD_16_AWG,
    CLASS_1_INSULATION,
    CLASS_2_POWER,
    CLASS_2_LIMITED_CURRENT_UP_TO_20_V,
    CLASS_2_LIMITED_NAMEPLATE_UP_TO_20_V,
    CLASS_2_LIMITED_CURRENT_UP_TO_30_V,
    CLASS_2_LIMITED_NAMEPLATE_UP_TO_30_V,
    CLASS_2_LIMITED_NAMEPLATE_CURRENT_UP_TO_30_V,
    CLASS_2_DEVICE_UP_TO_20_V,
    CLASS_2_DEVICE_UP_TO_30_V,
    CLASS_2_OUTPUT,
    CLASS_2_CURRENT,
    CLASS_2_DC_VOLTAGE,
    WET_CONTACT_VOLTAGE,
)
