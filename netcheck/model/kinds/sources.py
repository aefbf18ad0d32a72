"""Where electricity comes from: services, batteries, supplies, transformers, edges."""

from __future__ import annotations

import cmath
import math

from netcheck.model.devices import Conducts, Drive, Load
from netcheck.model.kinds.common import (
    BAND,
    CURRENT,
    FREQUENCY,
    GROUND_LEAKAGE,
    PHASES,
    RATING,
    band_of,
    kind_of_current,
    one_voltage,
    own,
)
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.reading.quantities import Quantity, SystemVoltage
from netcheck.reading.values import EITHER, PhraseMistake, Rating
from netcheck.record import record

AVAILABLE = Phrase(
    "available_a",
    "{available:current} available",
    "10 kA available",
    "the short-circuit current it can give",
)
X_TO_R = Phrase(
    "x_to_r", "X/R {ratio:number}", "X/R 8", "its reactance over its resistance in a short circuit"
)
IMPEDANCE = Phrase(
    "impedance", "impedance {impedance:share}", "impedance 3 %", "of its rated impedance"
)
PHASE_ORDER = Phrase(
    "phase_order",
    "phase order {poles:mark...}",
    "phase order L1 L3 L2",
    "the order in which its lines follow one another, where it is not the usual one",
)
TAP = Phrase(
    "taps*",
    "tap {mark:mark} {volts:volts}",
    "tap H3 480 V",
    "a further tap of its primary, and the voltage it is for",
)
ON_TAP = Phrase("on_tap", "on tap {mark:mark}", "on tap H3", "the tap that is in use")
STRAPPED_FOR = Phrase(
    "strapped_v",
    "strapped for {volts:volts}",
    "strapped for 240 V",
    "which of its two primary voltages its links are set for",
)
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
MAY_PARALLEL = Phrase(
    "may_be_paralleled",
    "may be paralleled",
    "may be paralleled",
    "made to share a load with another of its kind",
)
FUSED = Phrase("fused_a", "fused {fused:current}", "fused 4 A", "what protects its conductors")
GROUNDED = Phrase(
    "grounded", "{pole:mark} grounded", "0V grounded", "that pole is joined to ground"
)
FLOATING = Phrase("floating", "{pole:mark} floating", "0V floating", "no pole is joined to ground")
ALL_FLOATING = Phrase("ungrounded", "ungrounded", "ungrounded", "no pole is joined to ground")
WATCHED = Phrase(
    "watched",
    "{pole:mark} watched",
    "0V watched",
    "not grounded, and an insulation monitor watches it",
)
EARTHED = (GROUNDED, FLOATING, WATCHED, ALL_FLOATING)
SUPPLIES = (RATING, PHASES, FREQUENCY)
CLASS_2 = Phrase("class_2", "class 2", "class 2", "a class 2 source")
WIRES = Phrase(
    "wires",
    "{wires:two-wire|three-wire|four-wire}",
    "three-wire",
    "how many conductors it has, grounding apart",
)
POLES_NAMED = Phrase(
    "pole_names",
    "poles {poles:mark...}",
    "poles + 0V",
    "its poles, in the usual order, as the panel marks them",
)
BONDED = Phrase(
    "bonded",
    "neutral bonded {where:here|upstream}",
    "neutral bonded here",
    "where its neutral is joined to ground",
)
SYNCHRONISED = Phrase(
    "synchronised",
    "synchronised with {name:name}",
    "synchronised with MAINS",
    "runs in step with that source",
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

LOWEST_TWO_LINE_V = 200.0
"""From here on a single AC voltage stands between two lines, below it between line and neutral."""


def phasor(volts: float, degrees: float) -> complex:
    """Rounded so that equal potentials compare equal."""
    value = cmath.rect(volts, math.radians(degrees))
    return complex(round(value.real, 3), round(value.imag, 3))


def star_v(rating: Rating) -> float:
    """Volts from line to the star point of a three-phase system."""
    voltage = rating.voltage
    if isinstance(voltage, SystemVoltage):
        return voltage.neutral_v
    return rating.volts / math.sqrt(3)


def ac_poles(said: Said, rating: Rating, *, iec: bool = False) -> dict[str, complex]:
    """Pole marks and potentials of an AC system, from its voltage and number of wires.

    In IEC practice 230 V stand between a line and a neutral, in the other between two lines.
    """
    voltage = rating.voltage
    wires = str(said.value("wires") or "")
    if isinstance(voltage, SystemVoltage) and voltage.phases == "split":
        half = voltage.neutral_v
        return {"L1": complex(half), "L2": complex(-half), "N": 0j}
    if isinstance(voltage, SystemVoltage) or rating.phases == 3:
        star = star_v(rating)
        poles = {"L1": phasor(star, 0), "L2": phasor(star, -120), "L3": phasor(star, 120)}
        four = isinstance(voltage, SystemVoltage) or wires == "four-wire"
        return {**poles, "N": 0j} if four and wires != "three-wire" else poles
    if wires not in ("", "two-wire"):
        raise PhraseMistake(
            said.tokens["rating"],
            f"`{voltage.text}` alone does not say what a {wires} system is",
            "say both voltages (`120/240 V AC`, `208Y/120 V AC`) or `three-phase`",
        )
    if rating.volts >= LOWEST_TWO_LINE_V and not iec:
        return {"L1": complex(rating.volts), "L2": 0j}
    return {"L": complex(rating.volts), "N": 0j}


def dc_poles(volts: float, names: tuple[str, ...] = ("+", "0V")) -> dict[str, complex]:
    return {names[0]: complex(volts), names[1]: 0j}


def _source_rating(maker: Maker, said: Said) -> Rating:
    rating = maker.need_rating(said)
    kind_of_current(said, "rating", rating, either=False)
    _refuse_dc_system(said, "rating", rating)
    return rating


def _refuse_dc_system(said: Said, key: str, rating: Rating) -> None:
    if rating.kind == "DC" and isinstance(rating.voltage, SystemVoltage):
        raise PhraseMistake(
            said.tokens[key],
            f"`{rating.voltage.text}` are the two voltages of an AC system",
            "a DC source has one: `24 V DC`",
        )


def _poles(maker: Maker, said: Said, rating: Rating) -> dict[str, complex]:
    """The poles of a source, made as terminals, under the panel's own names where it gives some."""
    usual = dc_poles(rating.volts) if rating.kind == "DC" else ac_poles(said, rating, iec=maker.iec)
    return _named(maker, said, _in_order(maker, said, usual))


def _in_order(maker: Maker, said: Said, poles: dict[str, complex]) -> dict[str, complex]:
    """The lines with the potentials of the order in which they are said to follow."""
    order = said.value("phase_order")
    if not isinstance(order, tuple):
        return poles
    lines = [pole for pole, potential in poles.items() if potential]
    if len(lines) != 3 or sorted(order) != sorted(lines):
        raise PhraseMistake(
            said.tokens["phase_order"],
            f"{maker.name} has no such phase order",
            f"its lines: {', '.join(lines)}; write all three, the first to come first"
            if len(lines) == 3
            else "only a three-phase source has one",
        )
    potentials = dict(zip(order, (poles[line] for line in lines), strict=True))
    return {pole: potentials.get(pole, potential) for pole, potential in poles.items()}


def _named(maker: Maker, said: Said, poles: dict[str, complex]) -> dict[str, complex]:
    names = said.value("pole_names")
    if isinstance(names, tuple):
        if len(names) != len(poles) or len(set(names)) != len(names):
            raise PhraseMistake(
                said.tokens["pole_names"],
                f"{maker.name} has {len(poles)} poles, not {len(names)}",
                f"name one for each of {', '.join(poles)}",
            )
        poles = dict(zip(names, poles.values(), strict=True))
    for pole in poles:
        maker.terminal(pole)
    return poles


@record
class _Grounding:
    """How a source stands to ground, and the pole that is grounded, as declared."""

    how: str = ""
    pole: str = ""


def _grounding(maker: Maker, said: Said, poles: dict[str, complex]) -> _Grounding:
    """As declared.  A grounded pole is bonded to the frame, PE."""
    found = _declared(maker, said, poles)
    if found.pole:
        maker.part("bond", maker.terminal(found.pole), maker.frame(), Conducts.BOND)
    return found


def _declared(maker: Maker, said: Said, poles: dict[str, complex]) -> _Grounding:
    if said.has("ungrounded"):
        return _Grounding("floating")
    if said.has("bonded"):
        if "N" not in poles:
            raise PhraseMistake(
                said.tokens["bonded"],
                f"{maker.name} has no neutral to bond",
                f"its poles are {', '.join(poles)}; say `{list(poles)[-1]} grounded` if one is",
            )
        return _Grounding("grounded", "N")
    for word in ("grounded", "watched", "floating"):
        if said.has(word):
            pole = _known_pole(maker, said, word, poles)
            return _Grounding(word, pole if word == "grounded" else "")
    return _Grounding()


def _known_pole(maker: Maker, said: Said, key: str, poles: dict[str, complex]) -> str:
    pole = str(said.value(key))
    if pole not in poles:
        raise PhraseMistake(
            said.tokens[key],
            f"{maker.name} has no pole `{pole}`",
            f"its poles are {', '.join(poles)}",
        )
    return pole


def _presence(
    maker: Maker, said: Said, rating: Rating, poles: dict[str, complex], found: _Grounding
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
    poles = _poles(maker, said, rating)
    maker.frame()
    _presence(maker, said, rating, poles, _grounding(maker, said, poles))


def build_battery(maker: Maker, said: Said) -> None:
    rating = maker.need_rating(said)
    if rating.kind == "AC" or rating.kind == EITHER:
        raise PhraseMistake(said.tokens["rating"], "a battery gives DC", "write `12 V DC`")
    rating = Rating(rating.voltage, "DC")
    _refuse_dc_system(said, "rating", rating)
    poles = _named(maker, said, dc_poles(rating.volts, ("+", "-")))
    _presence(maker, said, rating, poles, _grounding(maker, said, poles))


# ---- supplies ----------------------------------------------------------------------------

SUPPLY_EFFICIENCY = 0.85
"""Share of its input a DC supply gives back, where its input amperes are not said: from memory."""


def _conversion(maker: Maker, said: Said, example: str) -> tuple[Rating, Rating]:
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
    taken, given = _conversion(maker, said, "120 V AC to 24 V DC")
    one_voltage(said, "conversion", taken)
    kind_of_current(said, "conversion", taken, either=False)
    kind_of_current(said, "conversion", given, either=False)
    one_voltage(said, "conversion", given)
    feed, home = _supply_input(maker, said, taken, given)
    maker.frame()
    usual = dc_poles(given.volts)
    poles = _named(
        maker,
        said,
        usual if given.kind == "DC" else {"X1": complex(given.volts), "X2": 0j},
    )
    found = _grounding(maker, said, poles)
    if said.has("common"):
        maker.joins("common", home, maker.terminal(_known_pole(maker, said, "common", poles)))
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


# ---- transformers ------------------------------------------------------------------------


def build_transformer(maker: Maker, said: Said) -> None:
    both, secondary = _conversion(maker, said, "240 V AC to 120 V AC")
    primary = _strapped(maker, said, both)
    for side in (primary, secondary):
        if side.kind not in ("", "AC"):
            raise PhraseMistake(
                said.tokens["conversion"],
                f"{maker.name}: a transformer works on AC alone",
                "for DC write `supply`",
            )
    va = said.number("va")
    phases = 3 if primary.phases == 3 else 1
    primary_a = va / primary.volts / (math.sqrt(3) if phases == 3 else 1) if va else None
    names, inputs = _primary(maker, said, both, primary, phases, va, primary_a)
    maker.frame()
    poles = _named(maker, said, _windings(secondary))
    found = _grounding(maker, said, poles)
    if said.has("autotransformer"):
        maker.joins("common", names[-1], maker.terminal(list(poles)[-1]))
    three = secondary.phases == 3 or (
        isinstance(secondary.voltage, SystemVoltage) and secondary.voltage.phases == "wye"
    )
    secondary_a = va / secondary.volts / (math.sqrt(3) if three else 1) if va else None
    maker.source(
        poles,
        basis=f"AC {maker.name}",
        kind="AC",
        frequency_hz=primary.frequency_hz,
        inputs=inputs,
        current_a=secondary_a,
        class_2=said.has("class_2"),
        grounded_pole=found.pole,
        grounding=found.how,
        volts=secondary.volts,
        isolated=not said.has("autotransformer"),
    )
    maker.values["primary_v"] = primary.volts
    maker.values["secondary_v"] = secondary.volts
    if primary_a and secondary_a:
        maker.values["primary_a"] = primary_a
        maker.values["secondary_a"] = secondary_a


def _strapped(maker: Maker, said: Said, both: Rating) -> Rating:
    """The voltage of the primary: one of two where it is strapped, that of a tap in use."""
    strapped_v = said.number("strapped_v")
    if isinstance(both.voltage, SystemVoltage) and both.voltage.phases == "split":
        low_v, high_v = both.voltage.neutral_v, both.voltage.line_v
        if strapped_v not in (low_v, high_v):
            key = "conversion" if strapped_v is None else "strapped_v"
            raise PhraseMistake(
                said.tokens[key],
                f"{maker.name} is strapped for {low_v:g} V or for {high_v:g} V?",
                f"say `strapped for {high_v:g} V`",
            )
        volts = strapped_v
    else:
        one_voltage(said, "conversion", both)
        if strapped_v is not None:
            raise PhraseMistake(
                said.tokens["strapped_v"],
                f"{maker.name} has one primary voltage; nothing is strapped for it",
                "say both that it can be strapped for: `240/480 V AC to 120 V AC`",
            )
        volts = _tap_v(maker, said) or both.volts
    return Rating(Quantity(volts, "voltage", f"{volts:g} V", "V"), both.kind, both.frequency_hz,
                  both.phases)  # fmt: skip


def _taps(said: Said) -> dict[str, float]:
    """Each further tap's mark, and the volts between H1 and it."""
    found = {}
    for key, slots in said.properties.items():
        volts = slots.get("volts")
        if key.startswith("taps") and isinstance(volts, Quantity):
            found[str(slots["mark"])] = volts.value
    return found


def _tap_v(maker: Maker, said: Said) -> float | None:
    """The volts of the tap in use, None for the usual one."""
    on_tap, taps = said.value("on_tap"), _taps(said)
    if on_tap is None or on_tap == "H2":
        return None
    if on_tap not in taps:
        raise PhraseMistake(
            said.tokens["on_tap"],
            f"{maker.name} has no tap {on_tap}",
            f"its taps: {', '.join(['H2', *taps])}",
        )
    return taps[str(on_tap)]


def _primary(
    maker: Maker,
    said: Said,
    both: Rating,
    primary: Rating,
    phases: int,
    va: float | None,
    primary_a: float | None,
) -> tuple[list[str], tuple[int, ...]]:
    """The primary's terminals in use, and its windings as loads.

    Two windings are joined as they are strapped, H2 to H3 for the higher voltage, H1 to H3
    and H2 to H4 for the lower.
    """
    names = [maker.terminal(head) for head in ("H1", "H2", "H3")[: 3 if phases == 3 else 2]]
    if isinstance(both.voltage, SystemVoltage):
        third, fourth = maker.terminal("H3"), maker.terminal("H4")
        if primary.volts == both.voltage.line_v:
            maker.joins("strap", names[1], third)
            names[1] = fourth
        else:
            maker.joins("strap", names[0], third)
            maker.joins("strap", names[1], fourth)
    for mark in _taps(said):
        tap = maker.terminal(mark)
        if mark == said.value("on_tap"):
            names[1] = tap
    load = Load(
        "transformer",
        primary.volts,
        "AC",
        primary.frequency_hz,
        phases,
        primary_a,
        power_va=va,
        low=0.9,
        high=1.1,
        continuous=True,
    )
    pairs = list(zip(names, names[1:] + names[:1], strict=True))[:phases]
    return names, tuple(maker.load("primary", a, b, load) for a, b in pairs)


def _windings(rating: Rating) -> dict[str, complex]:
    voltage = rating.voltage
    if isinstance(voltage, SystemVoltage) and voltage.phases == "split":
        half = voltage.neutral_v
        return {"X1": complex(half), "X3": complex(-half), "X2": 0j}
    if isinstance(voltage, SystemVoltage) or rating.phases == 3:
        star = star_v(rating)
        poles = {"X1": phasor(star, 0), "X2": phasor(star, -120), "X3": phasor(star, 120)}
        return {**poles, "X0": 0j} if isinstance(voltage, SystemVoltage) else poles
    return {"X1": complex(rating.volts), "X2": 0j}


# ---- edges -------------------------------------------------------------------------------


def build_edge(maker: Maker, said: Said) -> None:
    """An edge feeds the description, or takes from it where it says what it takes."""
    rating = _source_rating(maker, said)
    poles = _poles(maker, said, rating)
    maker.frame()
    maker.values["edge"] = True
    takes_a = said.number("takes_a")
    if takes_a is None:
        _presence(maker, said, rating, poles, _grounding(maker, said, poles))
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
    Kind(
        "transformer",
        (
            own(
                CONVERSION,
                Phrase("va", "{va:va}", "500 VA", "what it is made for"),
                CLASS_2,
                IMPEDANCE,
                X_TO_R,
                STRAPPED_FOR,
                TAP,
                ON_TAP,
                POLES_NAMED,
                *EARTHED,
                Phrase(
                    "autotransformer",
                    "autotransformer",
                    "autotransformer",
                    "one winding: it isolates nothing",
                ),
            ),
        ),
        build_transformer,
        "transformer T1 240 V AC to 120 V AC, 500 VA, X2 grounded",
        "Primary H1 H2, secondary X1 X2 (X1 X2 X3 where it has a middle, X0 the star point). "
        "`240/480 V AC to 120 V AC, strapped for 480 V` has two primary windings, H1-H2 and "
        "H3-H4, linked for that voltage; a primary with taps says each, and which one is in use.",
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
