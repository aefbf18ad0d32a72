"""A load that some reachable state feeds with what it is not made for.

Looked at are all loads: coils, motors, lamps, heaters, inputs of controllers, supplies and
drives, primaries of transformers.  Compared with what the text says of the load are, in
this order: AC or DC, polarity where it matters, volts against the load's band, hertz where
both sides say them, and of a three-phase load whether two of its lines are one.  The volts
are nominal, in every state passed through, with ground counted as wire.

One cause is one finding, with all loads it wrongs: the wire or device that no load needs.
Where no state feeds a load rightly, the finding stands at the load itself.

A load that says no volts is *not checked*, but for a resistor, which may have any; nor is one
that the AC ahead of a diode does not suit, for what is rectified is not worked out: one that
it suits counts as fed whole.  One for `AC or DC` suits either, one that says no hertz any.
It keeps silent on what a race alone brings, on what a short circuit brings (`missing load`),
on loads that share a voltage (`loads in series`), and on dead ones behind a supply fed wrongly.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.wrong_volts import Wrong, WrongVolts
from netcheck.facts.wrongly_fed import WronglyFed, WronglyFedLoads, loads_of
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Conducts, Load, Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import name_of, told
from netcheck.rule import rule
from netcheck.states.load_ways import Fault
from netcheck.states.volts import dc_volts, kind_of, magnitude
from netcheck.telling import listed, span_of, volts_in_words, when
from netcheck.text import Span


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DEFECT,
    summary="a load gets a voltage, kind, frequency or polarity it is not made for",
    why="too much burns it, too little leaves it humming or dead, the wrong kind does either",
    source="coils work from 85 % to 110 % of their volts (IEC 60947-4-1), motors within 10 % "
    "(NEMA MG 1)",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Behaviour, WrongVolts, WronglyFedLoads),
)
def find(view: View) -> Iterator[Outcome]:
    panel, fed = view.panel, view[WronglyFedLoads]
    for wrong in view[WrongVolts].found:
        rectified = [one for one in wrong.victims if _is_rectified(view[Behaviour], one)]
        if len(rectified) < len(wrong.victims):
            yield _finding(panel, wrong)
            continue
        for one in rectified:
            gets = f"gets {volts_in_words(one.volts)} through a diode"
            yield _not_checked(panel, one.load, f"{gets}: what that makes of it is not worked out")
    for part, reason in fed.undecided:
        yield NotDecided(
            f"what `{_name(panel, part)}` gets: {reason}", Place(_pass(panel, part)), (part.device,)
        )
    for load in loads_of(panel):
        if load[0].load and load[0].load.volts is None and load[0].a in panel.wires_at:
            yield _not_checked(panel, load[0], "says no voltage")
    for part in fed.unsaid_hertz:
        yield _not_checked(panel, part, "is made for one frequency, and its source says none")


def _not_checked(panel: Panel, part: Part, why: str) -> NotChecked:
    place = Place(panel.devices[part.device].span)
    return NotChecked(f"`{_name(panel, part)}` {why}", place, (part.device,))


def _is_rectified(states: Behaviour, fed: WronglyFed) -> bool:
    """Whether its alternating current passes a diode on the way that is told."""
    parts = [passed.by for passed in fed.path if isinstance(passed.by, Part)]
    diodes = [one for one in parts if one.conducts is Conducts.ONE_WAY]
    return "AC" in kind_of(fed.volts) and not all(map(states.one_way, diodes))


def _finding(panel: Panel, wrong: Wrong) -> Finding:
    first = wrong.victims[0]
    state = dict(first.witness.state)
    at = first.load if wrong.cause is None else wrong.cause
    span = _pass(panel, first.load, first) if wrong.cause is None else span_of(panel, wrong.cause)
    devices = tuple(dict.fromkeys(fed.load.device for fed in wrong.victims))
    return Finding(
        f"{_message(panel, wrong)}{when(panel, first.path, state)}",
        Place(span, "fed wrongly here" if wrong.cause is None else "this brings it there"),
        devices=devices,
        wires=(panel.called(at),) if isinstance(at, Wire) else (),
        condition=f"{first.fault} through {name_of(panel, at)}",
        related=tuple(
            Place(drawn, "fed wrongly here")
            for fed in wrong.victims
            if (drawn := _pass(panel, fed.load, fed)) != span
        ),
        live=volts_in_words(first.volts) if first.volts else "",
        state=state,
        steps=first.witness.steps,
        path=told(panel, list(first.path), at),
        working=tuple(step for fed in wrong.victims for step in _working(panel, fed)),
        assumed=tuple(
            dict.fromkeys(band for fed in wrong.victims if (band := _usual_band(fed.load.load)))
        ),
        help="feed it from poles that give what it is made for, or fit one made for what is there",
    )


def _message(panel: Panel, wrong: Wrong) -> str:
    first = wrong.victims[0]
    names = listed([_name(panel, fed.load) for fed in wrong.victims])
    one = len(wrong.victims) == 1
    if first.fault is Fault.PHASES:
        lines = f"`{first.load.a}` and `{first.load.b}`"
        return f"{names} is made for three phases, but {lines} are on one line"
    by = "" if wrong.cause is None else f" through `{name_of(panel, wrong.cause)}`"
    seen = f"{names} {'gets' if one else 'get'} {volts_in_words(first.volts)}"
    if first.fault is Fault.POLARITY:
        plus = first.load.a if dc_volts(first.volts) > 0 else first.load.b
        return f"{seen} the wrong way round{by}: plus comes to `{plus}`"
    if first.fault is Fault.FREQUENCY:
        seen += f" of {' and '.join(figure(hertz, 'Hz') for hertz in sorted(first.hertz))}"
    made = list(dict.fromkeys(_made_for(fed.load.load, first.fault) for fed in wrong.victims))
    return f"{seen}{by}, made for {' and '.join(made)}"


def _made_for(load: Load | None, fault: Fault) -> str:
    assert load is not None
    if fault is Fault.FREQUENCY:
        return figure(load.frequency_hz or 0.0, "Hz")
    if load.volts is None:
        return "AC or DC alone"
    return f"{figure(load.volts, 'V')} {load.kind}".strip()


def _working(panel: Panel, fed: WronglyFed) -> Iterator[Working]:
    load, name = fed.load.load, _name(panel, fed.load)
    assert load is not None
    if load.volts is not None:
        low, high = figure(load.volts * load.low, "V"), figure(load.volts * load.high, "V")
        yield Working(f"{name} is made for", _made_for(load, Fault.VOLTAGE), "", "as described")
        yield Working(f"{name} works from", f"{low} to {high}", "", "its band")
    if fed.volts:
        yield Working(f"{name} gets", magnitude(fed.volts), "V", "nominal volts of its sources")


def _usual_band(load: Load | None) -> str:
    """What is taken for the band where none is said; empty where the text says one."""
    if load is None or load.volts is None or (load.low, load.high) not in USUAL_BANDS:
        return ""
    return f"{load.works} works from {load.low:.0%} to {load.high:.0%} of its voltage"


USUAL_BANDS = ((0.85, 1.10), (0.90, 1.10))


def _pass(panel: Panel, part: Part, fed: WronglyFed | None = None) -> Span:
    """Where a load is drawn in a circuit: as a pass, else by the wires of the path to it."""
    drawn = panel.chain_spans.get(part.index)
    if drawn is not None:
        return drawn
    path = () if fed is None else fed.path
    near = [passed.by for passed in path if {passed.start, passed.end} & {part.a, part.b}]
    spans = [by.span for by in near if isinstance(by, Wire)]
    return max(
        spans, key=lambda span: (span.line, span.column), default=panel.devices[part.device].span
    )


def _name(panel: Panel, part: Part) -> str:
    """The device's name, with the terminals where the device has more than one load."""
    loads = {
        one.role if one.load.phases == 3 else one.index
        for one in (panel.parts[index] for index in panel.devices[part.device].parts)
        if one.load is not None
    }
    return part.device if len(loads) == 1 else part.label
