"""The panel in ohms: wires, loads, sources, transformers and supplies, as they are solved.

Wires at 75 degC from the tables, with the reactance of single conductors in plastic duct on
AC; loads as they draw at their rating, lagging by their power factor; sources by the
short-circuit current they declare.
What the text leaves out is nought or open here and listed, so that whoever leans on a
solution can say what it assumed.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from functools import cache
from itertools import pairwise

from netcheck.case import View, concludes
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort
from netcheck.facts.wire_groups import not_said
from netcheck.model.devices import SourcePart
from netcheck.model.kinds.supplies import SUPPLY_EFFICIENCY
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import record
from netcheck.solve.lags import IN_STEP, Lag, is_wound, lag_of
from netcheck.solve.ratings import Conversion, Coupling, Draw, Holds, Ratings

CONDUCTOR_C = 75.0
TABLES_HZ = 60.0
"""Of the reactances of NEC chapter 9 table 9."""
TRANSFORMER_IMPEDANCE = 0.05
"""Of a small control transformer that says none, of its rated impedance: from memory."""
REGULATION = 0.005
"""What an electronic supply's voltage falls to full load: from memory."""
HELD: dict[str, Holds] = {"motor": "current", "drive": "power", "input": "current"}
"""What loads hold as their voltage falls a little; all others keep their ohm."""


@record
class ComponentValues:
    """`ratings` for the solver; wires (by index) and loads (by name) of which too little is said;
    sentences on what was assumed.  `lags` has by part the range of loads whose power factor is
    not said; `ratings` has these in step with their voltage."""

    ratings: Ratings
    wires_unsaid: tuple[int, ...]
    loads_unsaid: tuple[str, ...]
    assumed: tuple[str, ...]
    lags: Mapping[int, Lag]


@concludes(LoadCurrents)
def find_component_values(view: View) -> ComponentValues:
    panel = view.panel
    ohms = wire_ohms(panel, CONDUCTOR_C)
    known = {index: ohm for index, ohm in ohms.items() if ohm is not None}
    draws: dict[int, Draw] = {}
    for load in view[LoadCurrents].loads:
        draws.update(_draws(load))
    source_ohm = {
        index: available_ohm(panel, source, unsaid_angle=0.0)
        for index, source in enumerate(panel.sources)
        if source.available_a
    }
    for index, source in enumerate(panel.sources):
        if source.current_limited and source.current_a:
            source_ohm[index] = REGULATION * source.volts / source.current_a
    couplings = couplings_of(panel)
    conversions = [
        _conversion(panel, index, source)
        for index, source in enumerate(panel.sources)
        if source.current_limited
    ]
    made = {conversion.input for conversion in conversions}
    made.update(coupling.first for coupling in couplings)
    draws = {index: draw for index, draw in draws.items() if index not in made}
    assumed = []
    transformers = [device for device in panel.devices.values() if device.kind == "transformer"]
    if couplings and any(device.number("impedance") is None for device in transformers):
        assumed.append(f"transformers {TRANSFORMER_IMPEDANCE:.0%} impedance")
    supplies = [panel.devices[panel.sources[one.source].device] for one in conversions]
    if any("input_a" not in supply.values for supply in supplies):
        assumed.append(f"supplies {SUPPLY_EFFICIENCY:.0%} efficient")
    return ComponentValues(
        Ratings(known, draws, source_ohm, couplings, tuple(conversions)),
        tuple(index for index, ohm in ohms.items() if ohm is None),
        tuple(load.name for load in view[LoadCurrents].loads if load.unknown),
        tuple(assumed),
        {index: lag for index in draws if not (lag := _lag(panel, index)).known},
    )


def available_ohm(panel: Panel, source: SourcePart, unsaid_angle: float) -> complex:
    """Of each pole of a source that says what it can give; its angle by its X/R, on AC."""
    assert source.available_a
    ohm = max(map(abs, source.poles.values())) / source.available_a
    if source.kind == "DC":
        return ohm
    ratio = panel.devices[source.device].number("x_to_r")
    return cmath.rect(ohm, unsaid_angle if ratio is None else math.atan(ratio))


def wire_ohms(panel: Panel, temperature_c: float) -> dict[int, complex | None]:
    """By wire, reactance at the panel's frequency: the lowest, which limits a short circuit
    least; 60 Hz where none is said."""
    said = [source.frequency_hz for source in panel.sources if source.frequency_hz]
    share = min(said, default=TABLES_HZ) / TABLES_HZ
    ohms = {wire.index: wire_ohm(wire, temperature_c) for wire in panel.wires}
    if share == 1:
        return ohms
    return {
        index: None if ohm is None else complex(ohm.real, ohm.imag * share)
        for index, ohm in ohms.items()
    }


