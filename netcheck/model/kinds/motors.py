"""Motors: their leads, how they are strapped, what their nameplates say."""

from __future__ import annotations

from netcheck.model.devices import Load
from netcheck.model.kinds.common import load_from
from netcheck.model.maker import Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.reading.quantities import SystemVoltage
from netcheck.reading.values import PhraseMistake, Rating
from netcheck.record import replace

FULL_LOAD = Phrase(
    "full_load_a", "{current:current} full load", "8.2 A full load", "nameplate current"
)
LOCKED = Phrase(
    "locked_a", "{current:current} locked rotor", "48 A locked rotor", "what it takes as it starts"
)
CODE = Phrase(
    "code_letter",
    "code letter {letter:A|B|C|D|E|F|G|H|J|K|L|M|N|P|R|S|T|U|V}",
    "code letter G",
    "its locked-rotor kVA per hp",
)
DESIGN = Phrase("design", "design {letter:name}", "design B", "its NEMA design letter")
SORT = Phrase(
    "motor_sort",
    "{sort:squirrel-cage|split-phase|capacitor-start|capacitor-run|shaded-pole|universal|"
    "wound-rotor|synchronous|permanent-magnet}",
    "capacitor-start",
    "what sort of motor it is",
)
DUTY = Phrase(
    "motor_duty",
    "{duty:short-time|intermittent|periodic|varying} duty",
    "intermittent duty",
    "not continuous",
)
EFFICIENCY = Phrase(
    "efficiency", "efficiency {efficiency:share}", "efficiency 85 %", "of the nameplate"
)
SERVICE_FACTOR = Phrase(
    "service_factor", "service factor {factor:margin}", "service factor 1.15", "of the nameplate"
)
THERMAL = Phrase(
    "thermally_protected", "thermally protected", "thermally protected", "has its own overload"
)
LEADS = Phrase("leads", "{leads:leads}", "6-lead", "how many leads are brought out")
STRAPPED_FOR = Phrase(
    "strapped_v",
    "strapped for {volts:volts}",
    "strapped for 230 V",
    "which of its two voltages its leads are joined for",
)
STRAPS = Phrase(
    "straps", "strapped {marks:marks...}", "strapped T2-T3", "the leads that are joined"
)
START_WINDING = Phrase(
    "start_winding_a",
    "start winding {current:current}",
    "start winding 5 A",
    "what the start winding of a 4-lead motor takes",
)
WINDING_OHM = Phrase(
    "winding_ohm",
    "winding {resistance:resistance}",
    "winding 2.4 ohm",
    "what an ohmmeter shows between two lines of it, or between the leads of one winding, cold",
)
MOTOR_PHRASES = (
    FULL_LOAD, LOCKED, CODE, DESIGN, SORT, DUTY, EFFICIENCY, SERVICE_FACTOR, THERMAL, LEADS,
    STRAPPED_FOR, STRAPS, START_WINDING, WINDING_OHM,
)  # fmt: skip

SINGLE_LOW, SINGLE_HIGH = ("T1-T3", "T2-T4"), ("T2-T3",)
THREE_LOW, THREE_HIGH = ("T1-T7", "T2-T8", "T3-T9", "T4-T5-T6"), ("T4-T7", "T5-T8", "T6-T9")
"""Which leads are joined for the lower and for the higher voltage: NEMA MG 1, from memory."""

LEAST_STAR = 0.5
"""A winding made for the line voltage starts in star at 1 / 1.732 of it."""


def phase_pairs(
    maker: Maker, said: Said, rating: Rating, usual: list[str]
) -> list[tuple[str, str]]:
    given = said.value("winding_marks")
    marks = list(given) if isinstance(given, tuple) else usual
    wanted = 3 if rating.phases == 3 else 2
    if len(marks) != wanted or len(set(marks)) != wanted:
        raise PhraseMistake(
            said.tokens.get("winding_marks", ""),
            f"{maker.name} has {wanted} line terminals",
            "name one mark for each",
        )
    names = [maker.terminal(mark) for mark in marks]
    if wanted == 2:
        return [(names[0], names[1])]
    return list(zip(names, names[1:] + names[:1], strict=True))


def build_motor(maker: Maker, said: Said) -> None:
    rating = maker.need_rating(said)
    if isinstance(rating.voltage, SystemVoltage):
        _build_strapped(maker, said, rating, rating.voltage)
    elif said.has("leads"):
        _build_leads(maker, said, rating)
    else:
        _refuse_straps(maker, said)
        three = ["U", "V", "W"] if maker.iec else ["T1", "T2", "T3"]
        single = ["U1", "U2"] if maker.iec else ["T1", "T2"]
        usual = three if rating.phases == 3 else single
        load = _load(load_from(said, "motor", moves_or_heats=True), said)
        for a, b in phase_pairs(maker, said, rating, usual):
            maker.load("winding", a, b, load)
    maker.frame()
    maker.keep(said, "locked_a", "code_letter", "service_factor")
    winding_ohm = said.number("winding_ohm") or said.number("resistance")
    if winding_ohm:
        maker.values["winding_ohm"] = winding_ohm
    full_load_a = said.number("full_load_a")
    if full_load_a is not None or said.number("current") is not None:
        maker.values["full_load_a"] = full_load_a or said.number("current") or 0.0
    power = said.number("power")
    if power is not None:
        maker.values["power_w"] = power
    if said.has("thermally_protected"):
        maker.values["thermally_protected"] = True


