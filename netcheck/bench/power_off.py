"""What to read with the power off once a fuse or breaker has opened: no live reading tells a short
behind it, and closing it again to look feeds the short once more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from netcheck.bench.candidates import Candidate
from netcheck.bench.fitting import Tried
from netcheck.bench.likelihoods import Sort
from netcheck.bench.observations import Observation, Trips
from netcheck.bench.ohms import OhmNetwork, Ohms, ohms_between
from netcheck.bench.standing import stand
from netcheck.bench.whereabouts import held_at_ground
from netcheck.model.devices import device_of
from netcheck.model.faults import FaultKind, holding
from netcheck.model.panel import Panel
from netcheck.record import record

SHORTS = frozenset((Sort.SHORT, Sort.GROUND))
BEHIND = frozenset((*SHORTS, Sort.PROTECTION))


@record
class OhmStep:
    """Next to nothing between these two points is any of the `faults`; `sound` is what they read
    without one, with what else the meter's current passes and the wire to lift.  `location` is
    that of `red`; `grounded` are those of the two that are held at ground, `opened` the breakers
    and fuses that have opened and stay so while this is read."""

    red: str
    black: str
    location: str
    faults: tuple[str, ...]
    sound: Ohms
    grounded: tuple[str, ...] = ()
    opened: tuple[str, ...] = ()


def has_opened(seen: Iterable[Observation], left: Sequence[Tried], every: Sequence[Tried]) -> bool:
    """Whether something has opened by itself, as far as one can see: `every` is what is `left`
    and what would look the same."""
    if any(isinstance(one, Trips) for one in seen):
        return True
    return _sorts(left) <= BEHIND and bool(_sorts(every) & SHORTS)


def _sorts(tried: Iterable[Tried]) -> set[Sort]:
    return {one.candidate.sort for one in tried if one.candidate is not None}


def ohm_steps(
    panel: Panel, left: Sequence[Tried], opened: Sequence[str] = ()
) -> tuple[OhmStep, ...]:
    """One for all suspects that join the same two points, in their order.  Points are the same
    that wires and closed contacts join, with what has `opened` left open; what these join anyway
    no ohms tell."""
    for name in opened:
        panel = holding(panel, name, 0)
    found = [
        pair for one in left if one.candidate is not None for pair in _pairs(panel, one.candidate)
    ]
    if not found:
        return ()
    off = stand(panel, powered=False)
    network = OhmNetwork(off)
    joined = network.joined()
    held = held_at_ground(panel)
    steps: dict[frozenset[str], list[tuple[str, str, str]]] = {}
    for a, b, words in found:
        ends = frozenset((joined.find(a), joined.find(b)))
        if len(ends) > 1:
            steps.setdefault(ends, []).append((a, b, words))
    return tuple(
        OhmStep(
            a,
            b,
            panel.devices[device_of(a)].location,
            tuple(words for _, _, words in alike),
            ohms_between(off, a, b, network),
            tuple(end for end in (a, b) if end in held),
            tuple(opened),
        )
        for alike in steps.values()
        for a, b, _ in alike[:1]
    )


def _pairs(panel: Panel, candidate: Candidate) -> Iterator[tuple[str, str, str]]:
    for edit in candidate.edits[:1]:
        for a, b, ohm in edit.joints:
            if not ohm:
                yield a, b, candidate.words
    for fault in candidate.faults:
        if fault.kind is FaultKind.WELDED:
            for part in (panel.parts[index] for index in fault.parts[:1]):
                yield part.a, part.b, candidate.words
