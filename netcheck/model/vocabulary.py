"""Phrases of the statements that are no devices: wires, circuits, cables, settings, locations."""

from __future__ import annotations

from netcheck.model.wires import WireProperties
from netcheck.reading.conductor_size import ConductorSize
from netcheck.reading.phrases import INSULATIONS, Group, Phrase, Said

WIRE_PHRASES = (
    Phrase("size", "{size:size}", "14 AWG"),
    Phrase("material", "{material:copper|aluminium|aluminum|copper-clad}", "copper"),
    Phrase("insulation", "{insulation:insulation}", "MTW"),
    Phrase("insulation_c", "{rated:temperature}", "90 degC"),
    Phrase("colour", "{colour:colour}", "blue"),
    Phrase("length_m", "{length:length}", "1.2 m"),
    Phrase("bundled", "bundled with {count:count}", "bundled with 6"),
    Phrase("voltage_v", "{volts:volts} insulation", "600 V insulation"),
    Phrase("place", "at {place:words}", "at pump house"),
    Phrase("ambient_c", "ambient {ambient:temperature}", "ambient 50 degC"),
    Phrase("class_2", "class 2", "class 2"),
    Phrase("flexible", "flexible", "flexible"),
    Phrase("spare", "spare", "spare"),
)
WIRE = (Group("", None, WIRE_PHRASES),)
CIRCUIT = (
    Group(
        "",
        None,
        (
            Phrase("title", "{title:text}", '"Pump start and stop"'),
            Phrase("kind", "in {kind:words}", "in control"),
            *WIRE_PHRASES,
        ),
    ),
)
CABLE = (
    Group(
        "",
        None,
        (
            Phrase("title", "{title:text}", '"Field cable"'),
            Phrase("cores", "{cores:count} cores", "7 cores"),
            *WIRE_PHRASES,
        ),
    ),
)
LOCATION = (
    Group(
        "",
        None,
        (
            Phrase("side", "{side:inside|outside}", "outside"),
            Phrase("ambient_c", "{ambient:temperature}", "30 degC"),
        ),
    ),
)
SETTINGS = {
    "practice": (
        Group(
            "",
            None,
            (
                Phrase("NEC", "NEC [{edition:count}]", "NEC 2023"),
                Phrase("IEC", "IEC [{edition:marks}]", "IEC 60204-1"),
            ),
        ),
    ),
    "ambient": (Group("", None, (Phrase("ambient_c", "{ambient:temperature}", "40 degC"),)),),
    "numbers": (
        Group(
            "",
            None,
            (Phrase("numbers", "one for each {of:node|wire}", "one for each node"),),
        ),
    ),
    "terminals": (Group("", None, (Phrase("terminals_c", "{rated:temperature}", "75 degC"),)),),
    "bundling": (
        Group("", None, (Phrase("bundled", "{count:count} conductors", "6 conductors"),)),
    ),
    "drop limit": (Group("", None, (Phrase("drop_limit", "{limit:share}", "5 %"),)),),
}


def wire_properties(said: Said) -> WireProperties:
    """What the phrases of a wire say; insulation gives its own temperature where none is said."""
    size = said.value("size")
    insulation = said.value("insulation")
    material = said.value("material")
    bundled = said.number("bundled")
    rated_c = said.number("insulation_c")
    if rated_c is None and isinstance(insulation, str):
        rated_c = float(INSULATIONS[insulation])
    place = said.value("place")
    colour = said.value("colour")
    return WireProperties(
        size=size if isinstance(size, ConductorSize) else None,
        material=_material(str(material)) if material else None,
        insulation=str(insulation) if insulation else None,
        insulation_c=rated_c,
        colour=str(colour) if colour else None,
        length_m=said.number("length_m"),
        bundled=int(bundled) if bundled is not None else None,
        voltage_v=said.number("voltage_v"),
        place=str(place) if place else None,
        ambient_c=said.number("ambient_c"),
        class_2=True if said.has("class_2") else None,
        flexible=True if said.has("flexible") else None,
        spare=True if said.has("spare") else None,
    )


def _material(word: str) -> str:
    return (
        "aluminium" if word == "aluminum" else word.replace("copper-clad", "copper-clad aluminium")
    )
