"""What takes current and what guards it: loads, protective devices, supplies."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.fault_currents import FaultCurrents
from netcheck.facts.source_loading import SourceLoading
from netcheck.figure import figure
from netcheck.model.devices import Conducts, Part
from netcheck.report.condition_sheet import Line
from netcheck.report.sheets.bench import Bench, named
from netcheck.report.sheets.charts import Bar, Piece, bars
from netcheck.report.sheets.table import Cell, Table
from netcheck.states.answers import Undecided

UNKNOWN = "not said"
OPENS = frozenset(("breaker", "fuse", "overload"))


def load_list(bench: Bench) -> Table:
    """Every load as rated, and when it is energised."""
    sheet, accounts, panel = bench.conditions, bench.accounts, bench.panel
    rows: list[tuple[Cell, ...]] = []
    for load in sheet.loads:
        device, part = panel.devices[load.device], panel.parts[load.parts[0]]
        made = part.load
        assert made is not None
        power_w = _power_w([panel.parts[index] for index in load.parts])
        rows.append(
            (
                accounts.label(load),
                device.description,
                device.kind if part.role in ("winding", "element", "load") else part.role,
                device.location,
                UNKNOWN if made.volts is None else f"{figure(made.volts, 'V')} {made.kind}".strip(),
                UNKNOWN if made.current_a is None else figure(made.current_a, "A"),
                _watts(power_w, made.power_va),
                _in_words(accounts.of(load)),
            )
        )
    columns = ("load", "is", "kind", "where", "volts", "amperes", "power", "on")
    left = sheet.not_decided + sheet.too_large + len(sheet.open)
    notes = tuple(f"{line[0].upper()}{line[1:]}." for line in (*sheet.assumed, *sheet.open))
    return Table("loads", "Loads, and when each is on", columns, tuple(rows), notes, open=left)


def _power_w(parts: Sequence[Part]) -> float | None:
    """Of a three-phase load every part bears the power of the whole."""
    said = [(part.load.power_w, part.load.phases) for part in parts if part.load is not None]
    known = [(power_w, phases) for power_w, phases in said if power_w is not None]
    if not known:
        return None
    return max(known)[0] if any(phases == 3 for _, phases in known) else sum(w for w, _ in known)


def _watts(power_w: float | None, power_va: float | None) -> str:
    if power_w is not None:
        return figure(power_w, "W")
    return UNKNOWN if power_va is None else figure(power_va, "VA")


def _in_words(lines: list[Line]) -> str:
    """Each line of the account, `runs: while ...`; alternatives numbered."""
    told = []
    for line in lines:
        text = f"{line.name}: {line.said.lead}" if line.name else line.said.lead
        for number, alternative in enumerate(line.said.alternatives, 1):
            text += f" ({number}) {alternative}"
        told.append(text)
    return "\n".join(told)


def protection_list(bench: Bench) -> Table:
    """Breakers, fuses and overloads: rating, fault current there, and the loads behind each."""
    panel, paths = bench.panel, bench.fact(CurrentPaths)
    faults = {one.device.name: one for one in bench.fact(FaultCurrents).devices}
    rows: list[tuple[Cell, ...]] = []
    for device in panel.devices.values():
        if device.kind not in OPENS:
            continue
        poles = [part for part in bench.parts_of(device) if part.conducts is Conducts.JOINS]
        numbers = {number for part in poles for number in paths.loads_through(part)}
        loads = [paths.loads[number] for number in sorted(numbers)]
        rated = device.number("setting_a") or device.number("current")
        interrupts, fault = device.number("interrupting_a"), faults.get(device.name)
        rows.append(
            (
                device.name,
                device.description,
                device.kind,
                UNKNOWN if rated is None else figure(rated, "A"),
                str(device.values.get("rating_text", "")),
                _interrupts(device.kind, interrupts),
                "" if fault is None else _fault(fault.most_a, fault.unsaid),
                _amperes(bench, poles),
                ", ".join(load.name for load in loads) or "no load",
            )
        )
    columns = (
        "device", "is", "kind", "rated or set", "volts", "interrupts", "fault current, at most",
        "all loads behind one pole", "protects",
    )  # fmt: skip
    notes = (
        "Fault current is what the sources say is available, without the wire in between.",
        "The amperes of all loads behind the heavier pole, added up: an upper bound, "
        "for they need not all be on together.",
    )
    return Table("protection", "Protective devices", columns, tuple(rows), notes)


def _interrupts(kind: str, interrupts: float | None) -> str:
    if interrupts is not None:
        return figure(interrupts, "A")
    return "" if kind == "overload" else UNKNOWN


def _fault(most_a: float | None, unsaid: tuple[str, ...]) -> str:
    return figure(most_a, "A") if most_a is not None else f"not said by {', '.join(unsaid)}"


def _amperes(bench: Bench, poles: list[Part]) -> str:
    paths = bench.fact(CurrentPaths)
    sums = []
    for part in poles:
        loads = [paths.loads[number] for number in paths.loads_through(part)]
        if any(load.unknown for load in loads):
            return "not known: " + ", ".join(load.name for load in loads if load.unknown)
        sums.append(sum(load.current_a for load in loads))
    return figure(max(sums, default=0.0), "A")


def supply_list(bench: Bench) -> Table:
    """Each supply and transformer: the most that its loads take, and what it is made for."""
    found = bench.fact(SourceLoading)
    rows: list[tuple[Cell, ...]] = []
    left = 0
    for one in found.sources:
        share = one.needed_a / one.rated_a if one.rated_a else 0.0
        undecided = isinstance(one.answer, Undecided)
        left += undecided
        judged = "overloaded" if one.answer else "within its rating"
        verdict = "not decided" if undecided else judged
        rows.append(
            (
                named(one.device),
                one.pole,
                figure(one.rated_a, "A"),
                figure(one.needed_a, "A"),
                f"{share:.0%}",
                verdict,
                ", ".join(f"{load.name} {figure(load.current_a, 'A')}" for load in one.loads),
            )
        )
    rows += [
        (named(device), "", "not said", "", "", "not checked: it says no rating", "")
        for device in found.unrated
    ]
    left += len(found.unrated)
    columns = ("supply", "pole", "rated", "most taken", "share", "verdict", "by")
    notes = ("Loads as rated; all that some state feeds are added up, or where that is too much, "
             "the heaviest set that a state has on together.",)  # fmt: skip
    empty = "no supply or transformer of its own"
    return Table("supplies", "Loading of supplies", columns, tuple(rows), notes, empty, open=left,
                 picture=_chart(found))  # fmt: skip


def _chart(found: SourceLoading) -> str:
    """Each supply in shares of its own rating: amperes at 24 V and at 120 V are not compared."""
    shown = [
        Bar(
            named(one.device),
            (Piece(one.needed_a / one.rated_a, "close"),),
            f"{figure(one.needed_a, 'A')} of {figure(one.rated_a, 'A')}",
            1.0,
        )
        for one in found.sources
        if one.rated_a
    ]
    return bars("Loading of supplies", shown, (("close", "most taken"), ("limit", "rated")))
