"""Where electricity comes from: services, batteries, supplies, transformers, edges."""

from __future__ import annotations

import cmath
import math

from lark import Token

from netcheck.model.devices import Conducts, Drive, Load
from netcheck.model.kinds.common import BAND, CURRENT, RATING, load_from, own
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Phrase, PhraseMistake, Rating, Said
from netcheck.reading.quantities import SystemVoltage

AVAILABLE = Phrase("available_a", "{available:current} available", "10 kA available")
FUSED = Phrase("fused_a", "fused {fused:current}", "fused 4 A")
GROUNDED = Phrase("grounded", "{pole:mark} grounded", "0V grounded")
FLOATING = Phrase("floating", "{pole:mark} floating", "0V floating")
ALL_FLOATING = Phrase("ungrounded", "ungrounded", "ungrounded")
WATCHED = Phrase("watched", "{pole:mark} watched", "0V watched")
CLASS_2 = Phrase("class_2", "class 2", "class 2")
WIRES = Phrase("wires", "{wires:two-wire|three-wire|four-wire}", "three-wire")
POLES_NAMED = Phrase("pole_names", "poles {poles:mark...}", "poles + 0V")
BONDED = Phrase("bonded", "neutral bonded {where:here|upstream}", "neutral bonded here")
SYNCHRONISED = Phrase("synchronised", "synchronised with {name:name}", "synchronised with MAINS")

THIRD = 2 * math.pi / 3


def phasor(volts: float, degrees: float) -> complex:
    """Rounded so that equal potentials compare equal."""
    value = cmath.rect(volts, math.radians(degrees))
    return complex(round(value.real, 3), round(value.imag, 3))


def ac_poles(rating: Rating, wires: str, token: Token) -> dict[str, complex]:
    """Pole marks and potentials of an AC system, from its voltage and number of wires."""
    voltage = rating.voltage
    if isinstance(voltage, SystemVoltage) and voltage.phases == "split":
        half = voltage.neutral_v
        return {"L1": complex(half), "L2": complex(-half), "N": 0j}
    if isinstance(voltage, SystemVoltage) or rating.phases == 3:
        star = (
            voltage.neutral_v if isinstance(voltage, SystemVoltage) else rating.volts / math.sqrt(3)
        )
        poles = {
            "L1": phasor(star, 0),
            "L2": phasor(star, -120),
            "L3": phasor(star, 120),
        }
        if wires != "three-wire":
            if not isinstance(voltage, SystemVoltage) and wires != "four-wire":
                return poles
            poles["N"] = 0j
        return poles
    if wires not in ("", "two-wire"):
        raise PhraseMistake(
            token,
            f"`{voltage.text}` alone does not say what a {wires} system is",
            "say both voltages (`120/240 V AC`, `208Y/120 V AC`) or `three-phase`",
        )
    if rating.volts >= 200:
        return {"L1": complex(rating.volts), "L2": 0j}
    return {"L": complex(rating.volts), "N": 0j}


def dc_poles(volts: float, names: tuple[str, ...] = ("+", "0V")) -> dict[str, complex]:
    return {names[0]: complex(volts), names[1]: 0j}


def _rating(maker: Maker, said: Said, what: str) -> Rating:
    rating = maker.need(said, "rating", what)
    assert isinstance(rating, Rating)
    return rating


def _need_kind(maker: Maker, rating: Rating) -> None:
    if not rating.kind:
        raise PhraseMistake(
            Token("NAME", rating.voltage.text),
            f"{maker.name}: `{rating.voltage.text}` is AC or DC?",
            f"write `{rating.voltage.text} AC` or `{rating.voltage.text} DC`",
        )


def _grounding(maker: Maker, said: Said, poles: dict[str, complex]) -> tuple[str, str]:
    """How the source stands to ground, and the pole that is grounded, as declared."""
    if said.has("ungrounded"):
        return "floating", ""
    for word, key in (("grounded", "grounded"), ("watched", "watched"), ("floating", "floating")):
        pole = said.value(key)
        if pole is None:
            continue
        if pole not in poles:
            raise PhraseMistake(
                said.tokens[key],
                f"{maker.name} has no pole `{pole}`",
                f"its poles are {', '.join(poles)}",
            )
        return word, str(pole) if word == "grounded" else ""
    return "", ""


def _bond_to_frame(maker: Maker, pole: str) -> None:
    maker.part("bond", maker.terminal(pole), maker.frame(), Conducts.BOND)


