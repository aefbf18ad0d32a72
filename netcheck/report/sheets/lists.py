"""Lists to build from: devices, wires, what is cut from which reel, terminals, fuses, spares."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.figure import figure
from netcheck.model.devices import Conducts, Device, device_of, mark_of
from netcheck.model.wires import Wire
from netcheck.reading.units import UNIT_TABLE
from netcheck.report.sheets.bench import Bench, named
from netcheck.report.sheets.ratings import ratings
from netcheck.report.sheets.table import Cell, Table, natural

STRIPS = frozenset(("strip", "terminal", "grounding bar", "neutral bar"))
UNKNOWN = "not said"


def device_list(bench: Bench) -> Table:
    rows: list[tuple[Cell, ...]] = []
    for device in bench.panel.devices.values():
        low, high = device.values.get("accepts_low"), device.values.get("accepts_high")
        rows.append(
            (
                device.name,
                device.description,
                device.kind,
                device.location,
                ratings(device, bench.parts_of(device)),
                f"{low} to {high}" if low and high else "",
                _torque(bench, device),
            )
        )
    rows.sort(key=lambda row: natural(str(row[0])))
    columns = ("device", "is", "kind", "where", "made for", "wire its terminals take", "torque")
    return Table("devices", "Devices", columns, tuple(rows))


def _torque(bench: Bench, device: Device) -> str:
    """In the unit of the panel's practice; the text may say either."""
    newton_metres = device.number("torque_nm")
    if newton_metres is None:
        return ""
    if bench.panel.settings.practice.iec:
        return figure(newton_metres, "N m")
    pound_inch = UNIT_TABLE["lb-in"]
    inches = newton_metres * pound_inch.denominator / pound_inch.numerator
    return figure(round(inches, 3), "lb-in")


def wire_list(bench: Bench) -> Table:
    """By run and reel: what lies in the panel by its wire kind, then each cable."""
    rows = [_wire_row(wire) for wire in sorted(bench.panel.wires, key=_by_run)]
    columns = ("run", "wire", "from", "to", "size", "colour", "length, m", "kind", "fitted")
    notes = ("The length is what the text says: cut it longer by what bends and ends take.",)
    return Table("wires", "Wires", columns, tuple(rows), notes, ticks=frozenset((8,)),
                 grouped=True, shared=(4, 7))  # fmt: skip


def _by_run(wire: Wire) -> tuple[object, ...]:
    """What is cut from one reel stands together."""
    run = bool(wire.cable), natural(wire.cable or wire.kind)
    reel = natural(str(wire.properties.size or "")), _made_of(wire)
    return (*run, *reel, natural(wire.number), wire.index)


def run_of(wire: Wire) -> str:
    """The cable it is a core of, or its wire kind."""
    return f"cable {wire.cable}" if wire.cable else f"wire kind {wire.kind}" if wire.kind else ""


def _wire_row(wire: Wire) -> tuple[Cell, ...]:
    size = str(wire.properties.size) if wire.properties.size else UNKNOWN
    length = wire.properties.length_m
    return (
        run_of(wire),
        wire.number or "no number",
        wire.a,
        wire.b,
        size,
        wire.properties.colour or "",
        UNKNOWN if length is None else _plain(length),
        _made_of(wire),
        "",
    )


def _plain(metres: float) -> float:
    """To the millimetre; `2`, not `2.0`."""
    return int(metres) if metres == int(metres) else round(metres, 3)


def _made_of(wire: Wire) -> str:
    said = wire.properties
    volts = "" if said.voltage_v is None else figure(said.voltage_v, "V")
    return " ".join(word for word in (said.material, said.insulation, volts) if word)


def reel_list(bench: Bench) -> Table:
    """How much of each wire there is in all; cables by their cores' longest."""
    total: dict[tuple[str, str, str], list[float | None]] = {}
    for wire in bench.panel.wires:
        if not wire.cable:
            size = str(wire.properties.size) if wire.properties.size else UNKNOWN
            key = (size, wire.properties.colour or UNKNOWN, _made_of(wire))
            total.setdefault(key, []).append(wire.properties.length_m)
    rows: list[tuple[Cell, ...]] = []
    for (size, colour, kind), lengths in sorted(total.items()):
        unsaid = lengths.count(None)
        metres = _plain(sum(length or 0 for length in lengths))
        rows.append((size, colour, kind, len(lengths), metres, unsaid or ""))
    for cable in bench.panel.cables.values():
        size = str(cable.properties.size) if cable.properties.size else UNKNOWN
        length = cable.properties.length_m
        kind = f"cable {cable.name}, {cable.cores} cores"
        metres_said: Cell = UNKNOWN if length is None else _plain(length)
        rows.append((size, cable.properties.colour or "", kind, 1, metres_said, ""))
    columns = ("size", "colour", "kind", "pieces", "metres in all", "pieces of unsaid length")
    return Table("reels", "What to cut from which reel", columns, tuple(rows))


