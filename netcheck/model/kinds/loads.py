"""What turns current into heat, motion, light or sound."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Load
from netcheck.model.kinds.common import (
    COLOUR,
    LOADED,
    POLE_MARKS,
    WITH_DIODE,
    WITH_SUPPRESSOR,
    load_from,
    own,
)
from netcheck.model.maker import Build, Kind, Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.reading.values import PhraseMistake, Rating
from netcheck.record import replace

FULL_LOAD = Phrase(
    "full_load_a", "{current:current} full load", "8.2 A full load", "nameplate current"
)
LOCKED = Phrase(
    "locked_a", "{current:current} locked rotor", "48 A locked rotor", "what it takes as it starts"
)
SERVICE_FACTOR = Phrase(
    "service_factor", "service factor {factor:number}", "service factor 1.15", "of the nameplate"
)
THERMAL = Phrase(
    "thermally_protected", "thermally protected", "thermally protected", "has its own overload"
)
WINDING = Phrase("winding_marks", "marks {marks:mark...}", "marks U V W", "its line terminals")
LED = Phrase("led", "LED", "LED", "polarised on DC")


def _two_ended(works: str, marks: str, *, frame: bool = False, moves: bool = False) -> Build:
    def build(maker: Maker, said: Said) -> None:
        maker.need(said, "rating" if not said.has("band") else "band", "voltage")
        given = said.value("poles_marks")
        pairs = given if isinstance(given, tuple) else (marks,)
        for pair in pairs:
            a, b = maker.ends(pair)
            load = load_from(said, works, moves_or_heats=moves)
            if said.has("led") and load.kind == "DC":
                load = _polarised(load)
            maker.load(works, a, b, load)
            if said.has("diode"):
                maker.part("diode", b, a, Conducts.ONE_WAY)
            if said.has("suppressor"):
                maker.part("suppressor", a, b, Conducts.NOTHING)
        if frame:
            maker.frame()
        for key in ("inrush_va", "inrush_a", "va"):
            number = said.number(key)
            if number is not None:
                maker.values[f"coil_{key}"] = number

    return build


def _polarised(load: Load) -> Load:
    return replace(load, polarised=True)


def _phase_pairs(
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
    three = ["U", "V", "W"] if maker.iec else ["T1", "T2", "T3"]
    single = ["U1", "U2"] if maker.iec else ["T1", "T2"]
    usual = three if rating.phases == 3 else single
    load = load_from(said, "motor", moves_or_heats=True)
    full_load_a = said.number("full_load_a")
    load = Load(
        "motor", load.volts, load.kind, load.frequency_hz, load.phases,
        full_load_a if full_load_a is not None else said.number("current"),
        load.power_w, load.power_va, None, load.polarised, load.low, load.high, True, True,
    )  # fmt: skip
    for a, b in _phase_pairs(maker, said, rating, usual):
        maker.load("winding", a, b, load)
    maker.frame()
    maker.keep(said, "locked_a", "service_factor")
    if full_load_a is not None or said.number("current") is not None:
        maker.values["full_load_a"] = full_load_a or said.number("current") or 0.0
    power = said.number("power")
    if power is not None:
        maker.values["power_w"] = power
    if said.has("thermally_protected"):
        maker.values["thermally_protected"] = True


def build_heater(maker: Maker, said: Said) -> None:
    rating = maker.need_rating(said)
    usual = ["1", "2", "3"] if rating.phases == 3 else ["1", "2"]
    load = load_from(said, "heater", moves_or_heats=True)
    for a, b in _phase_pairs(maker, said, rating, usual):
        maker.load("element", a, b, load)
    maker.frame()


def build_receptacle(maker: Maker, said: Said) -> None:
    rating = maker.need_rating(said)
    line, home = ("L1", "L2") if rating.volts >= 200 and not maker.iec else ("L", "N")
    maker.load("outlet", maker.terminal(line), maker.terminal(home), load_from(said, "outlet"))
    maker.frame()


KINDS = (
    Kind(
        "heater", (own(*LOADED, WINDING),), build_heater,
        "heater HTR1 1500 W 240 V AC, at nutrient tank",
        "Terminals 1 2 (1 2 3 when three-phase) and PE. Counts as a load that heats.",
    ),
    Kind(
        "motor",
        (own(*LOADED, WINDING, FULL_LOAD, LOCKED, SERVICE_FACTOR, THERMAL),), build_motor,
        'motor M1 "North pump" 1 hp 240 V AC single-phase, 8.2 A full load, at pump house',
        "Terminals T1 T2 (T1 T2 T3; U1 U2 and U V W in IEC practice) and PE. Conductors are sized "
        "on the tables' full-load current, overloads on what the nameplate says (`full load`).",
    ),
    Kind(
        "lamp", (own(*LOADED, POLE_MARKS, LED, COLOUR),), _two_ended("lamp", "X1-X2"),
        'lamp H1 "Pump runs" 24 V DC 20 mA LED, on door',
        "Terminals X1-X2. An `LED` on DC works one way round only, plus on X1.",
    ),
    Kind(
        "valve",
        (own(*LOADED, POLE_MARKS, WITH_DIODE, WITH_SUPPRESSOR),),
        _two_ended("valve", "1-2", frame=True, moves=True),
        "valve Y1 24 V DC 8 W with diode, at bed 4",
        "Terminals 1-2 and PE.",
    ),
    Kind(
        "horn", (own(*LOADED, POLE_MARKS),), _two_ended("horn", "1-2"),
        "horn BZ1 24 V DC 80 mA, on door",
        "Terminals 1-2.",
    ),
    Kind(
        "receptacle", (own(*LOADED),), build_receptacle,
        "receptacle XS1 120 V AC 15 A",
        "L N (L1 L2 from 200 V) and PE; counted as a load of what it is rated for.",
    ),
)  # fmt: skip
