"""What holds where a text says nothing, and what a review therefore took for granted."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.model.panel import Claim, Is, Not, Order, Panel

AMBIENT_INSIDE_C = 40.0
AMBIENT_OUTSIDE_C = 30.0
TERMINALS_SMALL_C = 60.0
"""Terminals of equipment up to 100 A that are not marked (NEC 110.14(C)(1)(a))."""
TERMINALS_LARGE_C = 75.0
"""Terminals of equipment above 100 A (NEC 110.14(C)(1)(b))."""
DROP_LIMIT = 0.05


def ambient_c(panel: Panel, place: str) -> float:
    """The ambient temperature at a location: its own, the panel's inside it, or the default."""
    known = panel.places.get(place)
    if known is not None and known.ambient_c is not None:
        return known.ambient_c
    if known is not None and not known.inside:
        outside = panel.settings.outside_c
        return AMBIENT_OUTSIDE_C if outside is None else outside
    said = panel.settings.ambient_c
    return AMBIENT_INSIDE_C if said is None else said


def taken_for_granted(panel: Panel) -> tuple[str, ...]:
    """The defaults a review of this panel used, what its edges claim, and what is trusted."""
    said = []
    settings = panel.settings
    if not settings.practice_said:
        said.append(f"practice {settings.practice}")
    said += [words for _, words in settings.chosen]
    if settings.ambient_c is None:
        said.append(f"{AMBIENT_INSIDE_C:g} degC inside the panel")
    outside = [place.name for place in panel.places.values() if not place.inside]
    for name in outside:
        if panel.places[name].ambient_c is None:
            said.append(f"{ambient_c(panel, name):g} degC at {name}")
    if settings.terminals_c is None and not settings.practice.iec:
        said.append("terminals 60 degC up to 100 A unless marked")
    for device in panel.devices.values():
        if device.kind == "edge":
            said.append(_edge(panel, device.name))
        if device.kind == "controller" and "safety-rated" in device.marks:
            said.append(f"{device.name} is safety-rated: off while a stop that it reads is held")
    if any(intent.proviso == "even if any one contact welds" for intent in panel.intents):
        trusted = [one.name for one in panel.devices.values() if "safety-rated" in one.marks]
        said += [f"{name} is safety-rated: none of its own contacts welds" for name in trusted]
    for assumption in panel.assumptions:
        held = list(dict.fromkeys(_moved_by_coils(panel, assumption.claim)))
        if held:
            said.append(f"{' and '.join(held)} as an assumption has it, whatever the coil gets")
    return tuple(said)


def _moved_by_coils(panel: Panel, claim: Claim | Order) -> Iterator[str]:
    """Relays and loads that an assumption speaks of: it holds them, not what moves them."""
    todo = [] if isinstance(claim, Order) else [claim.condition, claim.given]
    while todo:
        condition = todo.pop()
        if isinstance(condition, Is):
            if condition.load or panel.mechanisms[condition.mechanism].moved_by_coil:
                yield condition.load or condition.mechanism
        elif isinstance(condition, Not):
            todo.append(condition.inner)
        elif condition is not None:
            todo += condition.parts


def _edge(panel: Panel, name: str) -> str:
    device = panel.devices[name]
    where = device.values.get("from") or device.values.get("to") or device.description
    return f"what edge {name} claims" + (f" of {where}" if where else "") + ", on trust"