def build_source(maker: Maker, said: Said) -> None:
    rating = _rating(maker, said, "voltage")
    _need_kind(maker, rating)
    token = said.tokens["rating"]
    if rating.kind == "DC":
        poles = dc_poles(rating.volts)
    else:
        poles = ac_poles(rating, str(said.value("wires") or ""), token)
    poles = _named(maker, said, poles)
    for pole in poles:
        maker.terminal(pole)
    grounding, grounded = _grounding(maker, said, poles)
    if said.has("bonded"):
        if "N" not in poles:
            raise PhraseMistake(
                said.tokens["bonded"],
                f"{maker.name} has no neutral to bond",
                f"its poles are {', '.join(poles)}; say `L2 grounded` if a pole is grounded",
            )
        grounding, grounded = "grounded", "N"
    maker.frame()
    if grounded:
        _bond_to_frame(maker, grounded)
    mechanism = maker.mechanism("source", Drive.SOURCE, start=(0,))
    partner = said.value("synchronised")
    maker.source(
        poles,
        basis="DC" if rating.kind == "DC" else f"AC {partner or maker.name}",
        kind=rating.kind,
        frequency_hz=rating.frequency_hz or (60.0 if rating.kind == "AC" else None),
        mechanism=mechanism.name,
        available_a=said.number("available_a"),
        fused_a=said.number("fused_a"),
        grounded_pole=grounded,
        grounding=grounding,
        volts=rating.volts,
    )
    maker.keep(said, "available_a", "fused_a")


def _named(maker: Maker, said: Said, poles: dict[str, complex]) -> dict[str, complex]:
    """The poles under the panel's own names, where it gives some."""
    names = said.value("pole_names")
    if not isinstance(names, tuple):
        return poles
    if len(names) != len(poles) or len(set(names)) != len(names):
        raise PhraseMistake(
            said.tokens["pole_names"],
            f"{maker.name} has {len(poles)} poles, not {len(names)}",
            f"name one for each of {', '.join(poles)}",
        )
    return dict(zip(names, poles.values(), strict=True))


def build_battery(maker: Maker, said: Said) -> None:
    rating = _rating(maker, said, "voltage")
    poles = _named(maker, said, dc_poles(rating.volts, ("+", "-")))
    for pole in poles:
        maker.terminal(pole)
    grounding, grounded = _grounding(maker, said, poles)
    if grounded:
        _bond_to_frame(maker, grounded)
    mechanism = maker.mechanism("source", Drive.SOURCE, start=(0,))
    maker.source(
        poles,
        basis="DC",
        kind="DC",
        mechanism=mechanism.name,
        available_a=said.number("available_a"),
        fused_a=said.number("fused_a"),
        grounded_pole=grounded,
        grounding=grounding,
        volts=rating.volts,
    )
    maker.keep(said, "available_a", "fused_a")


def build_supply(maker: Maker, said: Said) -> None:
    conversion = said.properties.get("conversion")
    if conversion is None:
        raise PhraseMistake(
            Token("NAME", maker.name),
            f"{maker.name} does not say what it makes of what",
            "say `120 V AC to 24 V DC`",
        )
    source, output = conversion["input"], conversion["rating"]
    assert isinstance(source, Rating)
    assert isinstance(output, Rating)
    _need_kind(maker, source)
    _need_kind(maker, output)
    volts = source.volts
    if source.kind == "DC":
        line, home = maker.terminal("L+"), maker.terminal("M")
    elif volts >= 200:
        line, home = maker.terminal("L1"), maker.terminal("L2")
    else:
        line, home = maker.terminal("L"), maker.terminal("N")
    band_low, band_high = said.number("band", "low"), said.number("band", "high")
    limit_a = said.number("current")
    drawn_a = said.number("input_a")
    if drawn_a is None and limit_a is not None:
        drawn_a = limit_a * output.volts / volts / SUPPLY_EFFICIENCY
    feed = maker.load(
        "input",
        line,
        home,
        Load(
            "supply",
            volts,
            source.kind,
            source.frequency_hz,
            1,
            drawn_a,
            polarised=source.kind == "DC",
            low=band_low / volts if band_low else 0.85,
            high=band_high / volts if band_high else 1.10,
            continuous=True,
        ),
    )
    maker.frame()
    poles = _named(
        maker,
        said,
        dc_poles(output.volts) if output.kind == "DC" else {"X1": complex(output.volts), "X2": 0j},
    )
    for pole in poles:
        maker.terminal(pole)
    grounding, grounded = _grounding(maker, said, poles)
    if grounded:
        _bond_to_frame(maker, grounded)
    if said.has("common"):
        maker.joins("common", home, maker.terminal(list(poles)[1]))
    maker.source(
        poles,
        basis="DC" if output.kind == "DC" else f"AC {maker.name}",
        kind=output.kind,
        frequency_hz=output.frequency_hz,
        inputs=(feed,),
        current_a=limit_a,
        current_limited=True,
        class_2=said.has("class_2"),
        grounded_pole=grounded,
        grounding=grounding,
        volts=output.volts,
        isolated=not said.has("common"),
    )
    maker.keep(said, "current", "limit_a", "input_a")


