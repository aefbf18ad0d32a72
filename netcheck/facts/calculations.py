"""The calculation sheet: what every load, conductor, device and supply was judged by.

Also what holds stands here, with the figure required, the figure allowed and the table it
is from.  Where a bound holds already (all loads at once, at rated current) the bound is
shown and called so; where it does not, what is required is what a reachable state asks for.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.fault_currents import FaultCurrents
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort
from netcheck.facts.part_currents import CONTINUOUS, PartCurrents
from netcheck.facts.short_circuit_ratings import ShortCircuitRatings
from netcheck.facts.solved_faults import SolvedFaults
from netcheck.facts.source_loading import SourceLoading
from netcheck.facts.voltage_drops import VoltageDrops
from netcheck.facts.wire_currents import SHARE, WireCurrents
from netcheck.facts.wire_limits import WireLimit, WireLimits
from netcheck.finding import Calculation, Working
from netcheck.model.defaults import DROP_LIMIT
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.rounding import exceeds
from netcheck.states.answers import Reached

LOADS, DROPS, WIRES = "loads", "voltage drop", "conductors"
CONTACTS, PROTECTION = "contacts", "breakers and fuses, against their loads"
SUPPLIES, FAULTS = "supplies and transformers", "breakers and fuses, interrupting"
WITHSTANDS = "short-circuit ratings"
BOUND = "all its loads at once"
MOST_WIRES = 6
"""Named in one line of the sheet."""


@record
class Calculations:
    lines: tuple[Calculation, ...]


@concludes(
    LoadCurrents, CurrentPaths, VoltageDrops, WireCurrents, WireLimits, PartCurrents,
    SourceLoading, FaultCurrents, SolvedFaults, ShortCircuitRatings,
)  # fmt: skip
def calculate(view: View) -> Calculations:
    sheet = _Sheet(view)
    return Calculations(
        (
            *sheet.loads(), *sheet.drops(), *sheet.wires(), *sheet.protective(),
            *sheet.contacts(), *sheet.supplies(), *sheet.faults(), *sheet.withstands(),
        )
    )  # fmt: skip


class _Sheet:
    def __init__(self, view: View) -> None:
        self.view = view
        self.panel: Panel = view.panel
        self.paths = view[CurrentPaths]
        self.iec = view[LoadCurrents].iec
        self.unknown = {n for n, load in enumerate(self.paths.loads) if load.unknown}

    def loads(self) -> Iterator[Calculation]:
        for load in self.view[LoadCurrents].loads:
            known = None if load.unknown else load.current_a
            steps = () if load.unknown else (load.working,)
            yield Calculation(LOADS, load.name, known, None, "A", None, steps, load.unknown)

    def drops(self) -> Iterator[Calculation]:
        """Shares of the voltage at the load, in per cent."""
        drops, said = self.view[VoltageDrops], self.panel.settings.drop_limit
        limit = DROP_LIMIT if said is None else said
        source = "drop limit, " + ("taken where none is said" if said is None else "as described")
        worse = {drop.load.name: drop for drop in drops.drops}
        for load, bound in drops.shares:
            drop = worse.get(load.name)
            if drop is None and bound > limit:
                how, share = "less, solved in the state that costs most", limit
            elif drop is None:
                how, share = f"at most: {BOUND}, rated, both ways", bound
            else:
                how, share = "solved" if drop.exact else "sum of rated currents", drop.share
            holds = drop is None or (None if not isinstance(drop.answer, Reached) else False)
            yield Calculation(
                DROPS, load.name, share * 100, limit * 100, "%", holds,
                (Working("lost in its conductors", share * 100, "%", how),
                 Working("allowed", limit * 100, "%", source)),
            )  # fmt: skip

    # ---- conductors ------------------------------------------------------------------------

    def wires(self) -> Iterator[Calculation]:
        """Wires of one size, one limit and the same loads stand in one line."""
        currents = self.view[WireCurrents]
        over = {overload.wire.index: overload for overload in currents.overloads}
        missing = {wire.index: reason for wire, reason in currents.missing}
        missing |= {wire.index: "not looked at, after so many others" for wire in currents.left}
        bounds_a = self.paths.bounds_a([self._most_a(load) for load in self.paths.loads])
        groups: dict[object, list[Wire]] = {}
        for wire in self.panel.wires:
            if wire.index in bounds_a:
                limit = self.view[WireLimits].of(wire)
                told = limit if isinstance(limit, str) else (limit.size.text, limit.steady)
                reason, loads = missing.get(wire.index, ""), self.paths.loads_on(wire.index)
                key = told, loads, wire.index if wire.index in over else reason
                groups.setdefault(key, []).append(wire)
        for wires in groups.values():
            first = wires[0]
            limit, overload = self.view[WireLimits].of(first), over.get(first.index)
            bound_a = max(bounds_a[wire.index] for wire in wires)
            why = missing.get(first.index, limit if isinstance(limit, str) else "")
            why = why or self._unsaid(self.paths.loads_on(first.index))
            if isinstance(limit, str):
                yield Calculation(WIRES, self._called(wires), bound_a, None, "A", None, (), why)
                continue
            needed_a = overload.needed_a if overload is not None else bound_a
            decided = overload is None or isinstance(overload.answer, Reached)
            allowed = overload.allowed if overload is not None else limit.steady
            holds = None if why or not decided else overload is None
            if overload is None and bound_a > allowed.current_a and not why:
                why = "less in every state that can be, or held by the 125 % of continuous loads"
            yield Calculation(
                WIRES, f"{self._called(wires)}, {limit.size.text}", needed_a, allowed.current_a,
                "A", holds, tuple(self._wire_working(first, limit, bound_a)), why,
            )  # fmt: skip

    def _wire_working(self, wire: Wire, limit: WireLimit, bound_a: float) -> Iterator[Working]:
        names = [self.paths.loads[number].name for number in self.paths.loads_on(wire.index)]
        counted = "" if self.iec else ", continuous loads and motors at 125 %"
        yield Working(f"required, for {_listed(names)}", bound_a, "A", f"at most: {BOUND}{counted}")
        yield from limit.steady.working
        yield Working("it may carry", limit.steady.current_a, "A", limit.steady.governed_by)

    def _unsaid(self, numbers: tuple[int, ...]) -> str:
        """Of loads whose current is not known: what stands for them is less than they draw."""
        unsaid = self.unknown.intersection(numbers)
        return self.paths.loads[min(unsaid)].unknown if unsaid else ""

    def _most_a(self, load: LoadCurrent) -> float:
        counted = load.sort in (Sort.MOTOR, Sort.CONTINUOUS) and not self.iec
        return load.current_a * (SHARE if counted else 1.0)

    def _called(self, wires: list[Wire]) -> str:
        names = list(dict.fromkeys(self.panel.wire_name(wire) for wire in wires))
        return _listed(names)

    # ---- devices ---------------------------------------------------------------------------

    def protective(self) -> Iterator[Calculation]:
        share = 1.0 if self.iec else CONTINUOUS
        yield from self._poles(PROTECTION, ("breaker", "fuse"), share)

    def contacts(self) -> Iterator[Calculation]:
        yield from self._poles(CONTACTS, (), 1.0)

    def _poles(self, about: str, kinds: tuple[str, ...], share: float) -> Iterator[Calculation]:
        """By device its worst pole; protective kinds, or with none given all others."""
        parts = self.view[PartCurrents]
        too_much = {one.part.index: one for one in (*parts.contacts, *parts.protective)}
        worst: dict[str, Calculation] = {}
        for bound in parts.bounds:
            kind = self.panel.devices[bound.part.device].kind
            if (kind in kinds) != bool(kinds):
                continue
            found = too_much.get(bound.part.index)
            needed_a = bound.most_a if found is None else found.needed_a
            decided = found is None or isinstance(found.answer, Reached)
            names = [self.paths.loads[number].name for number in bound.loads]
            how = f"at most: {BOUND}" + (", continuous loads at 125 %" if share > 1 else "")
            why = self._unsaid(bound.loads)
            known = decided and not (why and found is None)
            if found is None and not why and exceeds(bound.most_a, bound.rated_a):
                why = "less in every state that can be"
            one = Calculation(
                about, bound.part.label, needed_a, bound.rated_a, "A",
                found is None if known else None,
                (Working(f"through it, for {_listed(names)}", needed_a, "A", how),
                 Working("rated for", bound.rated_a, "A", "as described")), why,
            )  # fmt: skip
            other = worst.get(bound.part.device)
            if other is None or (other.needed or 0) < needed_a:
                worst[bound.part.device] = one
        yield from worst.values()

    def supplies(self) -> Iterator[Calculation]:
        for one in self.view[SourceLoading].sources:
            unsaid = next((load.unknown for load in one.loads if load.unknown), "")
            decided = isinstance(one.answer, Reached) or (one.answer is None and not unsaid)
            names = [load.name for load in one.loads]
            how = f"at most: {BOUND}" if one.answer is None else "on together"
            yield Calculation(
                SUPPLIES, f"{one.device.name} at {one.pole}", one.needed_a, one.rated_a, "A",
                None if not decided else one.answer is None,
                (Working(f"to {_listed(names)}", one.needed_a, "A", how),
                 Working("made for", one.rated_a, "A", "as described")), unsaid,
            )  # fmt: skip
        for device in self.view[SourceLoading].unrated:
            why = "it does not say what it is made for"
            yield Calculation(SUPPLIES, device.name, None, None, "A", None, (), why)

    def faults(self) -> Iterator[Calculation]:
        for fault in self.view[FaultCurrents].devices:
            rating_a = fault.device.number("interrupting_a")
            solved = self.view[SolvedFaults].devices.get(fault.device.name)
            steps = []
            if fault.most_a is not None:
                steps.append(Working("available, wire left out", fault.most_a, "A", "at most"))
            if solved is not None:
                infinite_a, most_a = solved.infinite_bus_a, solved.with_source_a
                steps.append(
                    Working("behind an infinite bus", infinite_a, "A", "solved, cold wire")
                )
                steps.append(Working("with its source", most_a, "A", "solved, cold wire"))
            needed_a = fault.most_a if solved is None else solved.with_source_a
            holds, why = None, ""
            if rating_a is None or needed_a is None:
                why = "what it can interrupt, or what is available, is not said"
            elif needed_a <= rating_a:
                holds = True
            elif fault.least_a > rating_a:
                holds, needed_a = False, fault.least_a
            else:
                why = "between what flows at least and at most"
            yield Calculation(
                FAULTS, fault.device.name, needed_a, rating_a, "A", holds, tuple(steps), why
            )

    def withstands(self) -> Iterator[Calculation]:
        for one in self.view[ShortCircuitRatings].parts:
            yield Calculation(
                WITHSTANDS, one.device.name, one.available_a, one.withstand_a, "A",
                not one.too_small,
                (Working(f"available at {one.ahead}", one.available_a, "A", "at most"),
                 Working("withstands", one.withstand_a, "A", one.said)),
            )  # fmt: skip


def _listed(names: list[str]) -> str:
    shown = names if len(names) <= MOST_WIRES else names[: MOST_WIRES - 1]
    more = f" and {len(names) - len(shown)} more" if len(shown) < len(names) else ""
    return ", ".join(shown) + more
