"""Phrases of the statements that are no devices: wires, circuits, cables, settings, locations."""

from __future__ import annotations

from netcheck.model.wires import WireProperties
from netcheck.reading.conductor_size import ConductorSize
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.slots import INSULATIONS

WIRE_PHRASES = (
    Phrase("size", "{size:size}", "14 AWG", "its size"),
    Phrase("material", "{material:copper|aluminium|aluminum|copper-clad}", "copper", "its metal"),
    Phrase("insulation", "{insulation:insulation}", "MTW", "its insulation"),
    Phrase("insulation_c", "{rated:temperature}", "90 degC", "what the insulation is rated for"),
    Phrase("colour", "{colour:colour}", "blue", "its colour"),
    Phrase("length_m", "{length:length}", "1.2 m", "how long it is, one way"),
    Phrase(
        "bundled",
        "bundled with {count:count}",
        "bundled with 6",
        "how many others carry current beside it",
    ),
    Phrase(
        "voltage_v",
        "{volts:volts} insulation",
        "600 V insulation",
        "the voltage its insulation is for",
    ),
    Phrase("place", "at {place:words}", "at pump house", "where it is"),
    Phrase(
        "ambient_c", "ambient {ambient:temperature}", "ambient 50 degC", "how hot it is around it"
    ),
    Phrase("class_2", "class 2", "class 2", "part of a class 2 circuit"),
    Phrase("flexible", "flexible", "flexible", "moves in use"),
    Phrase("spare", "spare", "spare", "not in use"),
)
WIRE = (Group("", None, WIRE_PHRASES),)
CIRCUIT = (
    Group(
        "",
        None,
        (
            Phrase("title", "{title:text}", '"Pump start and stop"', "what it is called"),
            Phrase("kind", "in {kind:words}", "in control", "the wire kind of its wires"),
            *WIRE_PHRASES,
        ),
    ),
)
CABLE = (
    Group(
        "",
        None,
        (
            Phrase("title", "{title:text}", '"Field cable"', "what it is called"),
            Phrase("cores", "{cores:cores}", "7-core", "how many cores it has"),
            Phrase("cores", "{cores:count} cores", "7 cores", "how many cores it has"),
            *WIRE_PHRASES,
        ),
    ),
)
LOCATION = (
    Group(
        "",
        None,
        (
            Phrase("side", "{side:inside|outside}", "outside", "in the enclosure or not"),
            Phrase("ambient_c", "{ambient:temperature}", "30 degC", "how hot it is there"),
        ),
    ),
)
SETTINGS = {
    "practice": (
        Group(
            "",
            None,
            (
                Phrase("NEC", "NEC [{edition:count}]", "NEC 2023", "United States practice"),
                Phrase("IEC", "IEC [{edition:marks}]", "IEC 60204-1", "international practice"),
            ),
        ),
    ),
    "ambient": (
        Group(
            "",
            None,
            (Phrase("ambient_c", "{ambient:temperature}", "40 degC", "how hot it is there"),),
        ),
    ),
    "numbers": (
        Group(
            "",
            None,
            (
                Phrase(
                    "numbers",
                    "one for each {of:node|wire}",
                    "one for each node",
                    "what a wire number names",
                ),
            ),
        ),
    ),
    "terminals": (
        Group(
            "",
            None,
            (
                Phrase(
                    "terminals_c",
                    "{rated:temperature}",
                    "75 degC",
                    "what terminals are marked for where a device does not say",
                ),
            ),
        ),
    ),
    "bundling": (
        Group(
            "",
            None,
            (
                Phrase(
                    "bundled",
                    "{count:count} conductors",
                    "6 conductors",
                    "how many carry current in each duct",
                ),
            ),
        ),
    ),
    "drop limit": (
        Group(
            "",
            None,
            (
                Phrase(
                    "drop_limit",
                    "{limit:share}",
                    "5 %",
                    "the voltage drop from which a query is raised",
                ),
            ),
        ),
    ),
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