SUPPLY_EFFICIENCY = 0.85
"""Share of its input that a DC supply gives back, where its input amperes are not said: from memory."""


def build_transformer(maker: Maker, said: Said) -> None:
    conversion = said.properties.get("conversion")
    if conversion is None:
        raise PhraseMistake(
            Token("NAME", maker.name),
            f"{maker.name} does not say what it makes of what",
            "say `240 V AC to 120 V AC`",
        )
    primary, secondary = conversion["input"], conversion["rating"]
    assert isinstance(primary, Rating)
    assert isinstance(secondary, Rating)
    va = said.number("va")
    inputs: list[int] = []
    phases = 3 if primary.phases == 3 else 1
    heads = ["H1", "H2", "H3"] if phases == 3 else ["H1", "H2"]
    names = [maker.terminal(head) for head in heads]
    amperes = va / primary.volts / (math.sqrt(3) if phases == 3 else 1) if va else None
    for a, b in zip(names, names[1:] + names[:1], strict=True):
        inputs.append(
            maker.load(
                "primary",
                a,
                b,
                Load(
                    "transformer",
                    primary.volts,
                    "AC",
                    primary.frequency_hz,
                    phases,
                    amperes,
                    power_va=va,
                    low=0.9,
                    high=1.1,
                    continuous=True,
                ),
            )
        )
        if phases == 1:
            break
    maker.frame()
    poles = _named(maker, said, _windings(secondary))
    for pole in poles:
        maker.terminal(pole)
    grounding, grounded = _grounding(maker, said, poles)
    if grounded:
        _bond_to_frame(maker, grounded)
    if said.has("autotransformer"):
        maker.joins("common", names[-1], maker.terminal(list(poles)[-1]))
    secondary_a = va / secondary.volts / (math.sqrt(3) if len(poles) > 3 else 1) if va else None
    maker.source(
        poles,
        basis=f"AC {maker.name}",
        kind="AC",
        frequency_hz=primary.frequency_hz,
        inputs=tuple(inputs),
        current_a=secondary_a,
        class_2=said.has("class_2"),
        grounded_pole=grounded,
        grounding=grounding,
        volts=secondary.volts,
        isolated=not said.has("autotransformer"),
    )
    maker.keep(said, "va")
    maker.values["primary_v"] = primary.volts
    maker.values["secondary_v"] = secondary.volts
    if amperes and secondary_a:
        maker.values["primary_a"] = amperes
        maker.values["secondary_a"] = secondary_a


def _windings(rating: Rating) -> dict[str, complex]:
    voltage = rating.voltage
    if isinstance(voltage, SystemVoltage) and voltage.phases == "split":
        half = voltage.neutral_v
        return {"X1": complex(half), "X3": complex(-half), "X2": 0j}
    if isinstance(voltage, SystemVoltage) or rating.phases == 3:
        star = (
            voltage.neutral_v if isinstance(voltage, SystemVoltage) else rating.volts / math.sqrt(3)
        )
        poles = {"X1": phasor(star, 0), "X2": phasor(star, -120), "X3": phasor(star, 120)}
        if isinstance(voltage, SystemVoltage):
            poles["X0"] = 0j
        return poles
    return {"X1": complex(rating.volts), "X2": 0j}


