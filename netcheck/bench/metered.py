"""The readings that were asked for, made into one document."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set

from netcheck.bench.cold_ohms import cold_ohms
from netcheck.bench.isolating import Isolator
from netcheck.bench.meter_document import MeterDocument
from netcheck.bench.metering import Meter, Unreadable, clamp
from netcheck.bench.ohms import OhmReading, ohms_between
from netcheck.bench.pulses import PULSES, is_pulsed
from netcheck.bench.readings import as_said
from netcheck.bench.standing import stand
from netcheck.bench.tracing import left_open, resting_on, stands_in_words
from netcheck.bench.unsaid_grounds import unsaid_grounds
from netcheck.model.devices import Conducts, Drive, Part, device_of, is_inside
from netcheck.model.faults import holding
from netcheck.model.panel import Panel

Pair = tuple[str, ...]
OPEN = "open"
DIODE = (
    "no ohms tell; one end lifted, on the meter's diode range, red on its anode 0.3 V to 0.8 V, "
    "the other way OL; near 0 V both ways it is shorted"
)
"""From memory: silicon about 0.6 V, Schottky less."""


def volt_readings(
    panel: Panel,
    terminals: Sequence[str],
    pairs: Sequence[Pair],
    against: str,
    *,
    clamping: bool,
) -> MeterDocument:
    """Volts of these terminals, or of every one where none is named and no pair is."""
    standing = stand(panel)
    words = stands_in_words(standing)
    try:
        meter = Meter(standing)
        against = against or meter.reference_near(next(iter(terminals), ""))
    except Unreadable as error:
        return MeterDocument(panel.path, standing=words, open_questions=(str(error),))
    between = tuple(meter.between(red, black) for red, black in pairs)
    every = () if pairs else panel.terminals
    wanted = [terminal for terminal in terminals or every if not is_inside(terminal)]
    clamped = clamp(meter, wanted) if clamping else ()
    nodes = () if clamping else meter.nodes(against, wanted)
    ends = [end for one in clamped for end in (one.a, one.b)]
    told = [one.metered for one in nodes]
    told += [side for one in between for side in (one.red_to_ground, one.black_to_ground)]
    poles = {device_of(one.live_against) for one in told if one.is_live}
    touched = [*wanted, *ends, *(end for pair in pairs for end in pair)]
    highest_v, highest_between = meter.highest(touched)
    return MeterDocument(
        panel.path,
        standing=words,
        against=against,
        highest_v=as_said(panel, highest_v),
        highest_between=highest_between,
        nodes=nodes,
        between=between,
        clamped=clamped,
        assumed=(*resting_on(standing), *([PULSES] if is_pulsed(panel, touched) else [])),
        open_questions=tuple(left_open(standing)),
        unsaid=unsaid_grounds(panel, poles),
    )


def ohm_readings(panel: Panel, terminals: Sequence[str], pairs: Sequence[Pair]) -> MeterDocument:
    """Ohms between these pairs, and across all that leads from these terminals through a device;
    where neither is named, of every load alone."""
    standing = stand(panel, powered=False)
    asked = set(terminals)
    through = [part for part in panel.parts if _is_rung_out(part)]
    loads = [part for part in through if part.load is not None and not part.spare]
    own = [(part.a, part.b) for part in through if {part.a, part.b} & asked]
    wanted = [*pairs, *own]
    left = [] if pairs or terminals else loads
    return MeterDocument(
        panel.path,
        standing=stands_in_words(standing),
        off=True,
        ohms=tuple(_ohms(panel, dict.fromkeys(wanted))),
        loads=tuple(cold_ohms(panel, part) for part in _in_order(left)),
        assumed=("DC coils V / I, heaters V^2 / W: cold taken as hot",),
        open_questions=tuple(_not_in_ohms(panel, asked, bool(wanted or left))),
    )


def _not_in_ohms(panel: Panel, asked: Set[str], reads_something: bool) -> Iterator[str]:
    """What no ohms tell of what was asked for."""
    devices = dict.fromkeys(map(device_of, sorted(asked)))
    diodes = [name for name in devices if panel.devices[name].kind == "diode"]
    for name in diodes:
        yield f"{name}: {DIODE}"
    if not reads_something and not diodes:
        yield "nothing to read there: name two terminals"


def _is_rung_out(part: Part) -> bool:
    """A load, a contact, a fuse: what somebody puts a meter across; nothing inside of a device."""
    if part.a == part.b or is_inside(part.a) or is_inside(part.b):
        return False
    return part.load is not None or part.conducts in (Conducts.JOINS, Conducts.CONTACT)


def _ohms(panel: Panel, pairs: Iterable[Pair]) -> Iterator[OhmReading]:
    """Each as it is read by somebody who has locked out what is to be."""
    isolator = Isolator(panel)
    for a, b in pairs:
        devices = tuple(dict.fromkeys((device_of(a), device_of(b))))
        handles, elsewhere = isolator.lock_out(*devices)
        locked = panel
        for name in (one for handle in handles for one in panel.devices[handle].mechanisms):
            if panel.mechanisms[name].drive is Drive.PROTECTION:  # not what only follows its poles
                locked = holding(locked, name, panel.mechanisms[name].positions.index(OPEN))
        points = [end for name in devices for end in panel.devices[name].terminals]
        yield OhmReading(
            ohms_between(stand(locked, powered=False), a, b),
            handles,
            elsewhere,
            tuple(isolator.giving_back(points, handles)),
            tuple(filter(isolator.is_battery, elsewhere)),
        )


def _in_order(parts: Sequence[Part]) -> list[Part]:
    return sorted(parts, key=lambda part: part.index)
