"""Breakers, fuses and disconnects with a slash rating that their system may overstep.

The lower of the two voltages is for a pole against ground, the higher for one line against
another.  A system that nothing grounds may have a line's whole voltage on one pole.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.model.devices import Device, Part, SourcePart
from netcheck.reading.quantities import SystemVoltage, read_quantity
from netcheck.record import record
from netcheck.states.expressions import FALSE
from netcheck.states.stress import NOMINAL, PROTECTIVE, is_slash
from netcheck.states.volts import magnitude


@record
class Slash:
    """The worst that one device meets beyond its slash rating, on a pole and from a source.

    `volts` stand `to_ground` or between lines; without `grounded` they are what the first
    ground fault brings.  Where `grounding_said` is false it is not known whether they are too many.
    """

    pole: Part
    source: str
    rating: str
    least_v: float
    most_v: float
    volts: float
    to_ground: bool
    grounded: bool
    grounding_said: bool


@record
class SlashRatings:
    found: tuple[Slash, ...]


@concludes(Behaviour, CircuitVolts)
def find_slash_ratings(view: View) -> SlashRatings:
    found = []
    for device in view.panel.devices.values():
        if device.kind in PROTECTIVE and is_slash(device) and "spare" not in device.marks:
            worst = max(_beyond(view, device), key=_how_bad, default=None)
            if worst is not None:
                found.append(worst)
    return SlashRatings(tuple(found))


def _beyond(view: View, device: Device) -> list[Slash]:
    rating = read_quantity(str(device.values["rating_text"]))
    assert isinstance(rating, SystemVoltage)
    parts = [view.panel.parts[index] for index in device.parts]
    lines = [(pole, *line) for pole in parts if pole.role == "pole" for line in _lines(view, pole)]
    found = []
    for pole, rail, mark, source in lines:
        volts, grounded, said = _against_ground(view, rail, mark, source)
        made = (rating.text, rating.neutral_v, rating.line_v)
        if volts > rating.neutral_v * NOMINAL:
            found.append(Slash(pole, source.device, *made, volts, True, grounded, said))
        volts = max(
            abs(source.poles[mark] - source.poles[other])
            for _, _, other, same in lines
            if same is source
        )
        if volts > rating.line_v * NOMINAL:
            found.append(Slash(pole, source.device, *made, volts, False, True, True))
    return found


def _lines(view: View, pole: Part) -> Iterator[tuple[int, str, SourcePart]]:
    """The poles of AC sources that can come to a pole of the device."""
    behaviour = view[Behaviour]
    node, circuit = behaviour.node(pole.a), behaviour.circuit
    for rail in circuit.rails_at(node):
        if circuit.from_rail(node, rail) == FALSE:
            continue
        for index, source in enumerate(view.panel.sources):
            for mark in source.poles if source.kind == "AC" else ():
                if behaviour.pole_node(index, mark) == rail:
                    yield rail, mark, source


def _against_ground(
    view: View, rail: int, mark: str, source: SourcePart
) -> tuple[float, bool, bool]:
    """The most a line may have to ground, whether it is grounded, and whether that is said."""
    held = view[CircuitVolts].to_ground(rail)
    if held is not None:
        return magnitude(held), True, True
    if source.grounding == "grounded":
        return abs(source.poles[mark]), True, True
    most = max(abs(source.poles[mark] - there) for there in source.poles.values())
    return most, False, bool(source.grounding)


def _how_bad(slash: Slash) -> tuple[bool, float, float]:
    """What is known before what is not, then by how much it is too much."""
    limit = slash.least_v if slash.to_ground else slash.most_v
    return slash.grounding_said, round(slash.volts / limit, 3), round(slash.volts)
