"""Where the text draws a circuit conductor joined to ground, beside what sources declare.

A drawn bond is a bond device, or a wire from a circuit conductor to a terminal made for
grounding.  Conductors are followed as far as nothing can open them, and further through
breakers, fuses and disconnects: a bond found only there is past one of these.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.grounding_terminals import is_grounding_terminal
from netcheck.model.devices import Conducts, Part, SourcePart
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.record import record


@record
class DrawnBond:
    """One bond: what makes it, the conductor's end of it, and whether something that opens
    stands between it and every pole of the conductor."""

    by: Wire | Part
    terminal: str
    past: bool


@record
class Conductor:
    """A circuit conductor with poles of sources on it, and how it is joined to ground."""

    poles: tuple[tuple[SourcePart, str], ...]
    bonds: tuple[DrawnBond, ...]

    @property
    def declared(self) -> tuple[SourcePart, ...]:
        """The sources that declare this conductor grounded."""
        return tuple(source for source, mark in self.poles if source.grounded_pole == mark)

    @property
    def may_be_grounded(self) -> bool:
        """Whether it is no live pole of a source whose other pole is grounded."""
        return all(source.grounded_pole in ("", mark) for source, mark in self.poles)

    def grounded_elsewhere(self, panel: Panel) -> tuple[SourcePart, ...]:
        """Those of them that are grounded where they come from, outside what is described."""
        return tuple(
            source
            for source in self.declared
            if panel.devices[source.device].kind == "edge"
            or panel.devices[source.device].values.get("bonded") == "upstream"
        )


@record
class DrawnBonds:
    """Every conductor that a pole of a source stands on."""

    conductors: tuple[Conductor, ...]

    @property
    def wires(self) -> frozenset[int]:
        """The wires that are bonds, by index."""
        return frozenset(
            bond.by.index
            for conductor in self.conductors
            for bond in conductor.bonds
            if isinstance(bond.by, Wire)
        )


@concludes()
def find_drawn_bonds(view: View) -> DrawnBonds:
    panel = view.panel
    plain, through = _joined(panel)
    poles: dict[str, list[tuple[SourcePart, str]]] = {}
    firm = set()
    for source in panel.sources:
        for mark in source.poles:
            terminal = f"{source.device}:{mark}"
            poles.setdefault(through.find(terminal), []).append((source, mark))
            firm.add(plain.find(terminal))
    bonds: dict[str, list[DrawnBond]] = {}
    for by, terminal in _candidates(panel):
        place = through.find(terminal)
        if place in poles:
            bond = DrawnBond(by, terminal, plain.find(terminal) not in firm)
            bonds.setdefault(place, []).append(bond)
    return DrawnBonds(
        tuple(Conductor(tuple(on), tuple(bonds.get(at, ()))) for at, on in poles.items())
    )


def _joined(panel: Panel) -> tuple[Unions[str], Unions[str]]:
    """Circuit conductors as nothing can open them, and with protection and isolation closed."""
    plain: Unions[str] = Unions()
    through: Unions[str] = Unions()
    for wire in panel.wires:
        if not any(is_grounding_terminal(panel, end) for end in (wire.a, wire.b)):
            plain.join(wire.a, wire.b)
            through.join(wire.a, wire.b)
    for part in panel.parts:
        if part.conducts is Conducts.JOINS:
            through.join(part.a, part.b)
            if not part.mechanism:
                plain.join(part.a, part.b)
    return plain, through


def _candidates(panel: Panel) -> Iterator[tuple[Wire | Part, str]]:
    """What may bond a conductor to ground, and the end of it that is on the conductor."""
    for wire in panel.wires:
        grounds = [is_grounding_terminal(panel, end) for end in (wire.a, wire.b)]
        if grounds[0] != grounds[1]:
            yield wire, wire.b if grounds[0] else wire.a
    for part in panel.parts:
        if part.role == "bond" and panel.devices[part.device].kind == "bond":
            yield from ((part, end) for end in (part.a, part.b) if end in panel.wires_at)
