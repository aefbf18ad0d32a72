"""Cables, raceways and locations under other names: those that what is paired already says."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping

from netcheck.model.wires import Wire, WireProperties
from netcheck.record import record, replace
from netcheck.revisions.pairs import Pairs

Names = Mapping[str, str]
"""By its new name what something was called."""


@record
class Whereabouts:
    """What renamed cables, raceways and locations were called."""

    cables: Names
    raceways: Names
    places: Names

    def core(self, wire: Wire) -> str:
        """The number of a wire of the new panel; of a core the one it had in its old cable."""
        was = self.cables.get(wire.cable)
        if was is None or not wire.number.startswith(f"{wire.cable}."):
            return wire.number
        return was + wire.number.removeprefix(wire.cable)

    def properties(self, of: WireProperties) -> WireProperties:
        """Those of a wire of the new panel, under the old names."""
        raceway, place = of.raceway or "", of.place or ""
        if raceway not in self.raceways and place not in self.places:
            return of
        return replace(
            of,
            raceway=self.raceways.get(raceway, of.raceway),
            place=self.places.get(place, of.place),
        )


def whereabouts(pairs: Pairs, together: Iterable[tuple[Wire, Wire]]) -> Whereabouts:
    """Those of which all that is paired agrees: every wire of one is in the other, and so on."""
    wires = [*together]
    old, new = pairs.old, pairs.new
    return Whereabouts(
        _agreed(old.cables, new.cables, ((a.cable, b.cable) for a, b in wires)),
        _agreed(
            old.raceways,
            new.raceways,
            ((a.properties.raceway or "", b.properties.raceway or "") for a, b in wires),
        ),
        _agreed(old.places, new.places, _places(pairs, wires)),
    )


def _places(pairs: Pairs, wires: Iterable[tuple[Wire, Wire]]) -> Iterator[tuple[str, str]]:
    for name, device in pairs.new.devices.items():
        was = pairs.old.devices.get(pairs.device(name))
        if was is not None:
            yield was.location, device.location
    for before, after in wires:
        yield before.properties.place or "", after.properties.place or ""


def _agreed(
    old: Container[str], new: Container[str], votes: Iterable[tuple[str, str]]
) -> dict[str, str]:
    """Names that are gone, each with the one that has come in every place of it."""
    came: dict[str, set[str]] = {}
    went: dict[str, set[str]] = {}
    for before, after in votes:
        came.setdefault(before, set()).add(after)
        went.setdefault(after, set()).add(before)
    return {
        after: before
        for before, afters in came.items()
        for after in afters
        if before in old
        and before not in new
        and after in new
        and after not in old
        and len(afters) == len(went[after]) == 1
    }