def terminal_list(bench: Bench) -> Table:
    """Each terminal of a strip or bar with what lands on either side of it."""
    rows: list[tuple[Cell, ...]] = []
    for device in bench.panel.devices.values():
        if device.kind in STRIPS:
            rows += [_terminal_row(bench, device, name) for name in device.terminals]
    columns = ("strip", "terminal", "panel side", "field side", "bridged to", "wires")
    notes = ("Field side: cores of cables, and wires to what is not in the panel.",)
    return Table(
        "terminals", "Terminal strips, both sides", columns, tuple(rows), notes, grouped=True
    )


def _terminal_row(bench: Bench, device: Device, name: str) -> tuple[Cell, ...]:
    sides: dict[bool, list[str]] = {False: [], True: []}
    wires = bench.panel.wires_at.get(name, ())
    for wire in wires:
        other = wire.b if wire.a == name else wire.a
        at_home = bench.inside(device) == bench.inside(bench.panel.devices[device_of(other)])
        sides[bool(wire.cable) or not at_home].append(f"{wire.number or 'no number'} to {other}")
    bridged = [
        mark_of(part.b if part.a == name else part.a)
        for part in bench.panel.parts_at.get(name, ())
        if part.conducts in (Conducts.JOINS, Conducts.BOND)
    ]
    return (
        device.name,
        mark_of(name),
        "; ".join(sides[False]),
        "; ".join(sides[True]),
        ", ".join(bridged),
        len(wires),
    )


def fuse_list(bench: Bench) -> Table:
    """Every fuse fitted; as many again of each sort to keep is for whoever keeps them to say."""
    fuses = [device for device in bench.panel.devices.values() if device.kind == "fuse"]
    sorts: dict[tuple[str, str, str, str], list[str]] = {}
    for device in fuses:
        amperes = device.number("current")
        kind = device.values.get("class", "")
        volts = f"{device.values.get('rating_text', '')} {device.values.get('rating_kind', '')}"
        interrupts = device.number("interrupting_a")
        key = (
            UNKNOWN if amperes is None else figure(amperes, "A"),
            str(kind),
            volts.strip() or UNKNOWN,
            UNKNOWN if interrupts is None else figure(interrupts, "A"),
        )
        poles = int(device.number("poles") or 1)
        sorts.setdefault(key, []).append(
            f"{named(device)}, {device.location}" + (f" ({poles} pieces)" if poles > 1 else "")
        )
    rows = [
        (*key, len(where), "; ".join(where), "")
        for key, where in sorted(sorts.items(), key=lambda item: natural(item[0][0]))
    ]
    columns = ("fuse", "class", "volts", "interrupts", "holders", "where", "spares kept")
    return Table("fuses", "Fuses", columns, tuple(rows), empty="no fuses", ticks=frozenset((6,)))


def spare_list(bench: Bench) -> Table:
    """What is there and not used: contacts, inputs, cores, terminals."""
    rows = tuple(_spares(bench))
    columns = ("where", "spare", "said to be spare")
    return Table("spares", "Spares", columns, rows, empty="nothing is spare")


def _spares(bench: Bench) -> Iterator[tuple[Cell, ...]]:
    panel = bench.panel
    used = panel.wires_at
    for device in panel.devices.values():
        for part in bench.parts_of(device):
            contact = part.conducts is Conducts.CONTACT and not part.inside
            if part.spare or (contact and part.a not in used and part.b not in used):
                pair = f"{mark_of(part.a)}-{mark_of(part.b)}"
                yield device.name, f"{part.role} {pair}", "yes" if part.spare else "no"
        if device.kind in STRIPS:
            free = [mark_of(name) for name in device.terminals if name not in used]
            if free:
                yield device.name, f"terminals {', '.join(free)}", ""
    for cable in panel.cables.values():
        cores = {wire.number.rpartition(".")[2] for wire in panel.wires if wire.cable == cable.name}
        free = [str(core) for core in range(1, cable.cores + 1) if str(core) not in cores]
        if free:
            spare = "yes" if cable.spare.issuperset(free) else "no"
            yield f"cable {cable.name}", f"cores {', '.join(free)}", spare
