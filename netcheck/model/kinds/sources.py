"""Where electricity comes from: services, batteries, and edges to what is described elsewhere."""

from __future__ import annotations

from netcheck.model.devices import Drive, Load
from netcheck.model.kinds.common import CURRENT, FREQUENCY, PHASES, RATING, kind_of_current, own
from netcheck.model.kinds.poles import (
    BONDED,
    EARTHED,
    PHASE_ORDER,
    POLES_NAMED,
    WIRES,
    Grounding,
    dc_poles,
    grounding_of,
    named,
    poles_of,
    refuse_dc_system,
)
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.reading.values import EITHER, PhraseMistake, Rating

AVAILABLE = Phrase(
    "available_a",
    "{available:current} available",
    "10 kA available",
    "the short-circuit current it can give",
)

X_TO_R = Phrase(
    "x_to_r", "X/R {ratio:number}", "X/R 8", "its reactance over its resistance in a short circuit"
)

MAY_PARALLEL = Phrase(
    "may_be_paralleled",
    "may be paralleled",
    "may be paralleled",
    "made to share a load with another of its kind",
)

FUSED = Phrase("fused_a", "fused {fused:current}", "fused 4 A", "what protects its conductors")

SUPPLIES = (RATING, PHASES, FREQUENCY)

CLASS_2 = Phrase("class_2", "class 2", "class 2", "a class 2 source")

SYNCHRONISED = Phrase(
    "synchronised",
    "synchronised with {name:name}",
    "synchronised with MAINS",
    "runs in step with that source",
)


def _source_rating(maker: Maker, said: Said) -> Rating:
    rating = maker.need_rating(said)
    kind_of_current(said, "rating", rating, either=False)
    refuse_dc_system(said, "rating", rating)
    return rating


def _presence(
    maker: Maker, said: Said, rating: Rating, poles: dict[str, complex], found: Grounding
) -> None:
    """A source of its own: present or absent."""
    dc = rating.kind == "DC"
    partner = said.value("synchronised")
    maker.source(
        poles,
        basis="DC" if dc else f"AC {partner or maker.name}",
        kind=rating.kind,
        frequency_hz=None if dc else rating.frequency_hz,
        mechanism=maker.mechanism("source", Drive.SOURCE, start=(0,)).name,
        available_a=said.number("available_a"),
        fused_a=said.number("fused_a"),
        current_a=said.number("current"),
        class_2=said.has("class_2"),
        grounded_pole=found.pole,
        grounding=found.how,
        volts=rating.volts,
    )


def build_source(maker: Maker, said: Said) -> None:
    rating = _source_rating(maker, said)
    poles = poles_of(maker, said, rating)
    maker.frame()
    _presence(maker, said, rating, poles, grounding_of(maker, said, poles))


def build_battery(maker: Maker, said: Said) -> None:
    rating = maker.need_rating(said)
    if rating.kind == "AC" or rating.kind == EITHER:
        raise PhraseMistake(said.tokens["rating"], "a battery gives DC", "write `12 V DC`")
    rating = Rating(rating.voltage, "DC")
    refuse_dc_system(said, "rating", rating)
    poles = named(maker, said, dc_poles(rating.volts, ("+", "-")))
    _presence(maker, said, rating, poles, grounding_of(maker, said, poles))


def build_edge(maker: Maker, said: Said) -> None:
    """An edge feeds the description, or takes from it where it says what it takes."""
    rating = _source_rating(maker, said)
    poles = poles_of(maker, said, rating)
    maker.frame()
    maker.values["edge"] = True
    takes_a = said.number("takes_a")
    if takes_a is None:
        _presence(maker, said, rating, poles, grounding_of(maker, said, poles))
        return
    for a, b, volts, phases in _taking(rating, poles):
        load = Load("edge", volts, rating.kind, rating.frequency_hz, phases, takes_a, low=0.9)
        maker.load("edge", maker.terminal(a), maker.terminal(b), load)


def _taking(rating: Rating, poles: dict[str, complex]) -> list[tuple[str, str, float, int]]:
    """What an edge takes: from each line to the neutral, or between the lines where there is none.

    Each row: two poles, the volts between them, phases.
    """
    names = list(poles)
    if len(names) == 2:
        return [(names[0], names[1], rating.volts, 1)]
    home = next((name for name, volts in poles.items() if not volts), None)
    if home is not None:
        return [(name, home, abs(poles[name]), 1) for name in names if name != home]
    return [(a, b, rating.volts, 3) for a, b in zip(names, names[1:] + names[:1], strict=True)]


KINDS = (
    Kind(
        "source",
        (
            own(
                *SUPPLIES,
                WIRES,
                AVAILABLE,
                X_TO_R,
                FUSED,
                BONDED,
                SYNCHRONISED,
                PHASE_ORDER,
                POLES_NAMED,
                *EARTHED,
            ),
        ),
        build_source,
        'source MAINS "Utility service" 120/240 V AC 60 Hz, three-wire, 10 kA available, '
        "neutral bonded here",
        "A service, generator or feeder. Its poles follow from its voltage: `120/240 V AC` has "
        "L1 L2 N, `208Y/120 V AC` and `480Y/277 V AC` L1 L2 L3 N, `480 V AC three-phase` "
        "L1 L2 L3, one lower voltage L N, one of 200 V or more L1 L2, DC + 0V. PE is its "
        "grounding terminal. `fused` is what protects its conductors ahead of the panel. "
        "`neutral bonded upstream` is a feeder whose neutral is bonded before it gets here.",
    ),
    Kind(
        "battery",
        (own(RATING, AVAILABLE, FUSED, POLES_NAMED, *EARTHED),),
        build_battery,
        "battery BT1 12 V DC, ungrounded",
        "Poles + and -.",
    ),
    Kind(
        "edge",
        (
            own(
                *SUPPLIES,
                AVAILABLE,
                X_TO_R,
                FUSED,
                CURRENT,
                WIRES,
                BONDED,
                SYNCHRONISED,
                PHASE_ORDER,
                POLES_NAMED,
                CLASS_2,
                MAY_PARALLEL,
                *EARTHED,
                Phrase("from", "from {from:text}", 'from "panel A"', "where it comes from"),
                Phrase("to", "to {to:text}", 'to "panel B"', "where it goes"),
                Phrase(
                    "takes_a", "takes {takes:leakage}", "takes 0.5 A", "what the other side takes"
                ),
            ),
        ),
        build_edge,
        'edge EA "24 V of panel A" 24 V DC, fused 4 A, 0V grounded, from "panel A"',
        "Where the description begins in something described elsewhere, or ends in it: "
        "with `takes` it is a load, otherwise a source. What an edge claims is taken on trust.",
    ),
)
