"""The panel's ungrounded conductors in sections: what hangs together between devices.

A section is what wire and contacts that can close join without passing a breaker or a
fuse.  Grounded conductors stand in none.  Grounding is as declared: a source that says
nothing of it, and is joined to none that does, has ungrounded poles here and is named in
`undeclared`, so that what rests on it is not called checked.
"""

from __future__ import annotations

from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.model.devices import Conducts, Device, Part
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.behaviour import Behaviour as States
from netcheck.states.expressions import FALSE

PROTECTS = frozenset(("breaker", "fuse"))
NO_SECTION = -1


@record
class ProtectivePole:
    """One pole of a device that opens by itself, and the sections it stands between.

    `rating_a` is what its current may be for long without its opening, None where the
    text does not say.
    """

    part: Part
    device: Device
    rating_a: float | None
    section_a: int
    section_b: int

    @property
    def fuse(self) -> bool:
        return self.device.kind == "fuse"


@record
class Sections:
    """`of` gives each ungrounded terminal its section; `inner` are the parts that current
    passes inside one, `one_way` those that join two, the first to the second."""

    panel: Panel
    """The panel as it is judged, without what short-circuits it."""
    of: dict[str, int]
    inner: tuple[Part, ...]
    poles: tuple[ProtectivePole, ...]
    one_way: tuple[tuple[int, int, Part], ...]
    grounded: frozenset[str]
    undeclared: frozenset[int]

    @cached_property
    def pole_of(self) -> dict[int, ProtectivePole]:
        """Protective poles by the index of their part."""
        return {pole.part.index: pole for pole in self.poles}

    def rating_a_of(self, device: str) -> float | None:
        """What a protective device carries for long; None if it is none, or does not say."""
        ratings_a = [pole.rating_a for pole in self.poles if pole.device.name == device]
        return max((one for one in ratings_a if one is not None), default=None)


@concludes(Behaviour)
def find_sections(view: View) -> Sections:
    states = view[Behaviour]
    panel = states.panel
    walls = _grounded_places(states)
    grounded = frozenset(name for name in panel.terminals if states.node(name) in walls)
    joined: Unions[str] = Unions()
    for terminal in panel.terminals:
        if terminal not in grounded:
            joined.find(terminal)
    for wire in panel.wires:
        if wire.a not in grounded:
            joined.join(wire.a, wire.b)
    inner, one_way, poles = [], [], []
    for part in panel.parts:
        if part.conducts not in _CARRIES or states.closed(part) == FALSE:
            continue
        if is_protective(panel.devices[part.device], part):
            poles.append(part)
        elif part.a in grounded or part.b in grounded:
            continue
        elif states.one_way(part):
            one_way.append(part)
        else:
            inner.append(part)
            joined.join(part.a, part.b)
    of = {name: number for number, group in enumerate(joined.groups()) for name in group}
    return Sections(
        panel,
        of,
        tuple(inner),
        tuple(_pole(states, part, of) for part in poles),
        tuple((of[part.a], of[part.b], part) for part in one_way),
        grounded,
        _undeclared(states),
    )


_CARRIES = frozenset((Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY))


def is_protective(device: Device, part: Part) -> bool:
    """Whether a part opens by itself on too much current: a pole of a breaker or a fuse."""
    if part.role != "pole":
        return False
    return device.kind in PROTECTS or device.number("fused_a") is not None


def _pole(states: States, part: Part, of: dict[str, int]) -> ProtectivePole:
    device = states.panel.devices[part.device]
    return ProtectivePole(
        part,
        device,
        rating_of(device),
        of.get(part.a, NO_SECTION),
        of.get(part.b, NO_SECTION),
    )


def rating_of(device: Device) -> float | None:
    """The amperes a protective device carries for long: a motor protector's are what it is set."""
    if device.values.get("motor_protector"):
        return device.number("setting_a") or device.number("current")
    return device.number("fused_a") or device.number("current") or device.number("setting_a")


def _grounded_places(states: States) -> set[int]:
    return {
        states.pole_node(index, source.grounded_pole)
        for index, source in enumerate(states.panel.sources)
        if source.grounded_pole
    }


def _undeclared(states: States) -> frozenset[int]:
    """Sources of which neither they nor any source they are joined to says how it is grounded."""
    joined: Unions[int] = Unions()
    sources = states.panel.sources
    for index, source in enumerate(sources):
        places = [states.pole_node(index, mark) for mark in source.poles]
        for place in places:
            joined.join(places[0], place)
    declared = {
        joined.find(states.pole_node(index, mark))
        for index, source in enumerate(sources)
        for mark in source.poles
        if source.grounding
    }
    return frozenset(
        index
        for index, source in enumerate(sources)
        if joined.find(states.pole_node(index, next(iter(source.poles)))) not in declared
    )
