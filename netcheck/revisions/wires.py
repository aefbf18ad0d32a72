"""Which wire of the new text is which of the old, and what it is otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.revisions.changes import Change
from netcheck.revisions.pairs import Pairs, ordered
from netcheck.revisions.values import fields_apart, in_a_row, told
from netcheck.revisions.whereabouts import Whereabouts

WirePairs = Sequence[tuple[Wire, Wire]]
"""Wires that both panels have, old and new."""


@record
class _Drawn:
    """A wire and its ends, under the names the old panel had for them."""

    wire: Wire
    ends: tuple[str, str]


def wire_pairs(pairs: Pairs) -> WirePairs:
    """Each wire with what it was: same ends and number, then ends, then number and one end."""
    found: list[tuple[Wire, Wire]] = []
    left = [_Drawn(wire, ordered(wire.a, wire.b)) for wire in pairs.old.wires]
    come = [_Drawn(wire, pairs.ends(wire)) for wire in pairs.new.wires]
    for key in (_ends_and_number, _ends_alone, _number_and_one_end):
        known: dict[object, list[_Drawn]] = {}
        for drawn in left:
            for one in key(drawn):
                known.setdefault(one, []).append(drawn)
        taken: set[int] = set()
        rest = []
        for drawn in come:
            every = (other for one in key(drawn) for other in known.get(one, ()))
            fits = next((other for other in every if id(other) not in taken), None)
            if fits is None:
                rest.append(drawn)
            else:
                taken.add(id(fits))
                found.append((fits.wire, drawn.wire))
        left, come = [drawn for drawn in left if id(drawn) not in taken], rest
    return found


def _ends_and_number(drawn: _Drawn) -> list[object]:
    return [(drawn.ends, drawn.wire.number)]


def _ends_alone(drawn: _Drawn) -> list[object]:
    return [drawn.ends]


def _number_and_one_end(drawn: _Drawn) -> list[object]:
    return [(end, drawn.wire.number) for end in drawn.ends if drawn.wire.number]


def wire_changes(pairs: Pairs, together: WirePairs, where: Whereabouts) -> Iterator[Change]:
    """Wires re-routed, changed, renumbered, removed, added."""
    renumbered: Counter[tuple[str, str]] = Counter()
    for before, after in together:
        if ordered(before.a, before.b) != pairs.ends(after):
            yield Change("wire", "re-routed", after.label, _between(before), _between(after))
        if before.number != where.core(after):
            renumbered[before.label, after.label] += 1
        if apart := list(_properties_apart(before, after, where)):
            yield Change("wire", "changed", pairs.new.wire_name(after), *in_a_row(apart))
    for (was, now), count in renumbered.items():
        now_all = now if count == 1 else f"{now} ({count} wires)"
        yield Change("wire", "renumbered", now, was, now_all)
    yield from _alone(pairs, together)


def _alone(pairs: Pairs, together: WirePairs) -> Iterator[Change]:
    paired = {id(wire) for both in together for wire in both}
    for wire in pairs.old.wires:
        if id(wire) not in paired:
            yield Change("wire", "removed", wire.label, _between(wire))
    for wire in pairs.new.wires:
        if id(wire) not in paired:
            yield Change("wire", "added", wire.label, "", _between(wire))


def _between(wire: Wire) -> str:
    return " to ".join(ordered(wire.a, wire.b))


def _properties_apart(before: Wire, after: Wire, where: Whereabouts) -> Iterator[tuple[str, str]]:
    if where.cables.get(after.cable, after.cable) != before.cable:
        yield told("cable", before.cable or "none"), told("cable", after.cable or "none")
    yield from fields_apart(before.properties, where.properties(after.properties))
