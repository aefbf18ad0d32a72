"""What several kinds say in the same words: contacts, loads, coils."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Load, Mechanism
from netcheck.model.maker import ANYWHERE, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.quantities import SystemVoltage
from netcheck.reading.values import EITHER, PhraseMistake, Rating

RATING = Phrase("rating", "{rating:rating}", "24 V DC", "its voltage")
CURRENT = Phrase("current", "{current:current}", "15 A", "its current")
POWER = Phrase("power", "{power:power}", "3 W", "its power")
APPARENT = Phrase("va", "{va:va}", "20 VA", "its apparent power")
SEALED = Phrase("va", "{va:va} sealed", "20 VA sealed", "what a pulled-in AC coil takes")
INRUSH_VA = Phrase(
    "inrush_va", "{inrush:va} inrush", "180 VA inrush", "what it takes as it pulls in"
)
INRUSH_A = Phrase(
    "inrush_a", "{inrush:current} inrush", "10 A inrush", "what it takes as it is switched on"
)
RESISTANCE = Phrase("resistance", "{resistance:resistance}", "65 ohm", "its resistance")
BAND = Phrase(
    "band", "from {low:volts} to {high:volts}", "from 20 V to 28 V", "the voltages it works at"
)
PHASES = Phrase(
    "phases", "{phases:single-phase|three-phase}", "three-phase", "how many phases it has"
)
FREQUENCY = Phrase("frequency_hz", "{frequency:frequency}", "60 Hz", "its frequency")
CHANNEL = Phrase("channel", "channel {channel:name}", "channel A", "one of two safety channels")
COLOUR = Phrase("colour", "{colour:colour}", "red", "its colour")
SPARE = Phrase("spare", "spare", "spare", "not in use")
DUTIES = "AC-1|AC-3|AC-4|AC-12|AC-13|AC-14|AC-15|DC-1|DC-12|DC-13|DC-14"
RATED_AT = Phrase(
    "rated_at*",
    f"{{current:current}} [{{duty:{DUTIES}}}] at {{rating:rating}}",
    "0.5 A DC-13 at 125 V DC",
    "what it may switch at that voltage, in that duty where one is said; may be said for several",
)
HORSEPOWER = Phrase(
    "horsepower*",
    "{power:power} at {rating:rating}",
    "5 hp at 240 V AC",
    "the motor it may switch at that voltage; may be said for several",
)
MAKES = Phrase("make_a", "makes {make:current}", "makes 30 A", "the inrush it may close on")
PILOT_DUTY = Phrase(
    "pilot_duty", "pilot duty {code:name}", "pilot duty A600", "its rating code for coils"
)
MIRROR = Phrase(
    "mirror",
    "mirror contact",
    "mirror contact",
    "closed only if no main pole is, also a welded one",
)
DIRECT_OPENING = Phrase(
    "direct_opening",
    "direct opening",
    "direct opening",
    "forced open by the actuator, also when welded",
)
POWER_FACTOR = Phrase(
    "power_factor", "power factor {factor:cosine}", "power factor 0.85", "at its rating"
)
GROUND_LEAKAGE = Phrase(
    "ground_leakage_a",
    "leaks {leakage:leakage} to ground",
    "leaks 3.5 mA to ground",
    "what its filters send down the grounding conductor",
)
DROP_OUT_A = Phrase(
    "drop_out_a",
    "drops out at {a:leakage}",
    "drops out at 2 mA",
    "surely out at and below this current",
)
RESET_KIND = Phrase(
    "reset_kind",
    "{how:manual|automatic} reset",
    "manual reset",
    "whether a hand must reset it after a trip",
)
SOCKET = Phrase(
    "socket_pins",
    "{pins:pins} socket",
    "11-pin socket",
    "its socket: its marks are pins and follow no rule of contacts",
)
GROUND_FAULT = Phrase(
    "ground_fault_a",
    "trips at {fault:current} to ground",
    "trips at 5 mA to ground",
    "opens when so much leaves the circuit for ground",
)
ON_ABOVE = Phrase("on_above_v", "on above {v:volts}", "on above 15 V", "surely on from here up")
OFF_BELOW = Phrase("off_below_v", "off below {v:volts}", "off below 5 V", "surely off below")
OFF_BELOW_A = Phrase(
    "off_below_a", "off below {a:leakage}", "off below 1.5 mA", "surely off below this current"
)
LEAST = Phrase("least_a", "needs {least:current}", "needs 5 mA", "the least current it works with")
WITH_DIODE = Phrase(
    "diode", "with diode", "with diode", "a diode across it, cathode on its first terminal"
)
WITH_SUPPRESSOR = Phrase(
    "suppressor", "with suppressor", "with suppressor", "a varistor or RC across it"
)
POLARISED = Phrase(
    "polarised", "polarised", "polarised", "works one way round only, plus on its first terminal"
)
INTERRUPTING = Phrase(
    "interrupting_a",
    "{interrupting:current} interrupting",
    "10 kA interrupting",
    "the short-circuit current it can open",
)
CONTINUOUS = Phrase("continuous", "continuous", "continuous", "on for three hours or more")
DROP_OUT = Phrase(
    "drop_out_v", "drops out at {v:volts}", "drops out at 5 V", "surely out at and below this"
)
PULL_IN = Phrase(
    "pull_in_v", "pulls in at {v:volts}", "pulls in at 17 V", "surely in at and above this"
)
ECONOMISED = Phrase(
    "economised",
    "economised",
    "economised",
    "needs less to hold than to pull in, and holds through a resistor",
)

LOADED = (
    RATING, PHASES, FREQUENCY, POWER, CURRENT, APPARENT, SEALED, INRUSH_VA, INRUSH_A, RESISTANCE,
    BAND, POLARISED, CONTINUOUS, POWER_FACTOR, GROUND_LEAKAGE,
)  # fmt: skip
"""What a load may say of itself."""

COIL = Group(
    "coil",
    Phrase("coil", "coil [{marks:marks}]", "coil 24 V DC 3 W", "the coil"),
    (*LOADED, WITH_DIODE, WITH_SUPPRESSOR, DROP_OUT, DROP_OUT_A, PULL_IN, ECONOMISED),
)
SWITCHED = (
    RATING, CURRENT, RATED_AT, HORSEPOWER, MAKES, PILOT_DUTY, LEAST, DIRECT_OPENING, MIRROR,
    CHANNEL, SPARE,
)  # fmt: skip
"""What a contact may say of itself."""
CONTACT = Group(
    "contact",
    Phrase(
        "contact",
        "normally {rest:open|closed} {marks:marks...}",
        "normally open 13-14",
        "a contact, or several, as they are at rest",
    ),
    SWITCHED,
)
CHANGE_OVER = Group(
    "change-over",
    Phrase(
        "change-over",
        "[timed] change-over {marks:marks...}",
        "change-over 11-12-14",
        "common, closed at rest, open at rest",
    ),
    SWITCHED,
)
OVERLAPPING = Phrase(
    "overlapping", "overlapping", "overlapping", "contacts close before others open"
)


def own(*phrases: Phrase) -> Group:
    """The group of what a device says of itself as a whole."""
    return Group("", None, (*phrases, *ANYWHERE))


def load_from(said: Said, works: str, *, moves_or_heats: bool = False) -> Load:
    """The load that a group describes.  Amperes come from what was said: A, W, VA or ohms.

    A motor's amperes come from the tables of full-load currents, not from here.
    """
    rating = said.rating()
    if rating is not None:
        one_voltage(said, "rating", rating)
        kind_of_current(said, "rating", rating)
    volts = rating.volts if rating is not None else None
    kind = rating.kind if rating is not None and rating.kind != EITHER else ""
    phases = (rating.phases if rating is not None else None) or 1
    power_w, power_va = said.number("power"), said.number("va")
    ohms, factor = said.number("resistance"), _power_factor(said, power_w, power_va)
    apparent_w = None if power_w is None else power_w / (factor or 1.0)
    low, high = (0.85, 1.10) if works in ("coil", "input", "supply") else (0.90, 1.10)
    band_low, band_high = band_of(said)
    if volts and band_low is not None and band_high is not None:
        low, high = band_low / volts, band_high / volts
    elif band_low is not None and band_high is not None:
        volts, low, high = band_high, band_low / band_high, 1.0
    return Load(
        works,
        volts,
        kind,
        rating.frequency_hz if rating is not None else None,
        phases,
        _amperes(said.number("current"), apparent_w, power_va, ohms, volts, phases),
        power_w,
        power_va,
        ohms,
        said.has("polarised"),
        low,
        high,
        moves_or_heats,
        said.has("continuous"),
        factor,
    )


def _power_factor(said: Said, power_w: float | None, power_va: float | None) -> float | None:
    """As it is said, or what the watts are of the voltamperes."""
    if power_w and power_va and power_w <= power_va and not said.has("power_factor"):
        return power_w / power_va
    return said.number("power_factor")


def band_of(said: Said) -> tuple[float | None, float | None]:
    """The voltages between which a load works, where they are said."""
    low, high = said.number("band", "low"), said.number("band", "high")
    if low is not None and high is not None and low >= high:
        raise PhraseMistake(
            said.tokens["band"], "this band goes from high to low", "write the lower voltage first"
        )
    return low, high


def one_voltage(said: Said, key: str, rating: Rating) -> None:
    """A load works at one voltage: `120/240 V` are the two of a system."""
    voltage = rating.voltage
    if isinstance(voltage, SystemVoltage):
        raise PhraseMistake(
            said.tokens[key],
            f"`{voltage.text}` are the two voltages of a system; a load is made for one",
            f"write `{voltage.line_v:g} V` or `{voltage.neutral_v:g} V`",
        )


def kind_of_current(said: Said, key: str, rating: Rating, *, either: bool = True) -> None:
    """AC or DC must be said where it decides."""
    text = rating.voltage.text
    if rating.kind == EITHER and not either:
        raise PhraseMistake(
            said.tokens[key], f"`{text} {EITHER}`: a source is one of them", f"write `{text} AC`"
        )
    if not rating.kind:
        both = f", or `{text} {EITHER}`" if either else ""
        raise PhraseMistake(
            said.tokens[key],
            f"`{text}` is AC or DC?",
            f"write `{text} AC` or `{text} DC`{both}",
        )


def _amperes(
    current_a: float | None,
    power_w: float | None,
    power_va: float | None,
    ohms: float | None,
    volts: float | None,
    phases: int,
) -> float | None:
    if current_a is not None:
        return current_a
    if not volts:
        return None
    spread = volts * (3**0.5 if phases == 3 else 1.0)
    if power_va is not None:
        return power_va / spread
    if power_w is not None:
        return power_w / spread
    return volts / ohms if ohms else None


def add_coil(maker: Maker, said: Said, marks: str = "A1-A2", works: str = "coil") -> int:
    """The coil, and the diode across it where it has one: cathode at its first terminal."""
    head = said.head.get("marks")
    a, b = maker.ends(str(head) if head else marks)
    coil = maker.load("coil", a, b, load_from(said, works), said)
    if said.has("diode"):
        maker.part("diode", b, a, Conducts.ONE_WAY)
    if said.has("suppressor"):
        maker.part("suppressor", a, b, Conducts.NOTHING)
    if said.has("economised"):
        maker.values["coil_economised"] = True
    for key in ("inrush_va", "va", "drop_out_v", "pull_in_v"):
        number = said.number(key)
        if number is not None:
            maker.values[f"coil_{key}"] = number
    return coil


def has_gap(maker: Maker) -> bool:
    """Whether the mechanism passes a place where some contacts have moved and others have not."""
    rests = {group.head["rest"] for group in maker.groups("contact")}
    return len(rests) > 1 or bool(maker.groups("change-over"))


def add_contacts(maker: Maker, mechanism: Mechanism, role: str = "contact") -> None:
    """Contacts as they are said: open or closed at rest, or change-over (common first).

    Half way all are open, or all closed where they overlap.
    """
    last = len(mechanism.positions) - 1
    overlap = maker.own.has("overlapping")
    half_way = {1} if overlap and last == 2 else set()
    at_rest, operated = {0} | half_way, {last} | half_way
    for said in maker.said:
        if said.key == "contact":
            marks = said.head["marks"]
            closed = operated if said.head["rest"] == "open" else at_rest
            for pair in marks if isinstance(marks, tuple) else (str(marks),):
                a, b = maker.ends(pair)
                add_contact(maker, role, a, b, mechanism, closed, said)
        elif said.key == "change-over":
            marks = said.head["marks"]
            for triple in marks if isinstance(marks, tuple) else (str(marks),):
                common, closed_at_rest, open_at_rest = three(maker, triple)
                add_contact(maker, role, common, closed_at_rest, mechanism, at_rest, said)
                add_contact(maker, role, common, open_at_rest, mechanism, operated, said)
    if overlap:
        maker.values["overlapping"] = True


def add_contact(
    maker: Maker, role: str, a: str, b: str, mechanism: Mechanism, closed: set[int], said: Said
) -> None:
    maker.part(role, a, b, Conducts.CONTACT, mechanism=mechanism.name, closed=closed, said=said)


def three(maker: Maker, marks: str) -> tuple[str, str, str]:
    """Common, closed at rest, open at rest, from `11-12-14`."""
    found = marks.split("-")
    if len(found) != 3 or len(set(found)) != 3:
        raise PhraseMistake(
            marks,
            f"{maker.name}: `{marks}` should be three terminal marks",
            "write common, closed at rest, open at rest: `11-12-14`",
        )
    return maker.terminal(found[0]), maker.terminal(found[1]), maker.terminal(found[2])


def pole_marks(maker: Maker, said: Said, count: int) -> list[str]:
    """`1-2`, `3-4`... as IEC 60947 marks them, or the marks the text gives."""
    given = said.value("poles_marks")
    if isinstance(given, tuple):
        return list(given)
    return [f"{2 * pole + 1}-{2 * pole + 2}" for pole in range(count)]


POLE_MARKS = Phrase(
    "poles_marks", "poles {marks:marks...}", "poles L1-T1 L2-T2", "its poles by their marks"
)
POLES = Phrase("poles", "{poles:poles}", "2-pole", "how many poles it has")
