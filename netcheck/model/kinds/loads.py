"""What turns current into heat, motion, light or sound."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Load
from netcheck.model.kinds.common import (
    COLOUR,
    DROP_OUT,
    DROP_OUT_A,
    GROUND_FAULT,
    LOADED,
    OFF_BELOW,
    OFF_BELOW_A,
    POLE_MARKS,
    PULL_IN,
    WITH_DIODE,
    WITH_SUPPRESSOR,
    load_from,
    own,
)
from netcheck.model.kinds.motors import MOTOR_PHRASES, build_motor, phase_pairs
from netcheck.model.maker import Build, Kind, Maker
from netcheck.reading.phrases import Phrase, Said
from netcheck.record import replace

WINDING = Phrase("winding_marks", "marks {marks:mark...}", "marks U V W", "its line terminals")
PULLS = (WITH_DIODE, WITH_SUPPRESSOR, PULL_IN, DROP_OUT, DROP_OUT_A)
"""What is said of a magnet that pulls something else than contacts."""
SHOWS = Phrase("shows", "shows {name:name}", "shows M1", "the device of which it tells")
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


def build_heater(maker: Maker, said: Said) -> None:
    rating = maker.need_rating(said)
    usual = ["1", "2", "3"] if rating.phases == 3 else ["1", "2"]
    load = load_from(said, "heater", moves_or_heats=True)
    for a, b in phase_pairs(maker, said, rating, usual):
        maker.load("element", a, b, load)
    maker.frame()


def build_receptacle(maker: Maker, said: Said) -> None:
    rating = maker.need_rating(said)
    line, home = ("L1", "L2") if rating.volts >= 200 and not maker.iec else ("L", "N")
    maker.load("outlet", maker.terminal(line), maker.terminal(home), load_from(said, "outlet"))
    maker.frame()


MOTOR = Kind(
    "motor",
    (own(*LOADED, WINDING, *MOTOR_PHRASES),), build_motor,
    'motor M1 "North pump" 1 hp 240 V AC single-phase, 8.2 A full load, at pump house',
    "Terminals T1 T2 (T1 T2 T3; U1 U2 and U V W in IEC practice) and PE. Conductors are sized "
    "on the tables' full-load current, overloads on what the nameplate says (`full load`). "
    "One of two voltages, `115/230 V AC` or `230/460 V AC`, says which it is strapped for: "
    "`strapped for 230 V`, or by its straps, `strapped T2-T3`; it then has T1 to T4, or T1 to T9. "
    "`4-lead` is a single-phase motor of which the start winding is brought out too, T5-T8 "
    "beside T1-T4; `6-lead` a three-phase one with both ends of its windings, T1-T4 T2-T5 "
    "T3-T6 (U1-U2 V1-V2 W1-W2 in IEC practice), for starting in star.",
)  # fmt: skip
KINDS = (
    Kind(
        "heater", (own(*LOADED, WINDING),), build_heater,
        "heater HTR1 1500 W 240 V AC, at nutrient tank",
        "Terminals 1 2 (1 2 3 when three-phase) and PE. Counts as a load that heats.",
    ),
    MOTOR,
    Kind(
        "lamp",
        (own(*LOADED, POLE_MARKS, LED, COLOUR, SHOWS, OFF_BELOW, OFF_BELOW_A),),
        _two_ended("lamp", "X1-X2"),
        'lamp H1 "Pump runs" 24 V DC 20 mA LED, on door',
        "Terminals X1-X2. An `LED` on DC works one way round only, plus on X1.",
    ),
    Kind(
        "valve",
        (own(*LOADED, POLE_MARKS, *PULLS),),
        _two_ended("valve", "1-2", frame=True, moves=True),
        "valve Y1 24 V DC 8 W with diode, at bed 4",
        "Terminals 1-2 and PE.",
    ),
    Kind(
        "solenoid",
        (own(*LOADED, POLE_MARKS, *PULLS),),
        _two_ended("solenoid", "1-2", frame=True, moves=True),
        "solenoid Y4 120 V AC, 20 VA sealed, 120 VA inrush with suppressor",
        "A magnet that pulls something other than a valve. Terminals 1-2 and PE.",
    ),
    Kind(
        "brake",
        (own(*LOADED, POLE_MARKS, *PULLS),),
        _two_ended("brake", "1-2", frame=True),
        "brake YB1 24 V DC 20 W with diode, at roof vent",
        "Lets go while it is energised. Terminals 1-2 and PE.",
    ),
    Kind(
        "fan",
        (own(*LOADED, POLE_MARKS),),
        _two_ended("fan", "1-2", frame=True, moves=True),
        'fan EV1 "Panel fan" 120 V AC 18 W, not hazardous',
        "A small fan that needs no overload. Terminals 1-2 and PE.",
    ),
    Kind(
        "horn", (own(*LOADED, POLE_MARKS, SHOWS),), _two_ended("horn", "1-2"),
        "horn BZ1 24 V DC 80 mA, on door",
        "Terminals 1-2.",
    ),
    Kind(
        "receptacle", (own(*LOADED, GROUND_FAULT),), build_receptacle,
        "receptacle XS1 120 V AC 15 A",
        "L N (L1 L2 from 200 V) and PE; counted as a load of what it is rated for; of "
        "several on one circuit, each as 180 VA.",
    ),
)  # fmt: skip
