"""Phrases of the statements that are no devices: wires, circuits, cables, settings, locations."""

from __future__ import annotations

from netcheck.model.wires import WireProperties
from netcheck.reading.conductor_size import ConductorSize
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.slots import INSULATIONS
from netcheck.reading.values import Rating

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
    Phrase("cord", "flexible cord", "flexible cord", "a cord, not for fixed wiring"),
    Phrase("stranding", "{stranding:solid|stranded}", "stranded", "one strand or many"),
    Phrase("ferrules", "ferrules", "ferrules", "with ferrules on its ends"),
    Phrase(
        "parallel",
        "{count:count} conductors in parallel",
        "2 conductors in parallel",
        "how many conductors make it up, each of its size",
    ),
    Phrase("raceway", "through {raceway:name}", "through R1", "the raceway it runs through"),
    Phrase("carries", "carries {carries:rating}", "carries 24 V DC", "what it is said to carry"),
    Phrase(
        "live_with_main_off",
        "live with the main off",
        "live with the main off",
        "meant to stay live when the main is off",
    ),
    Phrase("shielded", "shielded", "shielded", "with a shield about it"),
    Phrase("separated", "separated", "separated", "kept apart from wires of higher voltage"),
    Phrase(
        "capacitance_f_per_km",
        "{capacitance:capacitance} each km",
        "0.26 uF each km",
        "against its neighbours",
    ),
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
            Phrase(
                "spare_cores",
                "spare core|cores {cores:mark...}",
                "spare cores 6 7",
                "the cores that are not in use",
            ),
            Phrase(
                "spare_run",
                "spare cores {first:count} to {last:count}",
                "spare cores 5 to 7",
                "the cores that are not in use",
            ),
            *WIRE_PHRASES,
        ),
    ),
)
RACEWAY_PHRASES = (
    Phrase("title", "{title:text}", '"To the pump house"', "what it is called"),
    Phrase(
        "sort",
        "[{material:steel|flexible-steel|aluminium|PVC|liquidtight}] "
        "{sort:conduit|wireway|duct|tray} [{size:length}]",
        "steel conduit 3/4 in",
        "what it is, and its trade size",
    ),
    Phrase("length_m", "{length:length}", "20 m", "how long it is"),
    Phrase("place", "at {place:words}", "at pump house", "where it is"),
    Phrase(
        "ambient_c", "ambient {ambient:temperature}", "ambient 50 degC", "how hot it is around it"
    ),
)
RACEWAY = (Group("", None, RACEWAY_PHRASES),)
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
LEAVE_OUT, LOOK_FOR = "leave out", "look for"
REASON = Phrase(
    "reason",
    "because {reason:text}",
    'because "agreed with the grower"',
    "why it is not as the project file has it",
)
"""Of every setting: what an override of the project file must say."""
RULE_NAMED = Phrase("rule", "{rule:words}", "voltage drop too large", "a rule by its name")
SETTINGS = {
    "practice": (
        Group(
            "",
            None,
            (
                Phrase("NEC", "NEC [{edition:count}]", "NEC 2023", "United States practice"),
                Phrase("IEC", "IEC [{edition:marks}]", "IEC 60204-1", "international practice"),
                REASON,
            ),
        ),
    ),
    "ambient": (
        Group(
            "",
            None,
            (
                Phrase("ambient_c", "{ambient:temperature}", "40 degC", "how hot it is there"),
                Phrase(
                    "outside_c",
                    "outside {ambient:temperature}",
                    "outside 30 degC",
                    "how hot it is at places outside that do not say",
                ),
                REASON,
            ),
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
                REASON,
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
                REASON,
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
                REASON,
            ),
        ),
    ),
    "nameplate": (
        Group(
            "",
            None,
            (
                Phrase("rating", "{rating:rating}", "120/240 V AC", "the panel's supply"),
                Phrase(
                    "full_load_a", "{current:current} full load", "30 A full load", "its current"
                ),
                Phrase(
                    "largest_motor_a",
                    "largest motor {current:current}",
                    "largest motor 8 A",
                    "the current of its largest motor or load",
                ),
                Phrase(
                    "withstand_a",
                    "{withstand:current} short-circuit rating",
                    "5 kA short-circuit rating",
                    "the short-circuit current the panel may be connected to",
                ),
                Phrase("type", "type {type:mark}", "type 4X", "its enclosure, as NEMA 250 counts"),
                Phrase("drawing", "drawing {drawing:text}", 'drawing "G-101"', "its diagram"),
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
                REASON,
            ),
        ),
    ),
    "duty": (
        Group(
            "",
            None,
            (
                Phrase(
                    "duty",
                    "{duty:continuous|intermittent}",
                    "continuous",
                    "how loads run that do not say `continuous`",
                ),
                REASON,
            ),
        ),
    ),
    LEAVE_OUT: (Group("", None, (RULE_NAMED, REASON)),),
    LOOK_FOR: (Group("", None, (RULE_NAMED, REASON)),),
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
    parallel, carries = said.number("parallel"), said.value("carries")
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
        class_2=_flag(said, "class_2"),
        flexible=True if said.has("flexible") or said.has("cord") else None,
        spare=_flag(said, "spare"),
        cord=_flag(said, "cord"),
        stranding=_text(said, "stranding"),
        ferrules=_flag(said, "ferrules"),
        parallel=int(parallel) if parallel is not None else None,
        raceway=_text(said, "raceway"),
        carries_v=carries.volts if isinstance(carries, Rating) else None,
        carries_kind=carries.kind if isinstance(carries, Rating) else None,
        live_with_main_off=_flag(said, "live_with_main_off"),
        shielded=_flag(said, "shielded"),
        separated=_flag(said, "separated"),
        capacitance_f_per_km=said.number("capacitance_f_per_km"),
    )


def _flag(said: Said, key: str) -> bool | None:
    return True if said.has(key) else None


def _text(said: Said, key: str) -> str | None:
    value = said.value(key)
    return str(value) if value is not None else None


def _material(word: str) -> str:
    return (
        "aluminium" if word == "aluminum" else word.replace("copper-clad", "copper-clad aluminium")
    )
