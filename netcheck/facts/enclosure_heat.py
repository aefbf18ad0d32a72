"""The heat that devices give off inside an enclosure, against what its walls get rid of.

Counted are what devices say they `give off`, the watts of coils, and what supplies lose on the
way to their loads.  Coils that no reachable state has in together are not added up.  Contacts,
breakers and wire are left out: what they lose is little, and no text says it.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.heaviest_set import heaviest_beyond
from netcheck.facts.load_currents import LoadCurrents
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.source_loading import SourceLoading
from netcheck.finding import Working
from netcheck.model.devices import Device
from netcheck.model.kinds.supplies import SUPPLY_EFFICIENCY
from netcheck.record import record
from netcheck.rounding import with_slack
from netcheck.states.answers import Reached, Undecided

WARM = frozenset(("drive", "transformer", "soft starter"))
"""Devices that give off much, and of which only their maker says how much."""


@record
class EnclosureHeat:
    """What one enclosure sheds, W, and what its devices give off at most.

    `coils` give off theirs together in the state of `answer`, without one where all at once are
    not too much; `always` are the other terms, and `unsaid` devices that give off much and do
    not say how much.
    """

    enclosure: Device
    sheds_w: float
    always: tuple[Working, ...]
    coils: tuple[Working, ...]
    answer: Reached | Undecided | None
    unsaid: tuple[str, ...]

    @property
    def given_off_w(self) -> float:
        return sum(float(step.value) for step in (*self.always, *self.coils))


@record
class EnclosureHeats:
    """Of the one enclosure that says what it sheds; nothing where none or several do."""

    heat: EnclosureHeat | None


@concludes(LoadCurrents, LoadsAtOnce, SourceLoading)
def find_enclosure_heat(view: View) -> EnclosureHeats:
    devices = view.panel.devices.values()
    said = [device for device in devices if device.number("sheds_w")]
    return EnclosureHeats(_heat(view, said[0]) if len(said) == 1 else None)


def _heat(view: View, enclosure: Device) -> EnclosureHeat:
    always = (*_as_described(view), *_lost_in_supplies(view))
    coils = dict(_coils(view))
    sheds_w = enclosure.number("sheds_w") or 0.0
    left_w = with_slack(sheds_w) - sum(float(step.value) for step in always)
    unsaid = tuple(
        device.name
        for device in _inside(view)
        if device.kind in WARM and not device.number("heat_w")
    )
    loads = view[LoadCurrents].loads
    on: tuple[int, ...] = ()
    answer = None
    found = heaviest_beyond(coils, view[LoadsAtOnce], left_w)
    if found is not None:
        assert isinstance(found.answer, (Reached, Undecided))
        on, answer = found.loads, found.answer
    terms = tuple(Working(loads[number].name, coils[number], "W", "its coil") for number in on)
    return EnclosureHeat(enclosure, sheds_w, always, terms, answer, unsaid)


def _inside(view: View) -> Iterator[Device]:
    """The devices in the panel and on its door, not those in the field."""
    for device in view.panel.devices.values():
        place = view.panel.places.get(device.location)
        if not device.location or (place is not None and place.inside):
            yield device


def _as_described(view: View) -> Iterator[Working]:
    for device in _inside(view):
        heat_w = device.number("heat_w")
        if heat_w:
            yield Working(device.name, heat_w, "W", "as described")


def _lost_in_supplies(view: View) -> Iterator[Working]:
    inside = {device.name for device in _inside(view)}
    for one in view[SourceLoading].sources:
        device = one.device
        if device.kind == "supply" and device.name in inside and not device.number("heat_w"):
            volts = next(s.volts for s in view.panel.sources if s.device == device.name)
            given_w = one.needed_a * volts
            source = f"lost in giving {given_w:.3g} W at {SUPPLY_EFFICIENCY:.0%} efficiency"
            lost_w = given_w * (1 / SUPPLY_EFFICIENCY - 1)
            yield Working(device.name, lost_w, "W", source, confirmed=False)


def _coils(view: View) -> Iterator[tuple[int, float]]:
    """By number of the load the watts of each coil whose device does not say what it gives off."""
    inside = {device.name: device for device in _inside(view)}
    for number, load in enumerate(view[LoadCurrents].loads):
        made, device = load.parts[0].load, inside.get(load.device)
        if made is None or device is None or made.works != "coil" or device.number("heat_w"):
            continue
        watts = made.power_w or load.current_a * (made.volts or 0.0)
        if watts:
            yield number, watts
