"""Which symbols a drawing uses, what each stands for, and where its standard has it.

Items of IEEE Std 315-1975 and numbers of IEC 60617 (with that of its database), all from
memory: nobody here read either.  Where no item is remembered the shape is that of common
practice, and said to be.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.model.devices import Conducts, Device, Drive, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.report.drawing.figures import Sheet
from netcheck.report.drawing.symbols import MUSHROOM, PUSHED, SENSED, TURNED, symbol

PRACTICE = "common practice, no item remembered"


@record
class Clause:
    """What a symbol stands for, and its item in either standard."""

    words: str
    ieee: str = PRACTICE
    iec: str = PRACTICE


CLAUSES = {
    "contact, open": Clause("contact that closes", "4.3", "07-02-01 (S00227)"),
    "contact, closed": Clause("contact that opens", "4.3", "07-02-03 (S00229)"),
    "timed, open": Clause("contact that closes with delay", "4.16", "07-05 (S00243 and on)"),
    "timed, closed": Clause("contact that opens with delay", "4.16", "07-05 (S00243 and on)"),
    "pole, open": Clause("main pole of a contactor", "4.3", "07-13-02 (S00284)"),
    "pole, closed": Clause("main pole of a contactor that opens", "4.3", "07-13-04 (S00286)"),
    "pushed, open": Clause("button that closes", "4.7", "07-07-02 (S00254)"),
    "pushed, closed": Clause("button that opens", "4.7", "07-07-02 with 07-02-03"),
    "mushroom, open": Clause("mushroom button that closes", iec="07-07-06 with 07-02-01"),
    "mushroom, closed": Clause("emergency stop, pull cord", iec="07-07-06 (S00258)"),
    "turned, open": Clause("selector or switch, open", "4.13, 4.6", "07-07-04 (S00256)"),
    "turned, closed": Clause("selector or switch, closed", "4.13, 4.6", "07-07-04 (S00256)"),
    "limit, open": Clause("limit switch that closes", "4.14", "07-08-01 (S00259)"),
    "limit, closed": Clause("limit switch that opens", "4.14", "07-08-02 (S00260)"),
    "float, open": Clause("float switch that closes", "4.18", "02-14-01 with 07-02-01"),
    "float, closed": Clause("float switch that opens", "4.18", "02-14-01 with 07-02-03"),
    "heat, open": Clause("temperature switch that closes", "4.20", "07-09-01 (S00263)"),
    "heat, closed": Clause("temperature switch that opens", "4.20", "07-09-02 (S00264)"),
    "pressure, open": Clause("pressure switch that closes", "4.19", "02-13 with 07-02-01"),
    "pressure, closed": Clause("pressure switch that opens", "4.19", "02-13 with 07-02-03"),
    "flow, open": Clause("flow switch that closes", "4.17", "02-14-03 with 07-02-01"),
    "flow, closed": Clause("flow switch that opens", "4.17", "02-14-03 with 07-02-03"),
    "trip, open": Clause("contact of an overload that closes", "4.3", "07-09 with 07-02-01"),
    "trip, closed": Clause("contact of an overload that opens", "4.3", "07-09-03 (S00265)"),
    "output": Clause("electronic output"),
    "one way": Clause("diode", "8.5", "05-03-01 (S00641)"),
    "coil": Clause("coil of a relay or contactor", "4.5", "07-15-01 (S00305)"),
    "valve": Clause("solenoid valve", iec="06-08 with 02-13-23"),
    "lamp": Clause("signal lamp", "11.2", "08-10-01 (S00965)"),
    "horn": Clause("horn or buzzer", "10.1", "08-10-05 (S00969)"),
    "motor": Clause("motor", "13.1", "06-04-01 (S00819)"),
    "heater": Clause("heater", "2.1", "04-01-12 (S00566)"),
    "resistor": Clause("resistor", "2.1", "04-01-01 (S00555)"),
    "load": Clause("another load, by its name"),
    "fuse": Clause("fuse", "9.1", "07-21-01 (S00362)"),
    "breaker": Clause("circuit breaker", "9.4", "07-13-05 (S00287)"),
    "disconnect": Clause("disconnect", "4.6", "07-13-06 (S00288)"),
    "overload": Clause("overload, in the line", "4.30", "07-15-21 (S00325)"),
    "joint": Clause("another device that joins, by its name"),
}


@record
class Entry:
    """A symbol as the panel's practice draws it; `item` is in its standard, from memory."""

    sort: str
    svg: str
    words: str
    item: str


def sort_of(panel: Panel, device: Device, part: Part) -> str:
    """The key of `CLAUSES` for one part."""
    if part.conducts is Conducts.CONTACT:
        return _contact(panel, device, part)
    if part.conducts is Conducts.ONE_WAY:
        return "one way"
    if part.load is not None:
        return part.load.works if part.load.works in CLAUSES else "load"
    return device.kind if device.kind in CLAUSES else "joint"


def _contact(panel: Panel, device: Device, part: Part) -> str:
    mechanism = panel.mechanisms.get(part.mechanism)
    drive = mechanism.drive if mechanism is not None else None
    if drive is Drive.OUTPUT:
        return "output"
    sort = "contact"
    if device.kind in PUSHED:
        sort = "pushed"
    elif device.kind in MUSHROOM:
        sort = "mushroom"
    elif device.kind in SENSED:
        sort = SENSED[device.kind]
    elif device.kind in TURNED:
        sort = "turned"
    elif drive in (Drive.ON_DELAY, Drive.OFF_DELAY):
        sort = "timed"
    elif part.role == "main pole":
        sort = "pole"
    elif device.kind == "overload":
        sort = "trip"
    return f"{sort}, {'closed' if 0 in part.closed else 'open'}"


def entries(panel: Panel, sheets: Iterable[Sheet]) -> list[Entry]:
    """One for each symbol that is drawn, in the order of the list above."""
    found: dict[str, str] = {}
    for shape in (shape for sheet in sheets for shape in sheet.shapes):
        index = shape.pictured if shape.part is None else shape.part
        if index is not None:
            part = panel.parts[index]
            device = panel.devices[part.device]
            found.setdefault(sort_of(panel, device, part), symbol(panel, device, part))
    iec = panel.settings.practice.iec
    return [
        Entry(sort, found[sort], clause.words, clause.iec if iec else clause.ieee)
        for sort, clause in CLAUSES.items()
        if sort in found
    ]


def standard_of(panel: Panel) -> str:
    """Whose symbols the panel's practice draws."""
    return "IEC 60617" if panel.settings.practice.iec else "IEEE Std 315"
