"""What watches or counts electricity: monitors of phases, insulation and ground faults, meters."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Drive
from netcheck.model.kinds.common import (
    CHANGE_OVER,
    CONTACT,
    GROUND_FAULT,
    LOADED,
    add_contacts,
    has_gap,
    load_from,
    own,
)
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.values import PhraseMistake

SUPPLY = Group(
    "supply",
    Phrase(
        "supply",
        "supply [{marks:marks}]",
        "supply A1-A2 24 V DC 2 W",
        "what feeds it, A1-A2 unless said",
    ),
    LOADED,
)
WATCHES = Phrase(
    "watched_marks",
    "watches {marks:mark...}",
    "watches L+ M",
    "the terminals at which it measures",
)
CURRENT_INPUTS = Phrase(
    "current_inputs",
    "current inputs {marks:marks...}",
    "current inputs S1-S2",
    "where current transformers come in",
)
ENERGISED = Phrase(
    "energised_while_healthy",
    "energised while healthy",
    "energised while healthy",
    "its contacts are operated while nothing is wrong, and fall back with its supply",
)
OPERATES = Phrase(
    "operates_on_a_fault",
    "operates on a fault",
    "operates on a fault",
    "its contacts are at rest while nothing is wrong",
)
CONTACTS = (CONTACT, CHANGE_OVER)


def build_phase_monitor(maker: Maker, said: Said) -> None:
    """Fed by what it watches."""
    rating = maker.need_rating(said)
    lines = ["L1", "L2", "L3"] if rating.phases == 3 else ["L", "N"]
    given = said.value("watched_marks")
    if isinstance(given, tuple):
        if len(given) != len(lines) or len(set(given)) != len(given):
            raise PhraseMistake(
                said.tokens["watched_marks"],
                f"{maker.name} watches {len(lines)} lines, not {len(given)}",
                f"mark one for each of {', '.join(lines)}",
            )
        lines = list(given)
    names = [maker.terminal(line) for line in lines]
    load = load_from(said, "electronics")
    pairs = list(zip(names, names[1:] + names[:1], strict=True))
    for a, b in pairs if len(names) == 3 else pairs[:1]:
        maker.load("measuring input", a, b, load)
    _add_signal(maker)


def build_monitor(maker: Maker, said: Said) -> None:
    """Measures without drawing anything; its supply is a load of its own."""
    if said.has("energised_while_healthy") and said.has("operates_on_a_fault"):
        raise PhraseMistake(
            said.tokens["operates_on_a_fault"],
            f"{maker.name} is said to be energised while healthy as well",
            "say one of the two",
        )
    supply = maker.group("supply")
    if supply is not None:
        marks = supply.head.get("marks")
        a, b = maker.ends(str(marks) if marks else "A1-A2")
        maker.load("supply input", a, b, load_from(supply, "electronics"), supply)
    watched = said.value("watched_marks")
    frame = maker.frame()
    for mark in watched if isinstance(watched, tuple) else ():
        maker.part("measuring input", maker.terminal(mark), frame, Conducts.NOTHING)
    inputs = said.value("current_inputs")
    for pair in inputs if isinstance(inputs, tuple) else ():
        a, b = maker.ends(pair)
        maker.part("current input", a, b, Conducts.NOTHING)
    _add_signal(maker)


def _add_signal(maker: Maker) -> None:
    """Its contacts move as it measures, which nothing in a text foresees."""
    if maker.groups("contact") or maker.groups("change-over"):
        mechanism = maker.mechanism("process", Drive.PROCESS, gap=has_gap(maker))
        add_contacts(maker, mechanism)


def build_hour_meter(maker: Maker, said: Said) -> None:
    maker.need_rating(said)
    maker.load("meter", *maker.ends("1-2"), load_from(said, "meter"))


KINDS = (
    Kind(
        "phase monitor",
        (own(*LOADED, WATCHES), *CONTACTS),
        build_phase_monitor,
        "phase monitor PM1 208 V AC three-phase 3 VA; change-over 11-12-14",
        "L1 L2 L3 (L N when single-phase), a load between the lines it watches. Operated while "
        "they are as they should be.",
    ),
    Kind(
        "insulation monitor",
        (own(WATCHES, ENERGISED, OPERATES), SUPPLY, *CONTACTS),
        build_monitor,
        "insulation monitor IM1 watches L+ M; supply A1-A2 24 V DC 2 W; normally closed 11-12",
        "Measures between what it `watches` and PE, and draws nothing there. A source whose pole "
        "it watches says `0V watched`. Its contacts are drawn as they are without its supply; in "
        "`trace`, `meter` and `diagnose` it is energised while healthy unless it is said that it "
        "`operates on a fault`.",
    ),
    Kind(
        "ground-fault relay",
        (own(GROUND_FAULT, CURRENT_INPUTS, ENERGISED, OPERATES), SUPPLY, *CONTACTS),
        build_monitor,
        "ground-fault relay GF1 trips at 30 mA to ground, current inputs S1-S2; "
        "supply A1-A2 24 V DC 2 W; normally closed 11-12",
        "Measures through a current transformer about all the conductors. PE is its frame. It "
        "operates as it trips, unless it is `energised while healthy`.",
    ),
    Kind(
        "power meter",
        (own(WATCHES, CURRENT_INPUTS), SUPPLY, *CONTACTS),
        build_monitor,
        "power meter PW1 watches V1 V2 VN, current inputs S1-S2; supply A1-A2 24 V DC 3 W",
        "Draws nothing where it measures.",
    ),
    Kind(
        "hour meter",
        (own(*LOADED),),
        build_hour_meter,
        "hour meter PH1 120 V AC 2 W",
        "Terminals 1-2.",
    ),
)
