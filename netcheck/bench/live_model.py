"""A panel as the page's own engine takes it: plain lists and numbers, everything by its place.

What moves when is worked out on the page; here stands only what is there: terminals, wires,
parts with the positions they conduct in, coils and what they move, sources, ratings.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from netcheck.bench.cold_ohms import Sort, cold_ohms
from netcheck.bench.standing import IDLE_OHM
from netcheck.facts.component_values import ComponentValues
from netcheck.facts.sections import is_protective, rating_of
from netcheck.model.devices import Conducts, Device, Drive, Mechanism, Part, SourcePart
from netcheck.model.let_go import rests_at
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.record import record
from netcheck.solve.coil_verdicts import DROPS_OUT
from netcheck.solve.ratings import Draw
from netcheck.states.expressions import FALSE, Logic
from netcheck.states.grid import Grid

Plain = dict[str, Any]


@record
class Places:
    """Where things stand in the lists: terminals, devices and mechanisms by their names."""

    terminals: Mapping[str, int]
    devices: Mapping[str, int]
    mechanisms: Mapping[str, int]

    def mechanism(self, name: str) -> int:
        return self.mechanisms[name] if name else -1


def live_model(panel: Panel, numbers: ComponentValues) -> Plain:
    """The whole model, ready for `json.dumps`.  Volts, amperes, ohms; complex ones as pairs."""
    places = Places(
        {name: at for at, name in enumerate(panel.terminals)},
        {name: at for at, name in enumerate(panel.devices)},
        {name: at for at, name in enumerate(panel.mechanisms)},
    )
    ratings = numbers.ratings
    ohms = ratings.wire_ohm
    grid = Grid(panel, find_nodes(panel), lambda part: FALSE, Logic())
    return {
        "terminals": list(panel.terminals),
        "devices": [_device(panel, device) for device in panel.devices.values()],
        "wires": [
            {
                "n": wire.index,
                "a": places.terminals[wire.a],
                "b": places.terminals[wire.b],
                "label": panel.wire_name(wire),
                "ohm": _pair(ohms.get(wire.index, 0j)),
            }
            for wire in panel.wires
        ],
        "parts": [
            _part(panel, places, part, ratings.draws.get(part.index), grid.one_way(part))
            for part in panel.parts
        ],
        "sources": [
            _source(places, source, ratings.source_ohm.get(index, 0j))
            for index, source in enumerate(panel.sources)
        ],
        "mechanisms": [
            _mechanism(panel, places, mechanism) for mechanism in panel.mechanisms.values()
        ],
        "interlocks": [[places.mechanisms[name] for name in group] for group in panel.interlocks],
        "couplings": [
            {
                "first": one.first,
                "c": places.terminals[one.second_a],
                "d": places.terminals[one.second_b],
                "ratio": one.ratio,
                "ohm": _pair(one.ohm),
            }
            for one in ratings.couplings
        ],
        "conversions": [
            {
                "source": one.source,
                "input": one.input,
                "limit": one.limit_a,
                "efficiency": one.efficiency,
                "idle": one.idle_w,
            }
            for one in ratings.conversions
        ],
        "idleOhm": IDLE_OHM,
        "assumptions": [one.words for one in panel.assumptions],
    }


def _pair(value: complex) -> list[float]:
    value = complex(value)
    return [value.real, value.imag]


def _device(panel: Panel, device: Device) -> Plain:
    return {
        "name": device.name,
        "kind": device.kind,
        "said": device.description,
        "at": device.location,
        "parts": list(device.parts),
    }


def _part(panel: Panel, places: Places, part: Part, draw: Draw | None, one_way: bool) -> Plain:
    return {
        "device": places.devices[part.device],
        "label": part.label,
        "role": part.role,
        "a": places.terminals[part.a],
        "b": places.terminals[part.b],
        "conducts": part.conducts.value,
        "m": places.mechanism(part.mechanism),
        "closed": sorted(part.closed),
        "oneWay": one_way,
        "spare": part.spare,
        "load": _load(panel, part),
        "draw": None if draw is None else _draw(draw),
        "leak": _leak_ohm(panel, part),
        "cold": _cold(panel, part),
        "opens": is_protective(panel.devices[part.device], part),
        "rating": rating_of(panel.devices[part.device]),
    }


def _load(panel: Panel, part: Part) -> Plain | None:
    load = part.load
    if load is None:
        return None
    drops = panel.devices[part.device].number("coil_drop_out_v")
    kind = load.kind or "DC"
    return {
        "works": load.works,
        "volts": load.volts,
        "kind": load.kind,
        "polarised": load.polarised,
        "low": load.low,
        "high": load.high,
        "phases": load.phases,
        "drops": drops or (load.volts or 0.0) * DROPS_OUT.get(kind, 0.1),
    }


def _draw(draw: Draw) -> Plain:
    return {
        "ohm": _pair(draw.ohm),
        "volts": draw.volts,
        "holds": draw.holds,
        "least": draw.least_share,
    }


def _cold(panel: Panel, part: Part) -> Plain | None:
    """What an ohmmeter finds in a load: its ohm, `winding` for a few unknown ones, or nothing."""
    if part.load is None or part.a == part.b:
        return None
    told = cold_ohms(panel, part)
    sort = "nothing" if told.sort is Sort.ELECTRONIC else told.sort.value
    return {"sort": sort, "ohm": told.part_ohm, "words": told.words}


def _leak_ohm(panel: Panel, part: Part) -> float | None:
    """Of an electronic output that is off."""
    if part.conducts is not Conducts.CONTACT or not part.mechanism:
        return None
    leakage_a = part.number("leakage_a") or panel.devices[part.device].number("leakage_a")
    if not leakage_a:
        return None
    volts = part.volts or max((source.volts for source in panel.sources), default=0.0)
    return volts / leakage_a


def _source(places: Places, source: SourcePart, ohm: complex) -> Plain:
    return {
        "device": places.devices[source.device],
        "poles": [
            {"t": places.terminals[f"{source.device}:{pole}"], "v": _pair(volts)}
            for pole, volts in source.poles.items()
        ],
        "basis": source.basis,
        "kind": source.kind,
        "m": places.mechanism(source.mechanism),
        "run": places.mechanism(source.run),
        "inputs": list(source.inputs),
        "ohm": _pair(ohm),
        "grounded": places.terminals.get(f"{source.device}:{source.grounded_pole}", -1),
    }


def _mechanism(panel: Panel, places: Places, mechanism: Mechanism) -> Plain:
    device = panel.devices[mechanism.device]
    return {
        "name": mechanism.name,
        "device": places.devices[mechanism.device],
        "drive": mechanism.drive.value,
        "positions": list(mechanism.positions),
        "steps": list(mechanism.steps),
        "resting": sorted(mechanism.resting),
        "coils": list(mechanism.coils),
        "held": mechanism.held,
        "economised": bool(device.values.get("coil_economised")),
        "first": 1 if mechanism.drive is Drive.PROTECTION else rests_at(panel, mechanism),
    }