def wire_ohm(wire: Wire, temperature_c: float) -> complex | None:
    """None where the text or the tables say too little."""
    properties = wire.properties
    if properties.size is None or properties.material is None or properties.length_m is None:
        return None
    per_m = ohm_per_m(properties.size, properties.material, temperature_c)
    return None if per_m is None else per_m * properties.length_m / (properties.parallel or 1)


@cache
def ohm_per_m(size: ConductorSize, material: str, temperature_c: float) -> complex | None:
    """Resistance, and at 60 Hz reactance in plastic duct where the tables have it; None where
    they have neither.  Looked up once for all the wires of one make."""
    from netcheck.tables.lookup import Lookup
    from netcheck.tables.resistance import (
        conductor_reactance_ohm_per_m,
        conductor_resistance_ohm_per_m,
    )

    resistance = conductor_resistance_ohm_per_m(size, material, temperature_c)
    if not isinstance(resistance, Lookup):
        return None
    reactance = conductor_reactance_ohm_per_m(size, steel_conduit=False)
    return complex(resistance.value, reactance.value if isinstance(reactance, Lookup) else 0.0)


def ohm_is_confirmed(wire: Wire) -> bool:
    """Whether the resistance per metre that `wire_ohm` takes was read on a page."""
    from netcheck.tables.lookup import Lookup
    from netcheck.tables.resistance import conductor_resistance_ohm_per_m

    size, metal = wire.properties.size, wire.properties.material
    if size is None or metal is None:
        return False
    found = conductor_resistance_ohm_per_m(size, metal, CONDUCTOR_C)
    return isinstance(found, Lookup) and found.confirmed


def why_no_ohm(wire: Wire) -> str:
    """What `wire_ohm` lacks."""
    from netcheck.tables.lookup import NotTabulated
    from netcheck.tables.resistance import conductor_resistance_ohm_per_m

    size, metal, length_m = (
        wire.properties.size, wire.properties.material, wire.properties.length_m,
    )  # fmt: skip
    if size is not None and metal is not None and length_m is not None:
        looked_up = conductor_resistance_ohm_per_m(size, metal, CONDUCTOR_C)
        assert isinstance(looked_up, NotTabulated)
        return looked_up.reason
    said = (("size", size), ("metal", metal), ("length", length_m))
    return not_said([thing for thing, value in said if value is None])


def _draws(load: LoadCurrent) -> dict[int, Draw]:
    """One for each part; of a three-phase load the branch current is the line's over root three."""
    found = {}
    for part in load.parts:
        assert part.load is not None
        volts = part.load.volts
        if part.load.resistance_ohm and not (is_wound(part.load) and volts and load.current_a):
            found[part.index] = Draw(part.load.resistance_ohm, volts or 1.0)
        elif volts and load.current_a:
            branch_a = load.current_a / (math.sqrt(3) if load.three_phase else 1)
            holds = "current" if load.sort is Sort.MOTOR else HELD.get(part.load.works, "ohm")
            ohm = cmath.rect(volts / branch_a, lag_of(part.load).least)
            found[part.index] = Draw(ohm, volts, holds)
    return found


def couplings_of(panel: Panel) -> tuple[Coupling, ...]:
    """Of every transformer, by the volts that its secondary gives."""
    return tuple(
        coupling
        for source in panel.sources
        if panel.devices[source.device].kind == "transformer"
        for coupling in _couplings(panel, source)
    )


def _lag(panel: Panel, part: int) -> Lag:
    load = panel.parts[part].load
    return IN_STEP if load is None or (load.resistance_ohm and not is_wound(load)) else lag_of(load)


def _couplings(panel: Panel, source: SourcePart) -> list[Coupling]:
    """A single-phase transformer; its poles taken in the order of their potentials."""
    device = panel.devices[source.device]
    if len(source.inputs) != 1:
        return []
    primary_v = device.number("primary_v")
    ends = sorted(source.poles, key=lambda pole: -source.poles[pole].real)
    found = []
    for a, b in pairwise(ends):
        volts = (source.poles[a] - source.poles[b]).real
        rated_ohm = volts / source.current_a if source.current_a else 0.0
        ohm = rated_ohm * (device.number("impedance") or TRANSFORMER_IMPEDANCE) or 1e-3
        first, ratio = source.inputs[0], volts / (primary_v or volts)
        found.append(Coupling(first, f"{source.device}:{a}", f"{source.device}:{b}", ratio, ohm))
    return found


def _conversion(panel: Panel, index: int, source: SourcePart) -> Conversion:
    """Its efficiency is what its rated output is of its rated input."""
    device, fed = panel.devices[source.device], panel.parts[source.inputs[0]].load
    limit_a = device.number("limit_a") or source.current_a
    efficiency = SUPPLY_EFFICIENCY
    if fed is not None and fed.volts and fed.current_a and source.current_a:
        rated_w = source.current_a * sum(map(abs, source.poles.values()))  # three lines of a drive
        efficiency = min(1.0, rated_w / (fed.volts * fed.current_a))
    return Conversion(index, source.inputs[0], limit_a, efficiency)
