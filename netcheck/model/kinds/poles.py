"""The poles of what electricity comes from: marks, potentials, and how they stand to ground."""

from __future__ import annotations

import cmath
import math

from netcheck.model.devices import Conducts
from netcheck.model.maker import Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.reading.quantities import SystemVoltage
from netcheck.reading.values import PhraseMistake, Rating
from netcheck.record import record

PHASE_ORDER = Phrase(
    "phase_order",
    "phase order {poles:mark...}",
    "phase order L1 L3 L2",
    "the order in which its lines follow one another, where it is not the usual one",
)

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
    """Poles and potentials of a DC system, plus first; the other one is at 0 V."""
    return {names[0]: complex(volts), names[1]: 0j}


def refuse_dc_system(said: Said, key: str, rating: Rating) -> None:
    """Raise PhraseMistake where two voltages are said of a DC source."""
    if rating.kind == "DC" and isinstance(rating.voltage, SystemVoltage):
        raise PhraseMistake(
            said.tokens[key],
            f"`{rating.voltage.text}` are the two voltages of an AC system",
            "a DC source has one: `24 V DC`",
        )


def poles_of(maker: Maker, said: Said, rating: Rating) -> dict[str, complex]:
    """The poles of a source, made as terminals, under the panel's own names where it gives some."""
    usual = dc_poles(rating.volts) if rating.kind == "DC" else ac_poles(said, rating, iec=maker.iec)
    return named(maker, said, _in_order(maker, said, usual))


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


def named(maker: Maker, said: Said, poles: dict[str, complex]) -> dict[str, complex]:
    """The poles under the panel's own names, made as terminals.  Raises PhraseMistake."""
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
class Grounding:
    """How a source stands to ground, and the pole that is grounded, as declared."""

    how: str = ""
    pole: str = ""


def grounding_of(maker: Maker, said: Said, poles: dict[str, complex]) -> Grounding:
    """As declared.  A grounded pole is bonded to the frame, PE."""
    found = _declared(maker, said, poles)
    if found.pole:
        maker.part("bond", maker.terminal(found.pole), maker.frame(), Conducts.BOND)
    return found


def _declared(maker: Maker, said: Said, poles: dict[str, complex]) -> Grounding:
    if said.has("ungrounded"):
        return Grounding("floating")
    if said.has("bonded"):
        if "N" not in poles:
            raise PhraseMistake(
                said.tokens["bonded"],
                f"{maker.name} has no neutral to bond",
                f"its poles are {', '.join(poles)}; say `{list(poles)[-1]} grounded` if one is",
            )
        return Grounding("grounded", "N")
    for word in ("grounded", "watched", "floating"):
        if said.has(word):
            pole = known_pole(maker, said, word, poles)
            return Grounding(word, pole if word == "grounded" else "")
    return Grounding()


def known_pole(maker: Maker, said: Said, key: str, poles: dict[str, complex]) -> str:
    """The pole that a phrase names.  Raises PhraseMistake for one that is not there."""
    pole = str(said.value(key))
    if pole not in poles:
        raise PhraseMistake(
            said.tokens[key],
            f"{maker.name} has no pole `{pole}`",
            f"its poles are {', '.join(poles)}",
        )
    return pole
