"""Which two poles a load that is never energised was most likely meant to stand between."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Sequence

from netcheck.facts.areas import Areas, Pole
from netcheck.facts.load_feeds import LoadFeed
from netcheck.model.devices import Part
from netcheck.record import record
from netcheck.states.volts import Volts, in_band, volts_of


@record
class WantedPoles:
    """The poles a load should have at its two ends, and which of them the ends do reach."""

    a: Pole
    b: Pole
    at_a: bool
    at_b: bool


def wanted_poles(
    areas: Areas,
    load: LoadFeed,
    part: Part,
    open_ended: Container[str],
    poles_at: Callable[[str], Sequence[Pole]],
) -> WantedPoles | None:
    """Poles whose voltage the load is made for, as many of them reached as can be.

    `poles_at` says which poles a terminal reaches, as `areas` has it in one sense or other.
    Of several missing ones, a pole that no other end of the load has, and one of
    `open_ended`, on whose side some end leads nowhere.  None if there is no source.
    """
    at_a, at_b = ({pole.terminal for pole in poles_at(end)} for end in (part.a, part.b))
    elsewhere = {
        pole.terminal
        for other in load.parts
        for end in (other.a, other.b)
        if end not in (part.a, part.b)
        for pole in poles_at(end)
    }
    best: tuple[tuple[int, ...], WantedPoles] | None = None
    for a, b, volts in _pairs(areas, part):
        assert part.load is not None
        ends = ((a, a.terminal in at_a), (b, b.terminal in at_b))
        missing = [pole for pole, met in ends if not met]
        reached = 2 - len(missing)
        fits = in_band(volts, part.load)
        score = (
            bool(fits and reached),
            reached,
            fits,
            sum(pole.terminal not in elsewhere for pole in missing),
            sum(pole.terminal in open_ended for pole in missing),
            sum(met and not pole.home for pole, met in ends),
            b.home and not a.home,
        )
        if best is None or score > best[0]:
            best = score, WantedPoles(a, b, ends[0][1], ends[1][1])
    return best[1] if best else None


def _pairs(areas: Areas, part: Part) -> Iterator[tuple[Pole, Pole, Volts]]:
    """Poles of one source; where none of those fits, of sources that stand in series too."""
    assert part.load is not None
    fitted = False
    by_source: dict[int, list[Pole]] = {}
    for pole in areas.poles:
        by_source.setdefault(pole.source, []).append(pole)
    for index, poles in by_source.items():
        basis = areas.panel.sources[index].basis
        for a in poles:
            for b in poles:
                volts = volts_of(basis, a.potential - b.potential)
                if volts:
                    fitted = fitted or in_band(volts, part.load)
                    yield a, b, volts
    if not fitted:
        yield from _across_sources(areas, part)


def _across_sources(areas: Areas, part: Part) -> Iterator[tuple[Pole, Pole, Volts]]:
    behaviour = areas.behaviour
    near = {*areas.poles_at(part.a), *areas.poles_at(part.b)}
    for a in areas.poles:
        for b in areas.poles:
            p, q = behaviour.node(a.terminal), behaviour.node(b.terminal)
            if a.source != b.source and p != q and (a in near or b in near):
                for way in behaviour.ways(q, p):
                    if way.volts:
                        yield a, b, way.volts
