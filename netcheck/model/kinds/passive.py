"""Small parts: resistors, diodes, suppressors, meters."""

from __future__ import annotations

from netcheck.model.devices import Conducts
from netcheck.model.kinds.common import (
    CURRENT,
    LOADED,
    POLE_MARKS,
    RATING,
    RESISTANCE,
    load_from,
    own,
)
from netcheck.model.maker import Build, Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said

CAPACITANCE = Phrase("capacitance_f", "{capacitance:capacitance}", "10 uF", "its capacitance")
COMMON = (RATING, CURRENT, POLE_MARKS)


def _between(role: str, marks: str, conducts: Conducts) -> Build:
    def build(maker: Maker, said: Said) -> None:
        given = said.value("poles_marks")
        for pair in given if isinstance(given, tuple) else (marks,):
            a, b = maker.ends(pair)
            maker.part(role, a, b, conducts, said=said)

    return build


def build_resistor(maker: Maker, said: Said) -> None:
    a, b = maker.ends("1-2")
    maker.load("resistor", a, b, load_from(said, "resistor"))


def build_current_transformer(maker: Maker, said: Said) -> None:
    a, b = maker.ends("P1-P2")
    maker.joins("primary", a, b)
    a, b = maker.ends("S1-S2")
    maker.part("secondary", a, b, Conducts.NOTHING)


def _kind(words: str, role: str, marks: str, conducts: Conducts, example: str, note: str,
          *more: Phrase) -> Kind:  # fmt: skip
    groups: tuple[Group, ...] = (own(*COMMON, *more),)
    return Kind(words, groups, _between(role, marks, conducts), example, note)


KINDS = (
    Kind("resistor", (own(*LOADED),), build_resistor,
         "resistor R1 65 ohm", "Terminals 1-2; a load."),
    _kind("diode", "diode", "A-K", Conducts.ONE_WAY, "diode D1 1 A",
          "Anode A, cathode K: counts as wire from A to K on DC."),
    _kind("suppressor", "suppressor", "1-2", Conducts.NOTHING, "suppressor RV1 150 V AC",
          "Varistor or RC; carries nothing in ordinary work."),
    _kind("capacitor", "capacitor", "1-2", Conducts.NOTHING, "capacitor C1 10 uF",
          "Carries nothing on DC.", CAPACITANCE),
    _kind("ammeter", "ammeter", "1-2", Conducts.JOINS, "ammeter PA1 20 A",
          "Counts as wire.", RESISTANCE),
    _kind("voltmeter", "voltmeter", "1-2", Conducts.NOTHING, "voltmeter PV1 300 V AC",
          "Carries nothing.", RESISTANCE),
    _kind("shunt", "shunt", "1-2", Conducts.JOINS, "shunt RS1 50 A", "Counts as wire.",
          RESISTANCE),
    _kind("choke", "choke", "1-2", Conducts.JOINS, "choke LC1 10 A", "Counts as wire on DC.",
          RESISTANCE),
    Kind("current transformer", (own(*COMMON, RESISTANCE),), build_current_transformer,
         "current transformer TA1 100 A", "Primary P1-P2 counts as wire; secondary S1-S2."),
)  # fmt: skip
