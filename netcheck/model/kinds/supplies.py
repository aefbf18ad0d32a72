"""Supplies: a load on the input, a source on the output."""

from __future__ import annotations

from netcheck.model.devices import Load
from netcheck.model.kinds.common import (
    BAND,
    CURRENT,
    GROUND_LEAKAGE,
    band_of,
    kind_of_current,
    one_voltage,
    own,
)
from netcheck.model.kinds.poles import (
    EARTHED,
    LOWEST_TWO_LINE_V,
    POLES_NAMED,
    dc_poles,
    grounding_of,
    known_pole,
    named,
)
from netcheck.model.kinds.sources import CLASS_2, MAY_PARALLEL
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.reading.values import PhraseMistake, Rating

BOOST = Phrase(
    "boost_a",
    "boosts to {boost:current}",
    "boosts to 30 A",
    "what it gives for a moment, to open a breaker",
)

HOLDS_UP = Phrase(
    "holds_up_s", "holds up {time:time}", "holds up 20 ms", "how long it lives on without input"
)

DERATES = Phrase(
    "derates_c",
    "derates above {temperature:temperature}",
    "derates above 50 degC",
    "from where it no longer gives all its current",
)

REDUNDANT = Phrase(
    "redundant_with",
    "redundant with {name:name}",
    "redundant with PS2",
    "either is to carry the load alone",
)

CONVERSION = Phrase(
    "conversion",
    "{input:rating} to {rating:rating}",
    "120 V AC to 24 V DC",
    "what it takes, and what it gives",
)

DECOUPLED = Phrase(
    "decoupled", "decoupled", "decoupled", "with the diode that lets two supplies share a load"
)

SUPPLY_EFFICIENCY = 0.85
"""Share of its input a DC supply gives back, where its input amperes are not said: from memory."""


def conversion_of(maker: Maker, said: Said, example: str) -> tuple[Rating, Rating]:
    """What is taken and what is given."""
    conversion = said.properties.get("conversion")
    if conversion is None:
        raise PhraseMistake(
            "", f"{maker.name} does not say what it makes of what", f"say `{example}`"
        )
    taken, given = conversion["input"], conversion["rating"]
    assert isinstance(taken, Rating)
    assert isinstance(given, Rating)
    return taken, given


def build_supply(maker: Maker, said: Said) -> None:
    taken, given = conversion_of(maker, said, "120 V AC to 24 V DC")
    one_voltage(said, "conversion", taken)
    kind_of_current(said, "conversion", taken, either=False)
    kind_of_current(said, "conversion", given, either=False)
    one_voltage(said, "conversion", given)
    feed, home = _supply_input(maker, said, taken, given)
    maker.frame()
    usual = dc_poles(given.volts)
    poles = named(
        maker,
        said,
        usual if given.kind == "DC" else {"X1": complex(given.volts), "X2": 0j},
    )
    found = grounding_of(maker, said, poles)
    if said.has("common"):
        maker.joins("common", home, maker.terminal(known_pole(maker, said, "common", poles)))
    maker.source(
        poles,
        basis="DC" if given.kind == "DC" else f"AC {maker.name}",
        kind=given.kind,
        frequency_hz=given.frequency_hz,
        inputs=(feed,),
        current_a=said.number("current"),
        current_limited=True,
        class_2=said.has("class_2"),
        grounded_pole=found.pole,
        grounding=found.how,
        volts=given.volts,
        isolated=not said.has("common"),
    )


def _supply_input(maker: Maker, said: Said, taken: Rating, given: Rating) -> tuple[int, str]:
    """The input as a load, and its home terminal."""
    volts = taken.volts
    if taken.kind == "DC":
        marks = ("L+", "M")
    else:
        marks = ("L1", "L2") if volts >= LOWEST_TWO_LINE_V and not maker.iec else ("L", "N")
    line, home = maker.terminal(marks[0]), maker.terminal(marks[1])
    low, high = band_of(said)
    output_a, drawn_a = said.number("current"), said.number("input_a")
    if drawn_a is None and output_a is not None:
        drawn_a = output_a * given.volts / volts / SUPPLY_EFFICIENCY
    load = Load(
        "supply",
        volts,
        taken.kind,
        taken.frequency_hz,
        1,
        drawn_a,
        polarised=taken.kind == "DC",
        low=low / volts if low else 0.85,
        high=high / volts if high else 1.10,
        continuous=True,
    )
    return maker.load("input", line, home, load), home


KINDS = (
    Kind(
        "supply",
        (
            own(
                CONVERSION,
                CURRENT,
                BAND,
                CLASS_2,
                POLES_NAMED,
                *EARTHED,
                DECOUPLED,
                MAY_PARALLEL,
                REDUNDANT,
                BOOST,
                HOLDS_UP,
                DERATES,
                GROUND_LEAKAGE,
                Phrase("isolated", "isolated", "isolated", "output and input are not joined"),
                Phrase(
                    "common",
                    "common {pole:mark}",
                    "common 0V",
                    "that output pole is joined to the input",
                ),
                Phrase(
                    "limit_a",
                    "limits at {limit:current}",
                    "limits at 6.5 A",
                    "the current it gives into a short circuit",
                ),
                Phrase("input_a", "draws {input:current}", "draws 1.2 A", "its input current"),
            ),
        ),
        build_supply,
        "supply PS1 120 V AC to 24 V DC, 5 A, isolated, 0V grounded",
        "A load on its input, L N (L1 L2 from 200 V, L+ M on DC), and a source on its output, "
        "+ 0V. `from 100 V to 240 V` gives the input band of a wide-range supply; `common 0V` "
        "joins input and output; `decoupled` has the diode that lets two share their load.",
    ),
)
