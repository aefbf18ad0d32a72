"""A wire that is said to carry a voltage, in a circuit that has another.

It speaks where a wire says `carries 24 V DC` and neither between the conductors of its
circuit nor against ground any source gives that kind of current at those volts, ten percent
up or down.  Wires that say the same in one circuit are one finding.

It keeps silent on wires that say nothing, whatever their number looks like, and on wires
that no source feeds.
"""

from collections.abc import Iterator
from itertools import combinations

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.figure import figure
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.states.volts import Volts, kind_of, magnitude
from netcheck.telling import in_words, listed, volts_in_words

WITHIN = 0.1


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="a wire is said to carry a voltage that its circuit does not have",
    why="it is the first sign of a crossed wire, and the meter is set by what is said",
    source="common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour, CircuitVolts),
)
def find(view: View) -> Iterator[Outcome]:
    panel, states = view.panel, view[Behaviour]
    groups: dict[tuple[float, str, tuple[Volts, ...]], list[Wire]] = {}
    for wire in panel.wires:
        said_v, kind = wire.properties.carries_v, wire.properties.carries_kind or ""
        if said_v is None:
            continue
        there = _all_volts(view, states.node(wire.a))
        if there and not any(_is_so(said_v, kind, volts) for volts in there):
            groups.setdefault((said_v, kind, there), []).append(wire)
    for (said_v, kind, there), wires in groups.items():
        said = f"{figure(said_v, 'V')} {kind}".strip()
        verb, its = ("is", "its") if len(wires) == 1 else ("are", "their")
        yield Finding(
            f"{listed([panel.wire_name(wire) for wire in wires])} {verb} said to carry {said}, and "
            f"{its} circuit has {in_words(volts_in_words(volts) for volts in there)}",
            Place(wires[0].span, f"said to carry {said}"),
            wires=tuple(dict.fromkeys(panel.called(wire) for wire in wires)),
            condition=said,
            related=tuple(Place(wire.span, "and here") for wire in wires[1:5]),
            live=volts_in_words(max(there, key=magnitude)),
            help="look for a wire landed in another circuit, or put right what is said",
        )


def _all_volts(view: View, place: int) -> tuple[Volts, ...]:
    """Every voltage between poles that the circuit of a place hangs on, and to ground."""
    states, volts = view[Behaviour], view[CircuitVolts]
    rails = sorted(volts.rails(place))
    found = {
        between
        for one, other in combinations(rails, 2)
        for way in states.ways(one, other, bonds=True)
        if (between := way.volts)
    }
    found |= {to_ground for rail in rails if (to_ground := volts.to_ground(rail))}
    by_words = {volts_in_words(one): one for one in found}
    return tuple(by_words[words] for words in sorted(by_words))


def _is_so(said_v: float, kind: str, volts: Volts) -> bool:
    return kind_of(volts) == (kind or kind_of(volts)) and (
        abs(magnitude(volts) - said_v) <= WITHIN * said_v
    )
