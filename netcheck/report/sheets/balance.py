"""How the loads are shared out among the poles of each supply: the legs, and what comes home."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.figure import figure
from netcheck.model.devices import SourcePart
from netcheck.record import record
from netcheck.report.sheets.bench import Bench, named
from netcheck.report.sheets.charts import Bar, Piece, bars
from netcheck.report.sheets.table import Cell, Table

MOST_NAMES = 12


@record
class PoleLoad:
    """What may draw at one pole of a source from outside, each load at its sizing current, A.

    `across` go on to another live pole, `home` to the pole at no potential.
    """

    source: SourcePart
    pole: str
    across: tuple[LoadCurrent, ...]
    home: tuple[LoadCurrent, ...]
    potential: complex

    @property
    def most_a(self) -> float:
        return self.across_a + self.home_a

    @property
    def across_a(self) -> float:
        return sum(load.current_a for load in self.across)

    @property
    def home_a(self) -> float:
        return sum(load.current_a for load in self.home)

    @property
    def unknown(self) -> tuple[str, ...]:
        return tuple(load.name for load in (*self.across, *self.home) if load.unknown)


def pole_loads(bench: Bench) -> Iterator[PoleLoad]:
    """Each pole of each source that comes from outside, in the order of the text."""
    panel, paths = bench.panel, bench.fact(CurrentPaths)
    for source in panel.sources:
        if not source.mechanism:
            continue
        drawing = {
            pole: {
                number
                for wire in panel.wires_at.get(f"{source.device}:{pole}", ())
                for number in paths.loads_on(wire.index)
            }
            for pole in source.poles
        }
        for pole, numbers in drawing.items():
            live = [other for other, volts in source.poles.items() if volts and other != pole]
            across = {n for n in numbers if any(n in drawing[other] for other in live)}
            loads = paths.loads
            yield PoleLoad(
                source,
                pole,
                tuple(loads[n] for n in sorted(across)),
                tuple(loads[n] for n in sorted(numbers - across)),
                source.poles[pole],
            )


def balance(bench: Bench) -> Table:
    found = [one for one in pole_loads(bench) if one.across or one.home]
    by_source: dict[str, list[PoleLoad]] = {}
    for one in found:
        by_source.setdefault(one.source.device, []).append(one)
    rows: list[tuple[Cell, ...]] = []
    for device, poles in by_source.items():
        legs = [one for one in poles if one.potential]
        most_a = max((one.most_a for one in legs), default=0.0)
        for one in poles:
            rows.append(
                (
                    named(bench.panel.devices[device]),
                    one.pole,
                    figure(one.across_a, "A") if one.potential else "",
                    figure(one.home_a, "A") if one.potential else "",
                    figure(one.most_a if one.potential else _returned(legs), "A"),
                    _against(one, most_a),
                    _names(one),
                )
            )
    columns = (
        "source", "pole", "to the other legs", "to neutral", "all at once",
        "against the heaviest leg", "loads to neutral",
    )  # fmt: skip
    notes = (
        "Every load at the current it is sized by, all on at once: an upper bound.",
        "A neutral carries the difference of its legs; the most is all of one leg with the other "
        "off.",
    )
    return Table("balance", "Balance of the legs", columns, tuple(rows), notes,
                 "nothing draws from a source that comes from outside", grouped=True,
                 picture=_chart(found))  # fmt: skip


def _chart(found: list[PoleLoad]) -> str:
    legs = [one for one in found if one.potential]
    shown = [
        Bar(
            f"{one.source.device} {one.pole}",
            (Piece(one.across_a, "close"), Piece(one.home_a, "wide")),
            figure(one.most_a, "A"),
        )
        for one in legs
    ]
    key = (("close", "to the other legs"), ("wide", "to neutral or return"))
    return bars("Balance of the legs", shown, key)


def _returned(legs: list[PoleLoad]) -> float:
    """The most that comes home: of DC all there is, of AC that of the heaviest leg alone."""
    return max((leg.home_a for leg in legs), default=0.0)


def _against(one: PoleLoad, most_a: float) -> str:
    if not one.potential:
        return "comes home"
    return f"{one.most_a / most_a:.0%}" if most_a else ""


def _names(one: PoleLoad) -> str:
    if not one.potential:
        return ""
    names = [load.name for load in one.home]
    more = len(names) - MOST_NAMES
    shown = [*names[: MOST_NAMES - 1], f"{more + 1} more"] if more > 0 else names
    unsaid = f" (not known: {', '.join(one.unknown)})" if one.unknown else ""
    return ", ".join(shown) + unsaid
