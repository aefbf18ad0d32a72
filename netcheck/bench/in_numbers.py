"""A panel whose relays follow the volts that their coils really get, solved move by move.

For what lets some current by: a bad joint, a supply that gives too few volts.  Every coil behind
it gets some of its voltage, so that conditions tell of none of them whether it pulls in, and
working each out by itself in every pattern of contacts costs seconds.  Here the one state that
somebody stands before is solved, from rest on, as often as a relay moves.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.bench.at_places import AtPlaces
from netcheck.bench.readings import Reading, fits
from netcheck.bench.sound import Sound, Withs
from netcheck.bench.standing import Standing, sources_on, untouched
from netcheck.bench.trial import troubled_standing
from netcheck.model.devices import Drive, Mechanism, Part
from netcheck.model.panel import Panel
from netcheck.record import replace
from netcheck.solve.coil_verdicts import DROPS_OUT

TIMED = (Drive.ON_DELAY, Drive.OFF_DELAY)


def stand_in_numbers(sound: Sound, withs: Withs, broken: Panel) -> tuple[Standing, AtPlaces] | None:
    """How it stands, and that in numbers.  The `broken` panel is numbered as the sound one, with
    the same things put somewhere; None where there are no numbers."""
    states = sound.standing(withs).states
    values = untouched(states)
    for name, position in sources_on(states).items():
        values |= states.machine.switches[name].values_in(position)
    stood: set[tuple[bool, ...]] = set()
    while (now := tuple(values.values())) not in stood:  # else it goes round for ever
        stood.add(now)
        standing = troubled_standing(broken, states, dict(values), sound.rated)
        solved = AtPlaces(standing, sound.solved)
        moving = next(_moving(broken, standing, solved), None)
        if moving is None:
            return (standing, solved) if solved.solved else None
        if not solved.solved:
            return None
        values[states.machine.movers[moving.name].state] ^= True
    return replace(standing, restless=True), solved


def _moving(panel: Panel, standing: Standing, solved: AtPlaces) -> Iterator[Mechanism]:
    """Relays that must move, in the order of the panel, then timers."""
    movers = [
        one for one in panel.mechanisms.values() if one.name in standing.states.machine.movers
    ]
    for timed in (False, True):
        for one in movers:
            if (one.drive in TIMED) is timed:
                is_in = standing.position(one.name) == one.positions[1]
                wanted = _wanted(panel, one, solved, is_in)
                if wanted is not is_in and not (wanted and _is_barred(panel, standing, one.name)):
                    yield one


def _wanted(panel: Panel, one: Mechanism, solved: AtPlaces, is_in: bool) -> bool:
    """Between the volts that surely pull it in and those that surely let it go it stays."""
    told = [_pulls(panel, panel.parts[index], solved) for index in one.coils]
    if one.drive is Drive.LATCH and len(told) > 1:
        put_in, out = told[0] is True, told[1] is True
        return is_in if put_in is out else put_in
    if False in told:
        return False
    return is_in if None in told else True


def _pulls(panel: Panel, coil: Part, solved: AtPlaces) -> bool | None:
    """None where it stays as it is."""
    load = coil.load
    reading = solved.reading(coil.a, coil.b) or Reading()
    if load is None or coil.a == coil.b:
        return False
    if fits(reading, load):
        return True
    kind = "DC" if load.kind == "DC" or reading.kind == "DC" else "AC"
    drops_out_v = panel.devices[coil.device].number("coil_drop_out_v")
    least = drops_out_v or (load.volts or 0.0) * DROPS_OUT[kind]
    return False if reading.floats or reading.size_v < least else None


def _is_barred(panel: Panel, standing: Standing, name: str) -> bool:
    """Whether one that is mechanically interlocked with it is in."""
    return any(
        other != name and standing.position(other) == panel.mechanisms[other].positions[1]
        for group in panel.interlocks
        if name in group
        for other in group
    )
