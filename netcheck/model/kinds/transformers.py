"""Transformers: a primary as it is strapped and tapped, a secondary that is a source."""

from __future__ import annotations

import math

from netcheck.model.devices import Load
from netcheck.model.kinds.common import one_voltage, own
from netcheck.model.kinds.poles import EARTHED, POLES_NAMED, grounding_of, named, phasor, star_v
from netcheck.model.kinds.sources import CLASS_2, X_TO_R
from netcheck.model.kinds.supplies import CONVERSION, conversion_of
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.reading.quantities import Quantity, SystemVoltage
from netcheck.reading.values import PhraseMistake, Rating

IMPEDANCE = Phrase(
    "impedance", "impedance {impedance:share}", "impedance 3 %", "of its rated impedance"
)

TAP = Phrase(
    "taps*",
    "tap {mark:mark} {volts:volts}",
    "tap H3 480 V",
    "a further tap of its primary, and the voltage it is for",
)

ON_TAP = Phrase("on_tap", "on tap {mark:mark}", "on tap H3", "the tap that is in use")

PRIMARY_OHM = Phrase(
    "primary_ohm",
    "primary winding {resistance:resistance}",
    "primary winding 12 ohm",
    "what an ohmmeter shows between two primary terminals in use, cold",
)

STRAPPED_FOR = Phrase(
    "strapped_v",
    "strapped for {volts:volts}",
    "strapped for 240 V",
    "which of its two primary voltages its links are set for",
)


def build_transformer(maker: Maker, said: Said) -> None:
    both, secondary = conversion_of(maker, said, "240 V AC to 120 V AC")
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
    poles = named(maker, said, _windings(secondary))
    found = grounding_of(maker, said, poles)
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
    primary_ohm = said.number("primary_ohm")
    if primary_ohm:
        maker.values["winding_ohm"] = primary_ohm
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


KINDS = (
    Kind(
        "transformer",
        (
            own(
                CONVERSION,
                Phrase("va", "{va:va}", "500 VA", "what it is made for"),
                CLASS_2,
                IMPEDANCE,
                X_TO_R,
                PRIMARY_OHM,
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
)