def _load(load: Load, said: Said) -> Load:
    """What a motor takes: by its nameplate where that is said."""
    full_load_a = said.number("full_load_a")
    return replace(
        load,
        works="motor",
        current_a=full_load_a if full_load_a is not None else said.number("current"),
        resistance_ohm=None,
        moves_or_heats=True,
        continuous=True,
    )


def _refuse_straps(maker: Maker, said: Said) -> None:
    for key in ("strapped_v", "straps"):
        if said.has(key):
            raise PhraseMistake(
                said.tokens[key],
                f"{maker.name} has one voltage; nothing is strapped for it",
                "say both that it can be strapped for: `115/230 V AC`",
            )


def _build_strapped(maker: Maker, said: Said, rating: Rating, both: SystemVoltage) -> None:
    """A motor of two voltages: the lines meet it as it is strapped."""
    three = rating.phases == 3
    if both.phases != "split":
        raise PhraseMistake(
            said.tokens["rating"],
            f"`{both.text}` are the two voltages of a system; a motor is strapped for one of two",
            f"write `{both.line_v:g} V`, or both of a motor such as `230/460 V`",
        )
    low, high = (THREE_LOW, THREE_HIGH) if three else (SINGLE_LOW, SINGLE_HIGH)
    straps = _straps(maker, said, both, low, high)
    volts = both.line_v if straps is high else both.neutral_v
    lead_count = 9 if three else 4
    names = {f"T{n}": maker.terminal(f"T{n}") for n in range(1, lead_count + 1)}
    for strap in straps:
        first, *others = strap.split("-")
        for other in others:
            maker.joins("strap", names[first], names[other])
    lines = ["T1", "T2", "T3"] if three else ["T1", "T2" if straps is low else "T4"]
    load = _load(_at(said, rating, volts), said)
    ends = [names[line] for line in lines]
    for a, b in list(zip(ends, ends[1:] + ends[:1], strict=True))[: 3 if three else 1]:
        maker.load("winding", a, b, load)
    maker.values["rating"] = volts


def _at(said: Said, rating: Rating, volts: float) -> Load:
    return Load(
        "motor",
        volts,
        rating.kind or "AC",
        rating.frequency_hz,
        rating.phases or 1,
        power_w=said.number("power"),
        low=0.90,
        high=1.10,
        power_factor=said.number("power_factor"),
    )


def _straps(
    maker: Maker,
    said: Said,
    both: SystemVoltage,
    low: tuple[str, ...],
    high: tuple[str, ...],
) -> tuple[str, ...]:
    """The straps of one of its voltages, `low` or `high`, as they are said or as it is used."""
    given = said.value("straps")
    volts = said.number("strapped_v")
    if isinstance(given, tuple):
        written = {frozenset(strap.split("-")) for strap in given}
        for straps in (low, high):
            if written == {frozenset(strap.split("-")) for strap in straps}:
                break
        else:
            raise PhraseMistake(
                said.tokens["straps"],
                f"{maker.name}: these straps are for neither of its voltages",
                f"`strapped {' '.join(low)}` is for {both.neutral_v:g} V, "
                f"`strapped {' '.join(high)}` for {both.line_v:g} V",
            )
        if volts is not None and volts != (both.line_v if straps is high else both.neutral_v):
            raise PhraseMistake(
                said.tokens["strapped_v"],
                f"{maker.name} is strapped for the other voltage",
                "say one of the two: the voltage, or the straps",
            )
        return straps
    if volts is None:
        raise PhraseMistake(
            said.tokens["rating"],
            f"{maker.name} is strapped for {both.neutral_v:g} V or for {both.line_v:g} V?",
            f"say `strapped for {both.line_v:g} V`",
        )
    if volts not in (both.neutral_v, both.line_v):
        raise PhraseMistake(
            said.tokens["strapped_v"],
            f"{maker.name} cannot be strapped for {volts:g} V",
            f"it is made for {both.neutral_v:g} V and {both.line_v:g} V",
        )
    return high if volts == both.line_v else low


def _build_leads(maker: Maker, said: Said, rating: Rating) -> None:
    """Both ends of every winding are brought out."""
    _refuse_straps(maker, said)
    leads = said.number("leads")
    load = _load(load_from(said, "motor", moves_or_heats=True), said)
    if leads == 6 and rating.phases == 3:
        ends = ("U1-U2", "V1-V2", "W1-W2") if maker.iec else ("T1-T4", "T2-T5", "T3-T6")
        for pair in ends:
            maker.load("winding", *maker.ends(pair), replace(load, low=LEAST_STAR))
    elif leads == 4 and rating.phases != 3:
        main, start = ("U1-U2", "Z1-Z2") if maker.iec else ("T1-T4", "T5-T8")
        maker.load("winding", *maker.ends(main), load)
        starting = replace(
            load, works="start winding", current_a=said.number("start_winding_a"), power_w=None
        )
        maker.load("start winding", *maker.ends(start), starting)
    else:
        raise PhraseMistake(
            said.tokens["leads"],
            f"{maker.name}: `{said.tokens['leads']}` is not known of such a motor",
            "`4-lead` is single-phase, `6-lead` three-phase",
        )
