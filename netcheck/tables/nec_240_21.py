"""NEC 240.21(B) and (C): conductors with no protective device at their supply end."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) 240.21(B) and (C): feeder taps and transformer secondary conductors",
    cite="NEC 240.21",
    edition="2023",
    note="the next size up of 240.4(B) may not be used for these conductors",
)


@record
class Row:
    """Longest tap, and the part (one in `one_in`) of the device ahead that it must carry."""

    rule: str
    max_length_ft: float
    one_in: int | None
    ampacity: str
    termination: str
    reference: str
    confirmed: bool


ROWS = (
    Row(
        "10 ft feeder tap",
        10,
        10,
        (
            ">= 1/10 of the feeder overcurrent device and >= load (the 1/10 applies when "
            "tap leaves the enclosure where it is made)"
        ),
        "device(s) or equipment rated for the tap",
        "240.21(B)(1)",
        True,
    ),
    Row(
        "25 ft feeder tap",
        25,
        3,
        ">= 1/3 of the feeder overcurrent device",
        "one breaker or one set of fuses <= tap ampacity",
        "240.21(B)(2)",
        True,
    ),
    Row(
        "tap supplying a transformer",
        25,
        3,
        "primary >= 1/3 of device; secondary x Vsec/Vpri >= 1/3 of device",
        "one breaker or set of fuses",
        "240.21(B)(3)",
        True,
    ),
    Row(
        "high-bay tap",
        100,
        3,
        ">= 1/3 of feeder device",
        "25 ft horizontal limit",
        "240.21(B)(4)",
        False,
    ),
    Row(
        "transformer secondary, 10 ft",
        10,
        10,
        ">= 1/10 of (primary device x Vpri/Vsec) and >= load",
        "device or equipment",
        "240.21(C)(2)",
        False,
    ),
    Row(
        "industrial secondary, 25 ft",
        25,
        None,
        ">= secondary current; sum of devices <= ampacity",
        "grouped overcurrent devices",
        "240.21(C)(3)",
        False,
    ),
    Row(
        "transformer secondary, 25 ft",
        25,
        3,
        "secondary x Vsec/Vpri >= 1/3 of primary device",
        "one breaker or set of fuses",
        "240.21(C)(6)",
        False,
    ),
)