def build_edge(maker: Maker, said: Said) -> None:
    """An edge feeds the description, or takes from it where it says what it takes."""
    rating = _rating(maker, said, "voltage")
    _need_kind(maker, rating)
    takes = said.number("takes_a")
    poles = (
        dc_poles(rating.volts)
        if rating.kind == "DC"
        else ac_poles(rating, str(said.value("wires") or ""), said.tokens["rating"])
    )
    poles = _named(maker, said, poles)
    for pole in poles:
        maker.terminal(pole)
    maker.keep(said, "from", "to", "fused_a", "available_a")
    maker.values["edge"] = True
    if takes is not None:
        first, last = list(poles)[0], list(poles)[-1]
        load = load_from(said, "edge")
        maker.load(
            "edge",
            maker.terminal(first),
            maker.terminal(last),
            Load(
                "edge",
                rating.volts,
                rating.kind,
                rating.frequency_hz,
                1,
                takes,
                polarised=False,
                low=load.low,
                high=load.high,
            ),
        )
        return
    grounding, grounded = _grounding(maker, said, poles)
    if said.has("bonded") and "N" in poles:
        grounding, grounded = "grounded", "N"
    if grounded:
        _bond_to_frame(maker, grounded)
    mechanism = maker.mechanism("source", Drive.SOURCE, start=(0,))
    maker.source(
        poles,
        basis="DC" if rating.kind == "DC" else f"AC {said.value('synchronised') or maker.name}",
        kind=rating.kind,
        frequency_hz=rating.frequency_hz or (60.0 if rating.kind == "AC" else None),
        mechanism=mechanism.name,
        available_a=said.number("available_a"),
        fused_a=said.number("fused_a"),
        current_a=said.number("current"),
        class_2=said.has("class_2"),
        grounded_pole=grounded,
        grounding=grounding,
        volts=rating.volts,
    )


EARTHED = (GROUNDED, FLOATING, WATCHED, ALL_FLOATING)
CONVERSION = Phrase("conversion", "{input:rating} to {rating:rating}", "120 V AC to 24 V DC")
KINDS = (
    Kind(
        "source",
        (own(RATING, WIRES, AVAILABLE, FUSED, BONDED, SYNCHRONISED, POLES_NAMED, *EARTHED),),
        build_source,
        'source MAINS "Utility service" 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here',
        "A service, generator or feeder. Its poles follow from its voltage: `120/240 V AC` has L1 L2 N, "
        "`208Y/120 V AC` and `480Y/277 V AC` L1 L2 L3 N, `480 V AC three-phase` L1 L2 L3, a lower single "
        "voltage L N, one of 200 V or more L1 L2, DC + 0V. PE is its grounding terminal. "
        "`fused` is what protects its conductors ahead of the panel.",
    ),
    Kind(
        "battery",
        (own(RATING, AVAILABLE, FUSED, POLES_NAMED, *EARTHED),),
        build_battery,
        "battery B1 12 V DC, ungrounded",
        "Poles + and -.",
    ),
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
                Phrase("isolated", "isolated", "isolated"),
                Phrase("common", "common {pole:mark}", "common 0V"),
                Phrase("limit_a", "limits at {limit:current}", "limits at 6.5 A"),
                Phrase("input_a", "draws {input:current}", "draws 1.2 A"),
            ),
        ),
        build_supply,
        "supply PS1 120 V AC to 24 V DC, 5 A, isolated, 0V grounded",
        "A load on its input, L N (L1 L2 from 200 V, L+ M on DC), and a source on its output, + 0V. "
        "`from 100 V to 240 V` gives the input band of a wide-range supply.",
    ),
    Kind(
        "transformer",
        (
            own(
                CONVERSION,
                Phrase("va", "{va:va}", "500 VA"),
                CLASS_2,
                POLES_NAMED,
                *EARTHED,
                Phrase("autotransformer", "autotransformer", "autotransformer"),
            ),
        ),
        build_transformer,
        "transformer T1 240 V AC to 120 V AC, 500 VA, X2 grounded",
        "Primary H1 H2, secondary X1 X2 (X1 X2 X3 where it has a middle, X0 the star point).",
    ),
    Kind(
        "edge",
        (
            own(
                RATING,
                AVAILABLE,
                FUSED,
                CURRENT,
                WIRES,
                BONDED,
                SYNCHRONISED,
                POLES_NAMED,
                CLASS_2,
                *EARTHED,
                Phrase("from", "from {from:text}", 'from "panel A"'),
                Phrase("to", "to {to:text}", 'to "panel B"'),
                Phrase("takes_a", "takes {takes:current}", "takes 0.5 A"),
            ),
        ),
        build_edge,
        'edge EA "24 V of panel A" 24 V DC, fused 4 A, 0V grounded, from "panel A"',
        "Where the description begins in something described elsewhere, or ends in it: "
        "with `takes` it is a load, otherwise a source. What an edge claims is taken on trust.",
    ),
)
