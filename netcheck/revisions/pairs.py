"""Which device of the new text is which of the old.

Devices of one name are the same.  One that is gone and one that has come are one renamed, if
they are of one kind and hang on the same things: a name alone is not what a device is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from netcheck.model.devices import Device, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record

MOST_TRIED = 100_000
"""Pairs of a device gone and one come that are looked at."""

LEAST_ALIKE = 1.0
ROUNDS = 20

Ends = frozenset[tuple[str, str, str]]


@record
class Pairs:
    """The two panels, and for each renamed device of the new one what it was called."""

    old: Panel
    new: Panel
    renamed: Mapping[str, str]

    def device(self, name: str) -> str:
        """What a device of the new panel was called, or is called if it is new."""
        return self.renamed.get(name, name)

    def terminal(self, name: str) -> str:
        return f"{self.device(device_of(name))}:{mark_of(name)}"

    def mechanism(self, name: str) -> str:
        """A mechanism of the new panel: that of a device, or with the output's mark behind it."""
        device, blank, mark = name.partition(" ")
        return f"{self.device(device)}{blank}{mark}"

    def ends(self, wire: Wire) -> tuple[str, str]:
        """Of a wire of the new panel, in one order whichever way it is drawn."""
        return ordered(self.terminal(wire.a), self.terminal(wire.b))


def ordered(a: str, b: str) -> tuple[str, str]:
    return (a, b) if a <= b else (b, a)


def pair(old: Panel, new: Panel) -> Pairs:
    """Find the renamed devices, those whose neighbours are known first."""
    gone = [name for name in old.devices if name not in new.devices]
    come = [name for name in new.devices if name not in old.devices]
    renamed: dict[str, str] = {}
    if not gone or not come or len(gone) * len(come) > MOST_TRIED:
        return Pairs(old, new, renamed)
    for _ in range(ROUNDS):
        found = dict(_surely_alike(Pairs(old, new, renamed), gone, come))
        if not found:
            break
        renamed.update(found)
        gone = [name for name in gone if name not in found.values()]
        come = [name for name in come if name not in found]
    return Pairs(old, new, renamed)


def _surely_alike(
    pairs: Pairs, gone: Iterable[str], come: Iterable[str]
) -> Iterator[tuple[str, str]]:
    """Pairs of which each is the other's best, and no second is as good."""
    before = {name: _hangs_on(pairs.old, name, {}) for name in gone}
    after = {name: _hangs_on(pairs.new, name, pairs.renamed) for name in come}
    score = {(a, b): _likeness(pairs, a, b, before[a], after[b]) for a in before for b in after}
    if not score:
        return
    for b in after:
        best = max(before, key=lambda a: score[a, b])
        top = score[best, b]
        rivals = [score[a, b] for a in before if a != best] + [
            score[best, other] for other in after if other != b
        ]
        if top >= LEAST_ALIKE and all(rival < top for rival in rivals):
            yield b, best


def _hangs_on(panel: Panel, name: str, renamed: Mapping[str, str]) -> Ends:
    """Its own mark, the number of the wire, and the terminal at the other end."""
    found = set()
    for terminal in panel.devices[name].terminals:
        for wire in panel.wires_at.get(terminal, ()):
            other = wire.b if wire.a == terminal else wire.a
            device = renamed.get(device_of(other), device_of(other))
            found.add((mark_of(terminal), wire.number, f"{device}:{mark_of(other)}"))
    return frozenset(found)


def _likeness(pairs: Pairs, a: str, b: str, before: Ends, after: Ends) -> float:
    old, new = pairs.old.devices[a], pairs.new.devices[b]
    if old.kind != new.kind:
        return 0.0
    every = before | after
    same = len(before & after) / len(every) if every else 0.0
    # Of neighbours that are renamed themselves only the number of the wire and the mark count.
    loose = [{(mark, number) for mark, number, _ in ends} for ends in (before, after)]
    numbers = len(loose[0] & loose[1]) / len(loose[0] | loose[1]) if every else 0.0
    return same + 0.8 * numbers + _said_alike(old, new)


def _said_alike(old: Device, new: Device) -> float:
    """What is said of both in the same words, the number of terminals included."""
    described = old.description == new.description
    marks = [mark_of(t) for t in old.terminals] == [mark_of(t) for t in new.terminals]
    return (
        0.3 * (described and bool(old.description))
        + 0.1 * marks
        + 0.2 * (dict(old.values) == dict(new.values))
    )
