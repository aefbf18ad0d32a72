"""The calculation sheet: what every load, conductor, device and supply was judged by.

Also what holds stands here, with the figure required, the figure allowed and the table it
is from.  Where a bound holds already (all loads at once, at rated current) the bound is
shown and called so; where it does not, what is required is what a reachable state asks for.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.beyond_wires import BeyondWires
from netcheck.facts.component_values import ohm_is_confirmed
from netcheck.facts.conductor_drops import DropFinder
from netcheck.facts.conductor_sheet import (
    BOUND,
    device_lines,
    equipment_lines,
    grounding_lines,
    listed,
    unsaid,
    wire_lines,
)
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.equipment_protection import EquipmentProtection
from netcheck.facts.fault_currents import FaultCurrents
from netcheck.facts.feeding_ways import FeedingWays
from netcheck.facts.grounding_conductors import GroundingConductors
from netcheck.facts.load_currents import LoadCurrents
from netcheck.facts.motor_overloads import MotorOverloads
from netcheck.facts.part_currents import CONTINUOUS, PartCurrents
from netcheck.facts.protection import Protection
from netcheck.facts.sections import Sections
from netcheck.facts.series_ratings import SeriesRatings
from netcheck.facts.short_circuit_ratings import ShortCircuitRatings
from netcheck.facts.solved_faults import SolvedFaults
from netcheck.facts.source_loading import SourceLoading
from netcheck.facts.voltage_drops import VoltageDrops
from netcheck.facts.wire_currents import WireCurrents
from netcheck.facts.wire_limits import WireLimits
from netcheck.facts.wire_protection import WireProtection
from netcheck.figure import figure
from netcheck.finding import Calculation, Working
from netcheck.model.defaults import DROP_LIMIT
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.rounding import exceeds
from netcheck.states.answers import Reached

LOADS, DROPS, OVERLOADS = "loads", "voltage drop", "motor overloads"
CONTACTS, PROTECTION = "contacts", "breakers and fuses, against their loads"
SUPPLIES, FAULTS = "supplies and transformers", "breakers and fuses, interrupting"
WITHSTANDS = "short-circuit ratings"
MOST_CONDUCTORS = 3
"""Of one load, those that take most; the others are added up."""


@record
class Calculations:
    lines: tuple[Calculation, ...]


@concludes(
    LoadCurrents, CurrentPaths, DropFinder, VoltageDrops, WireCurrents, WireLimits, PartCurrents,
    SourceLoading, FaultCurrents, SolvedFaults, ShortCircuitRatings, SeriesRatings, MotorOverloads,
    EquipmentProtection, GroundingConductors, Protection, Sections, BeyondWires, WireProtection,
    FeedingWays,
)  # fmt: skip
def calculate(view: View) -> Calculations:
    sheet = _Sheet(view)
    return Calculations(
        (
            *sheet.loads(), *sheet.drops(), *wire_lines(view), *device_lines(view),
            *equipment_lines(view), *sheet.protective(), *sheet.overloads(),
            *grounding_lines(view), *sheet.contacts(), *sheet.supplies(), *sheet.faults(),
            *sheet.withstands(),
        )
    )  # fmt: skip


class _Sheet:
    def __init__(self, view: View) -> None:
        self.view = view
        self.panel: Panel = view.panel
        self.paths = view[CurrentPaths]
        self.iec = view[LoadCurrents].iec

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
        for number, (load, bound) in zip(sorted(self.paths.fed), drops.shares, strict=True):
            drop = worse.get(load.name)
            share, solved = (bound, False) if drop is None else (drop.share, drop.exact)
            why = ""
            if drop is None and bound > limit:
                why = "less, solved in the state that costs most"
            holds = drop is None or (None if not isinstance(drop.answer, Reached) else False)
            steps = list(self._lost(number)) if drop is None else [
                Working(f"lost in {self.panel.wire_name(one.wire)}", one.volts, "V",
                        f"{figure(one.current_a, 'A')} x {figure(one.ohm, 'ohm')}")
                for one in drop.conductors[:MOST_CONDUCTORS]
            ]  # fmt: skip
            supplied_v = self.view[DropFinder].supplied_v(number)
            how = "solved in this state" if solved else f"at most: {BOUND}, rated, both ways"
            yield Calculation(
                DROPS, load.name, share * 100, limit * 100, "%", holds,
                (*steps, Working("lost in all", share * supplied_v, "V", how),
                 Working("of", supplied_v, "V", "nominal"),
                 Working("allowed", limit * 100, "%", source, said is not None)), why,
            )  # fmt: skip

    def _lost(self, number: int) -> Iterator[Working]:
        """In the conductors that take most of a load's volts, and in the others."""
        taken = self.view[DropFinder].taken(number)
        for one in taken[:MOST_CONDUCTORS]:
            size, length_m = one.wire.properties.size, one.wire.properties.length_m
            made = f"{size.text if size else ''}, {figure(length_m or 0.0, 'm')}"
            source = f"{figure(one.current_a, 'A')} x {figure(one.ohm, 'ohm')}, {made}"
            name, sure = self.panel.wire_name(one.wire), ohm_is_confirmed(one.wire)
            yield Working(f"in {name}", one.volts, "V", source, sure)
        if rest := taken[MOST_CONDUCTORS:]:
            rest_v = sum(one.volts for one in rest)
            yield Working(f"in {len(rest)} other wires", rest_v, "V", "likewise")

    # ---- devices ---------------------------------------------------------------------------

    def protective(self) -> Iterator[Calculation]:
        share = 1.0 if self.iec else CONTINUOUS
        yield from self._poles(PROTECTION, ("breaker", "fuse"), share)

    def overloads(self) -> Iterator[Calculation]:
        """What each overload is set to against the most its motor allows."""
        from netcheck.tables.motors import overload_max_pct

        for one in self.view[MotorOverloads].motors:
            nameplate_a = one.motor.number("full_load_a")
            for overload in one.overloads:
                what = f"{overload.device.name}, for {one.motor.name}"
                if overload.setting_a is None or one.most_a is None or nameplate_a is None:
                    why = "its setting, or the motor's nameplate current, is not said"
                    yield Calculation(
                        OVERLOADS, what, overload.setting_a, one.most_a, "A", None, (), why
                    )
                    continue
                share = overload_max_pct(one.motor.number("service_factor"), None)
                yield Calculation(
                    OVERLOADS, what, overload.setting_a, one.most_a, "A",
                    not exceeds(overload.setting_a, one.most_a),
                    (Working("set to", overload.setting_a, "A", "as described"),
                     Working("nameplate", nameplate_a, "A", "as described"),
                     share.working),
                )  # fmt: skip

    def contacts(self) -> Iterator[Calculation]:
        yield from self._poles(CONTACTS, (), 1.0)

    def _poles(self, about: str, kinds: tuple[str, ...], share: float) -> Iterator[Calculation]:
        """By device its worst pole: of protective kinds, or with none given its contacts."""
        parts = self.view[PartCurrents]
        too_much = {one.part.index: one for one in (*parts.contacts, *parts.protective)}
        worst: dict[str, Calculation] = {}
        for bound in parts.bounds:
            contact = bound.part.conducts is Conducts.CONTACT
            kind = self.panel.devices[bound.part.device].kind
            if contact == bool(kinds) or (kinds and kind not in kinds):
                continue
            found = too_much.get(bound.part.index)
            needed_a = bound.most_a if found is None else found.needed_a
            decided = found is None or isinstance(found.answer, Reached)
            names = [self.paths.loads[number].name for number in bound.loads]
            how = f"at most: {BOUND}" + (", continuous loads at 125 %" if share > 1 else "")
            why = unsaid(self.paths, bound.loads)
            known = decided and not (why and found is None)
            if found is None and not why and exceeds(bound.most_a, bound.rated_a):
                why = "less in every state that can be"
            one = Calculation(
                about, bound.part.label, needed_a, bound.rated_a, "A",
                found is None if known else None,
                (Working(f"through it, for {listed(names)}", needed_a, "A", how),
                 Working("rated for", bound.rated_a, "A", "as described")), why,
            )  # fmt: skip
            other = worst.get(bound.part.device)
            if other is None or (other.needed or 0) < needed_a:
                worst[bound.part.device] = one
        yield from worst.values()

    def supplies(self) -> Iterator[Calculation]:
        for one in self.view[SourceLoading].sources:
            lacks = next((load.unknown for load in one.loads if load.unknown), "")
            decided = isinstance(one.answer, Reached) or (one.answer is None and not lacks)
            names = [load.name for load in one.loads]
            how = f"at most: {BOUND}" if one.answer is None else "on together"
            yield Calculation(
                SUPPLIES, f"{one.device.name} at {one.pole}", one.needed_a, one.rated_a, "A",
                None if not decided else one.answer is None,
                (Working(f"to {listed(names)}", one.needed_a, "A", how),
                 Working("made for", one.rated_a, "A", "as described")), lacks,
            )  # fmt: skip
        for device in self.view[SourceLoading].unrated:
            why = "it does not say what it is made for"
            yield Calculation(SUPPLIES, device.name, None, None, "A", None, (), why)

    def faults(self) -> Iterator[Calculation]:
        for fault in self.view[FaultCurrents].devices:
            rating_a = self.view[SeriesRatings].interrupts_a(fault.device)
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
