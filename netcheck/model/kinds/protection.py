"""What opens by itself or isolates: disconnects, breakers, fuses, overloads."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Drive
from netcheck.model.kinds.common import (
    CHANGE_OVER,
    CONTACT,
    CURRENT,
    GROUND_FAULT,
    HORSEPOWER,
    INTERRUPTING,
    LOADED,
    POLE_MARKS,
    POLES,
    RATING,
    RESET_KIND,
    add_contacts,
    has_gap,
    load_from,
    own,
    pole_marks,
)
from netcheck.model.kinds.relays import AUXILIARY
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.values import Rating

SUPPLEMENTARY = Phrase(
    "supplementary", "supplementary", "supplementary", "protects a device, no branch circuit"
)
TIED = Phrase(
    "tied", "handle-tied with {name:name}", "handle-tied with CB2", "their handles move together"
)
TIME_DELAY = Phrase("time_delay", "time-delay", "time-delay", "lets a motor start")
FUSE_CLASS = Phrase("class", "class {class:name}", "class CC", "its class")
CURVE = Phrase("curve", "trip curve {curve:name}", "trip curve C", "how fast it opens")
SETTING = Phrase("setting_a", "set {setting:current}", "set 8 A", "what it is set to")
RANGE = Phrase(
    "range", "range {low:current} to {high:current}", "range 6 A to 9 A", "what it can be set to"
)
AT_ONCE_ABOVE = Phrase(
    "instantaneous_a",
    "opens at once above {current:current}",
    "opens at once above 75 A",
    "its magnetic trip",
)
INSTANTANEOUS = Phrase(
    "instantaneous_only",
    "instantaneous trip only",
    "instantaneous trip only",
    "a motor circuit protector: no overload trip",
)
ADJUSTABLE = Phrase(
    "adjustable",
    "adjustable {low_a:current} to {high_a:current}",
    "adjustable 9 A to 30 A",
    "what its trip can be set to",
)
CURRENT_LIMITING = Phrase(
    "current_limiting", "current-limiting", "current-limiting", "opens within half a cycle"
)
LETS_THROUGH = Phrase(
    "let_through_a",
    "lets through {peak:current}",
    "lets through 6 kA",
    "the peak that passes before it opens",
)
BRANCH = Phrase(
    "branch_circuit", "branch-circuit", "branch-circuit", "listed to protect a branch circuit"
)
ONE_WAY_ROUND = Phrase(
    "polarised", "polarised", "polarised", "opens DC one way round only, fed at its first mark"
)
SPARES = Phrase(
    "spares", "{count:count} spares", "3 spares", "how many spare ones are kept with the panel"
)
SHUNT_TRIP = Group(
    "shunt trip",
    Phrase(
        "shunt trip",
        "shunt trip [{marks:marks}]",
        "shunt trip C1-C2 120 V AC 60 VA",
        "a coil that trips it, C1-C2 unless said",
    ),
    LOADED,
)
UNDERVOLTAGE = Group(
    "undervoltage release",
    Phrase(
        "undervoltage release",
        "undervoltage release [{marks:marks}]",
        "undervoltage release D1-D2 24 V DC 3 W",
        "a coil that trips it as its voltage goes, D1-D2 unless said",
    ),
    LOADED,
)
SPD_TYPE = Phrase("spd_type", "type {type:count}", "type 2", "its test class")
LET_THROUGH_V = Phrase(
    "let_through_v",
    "lets through {volts:volts}",
    "lets through 1.2 kV",
    "the voltage it holds a surge down to",
)
SURGE_LINES = Phrase(
    "lines", "lines {marks:mark...}", "lines L1 L2 N", "what it protects, each against PE"
)
MOTOR_PROTECTOR = Phrase(
    "motor_protector", "motor protector", "motor protector", "is the motor's overload too"
)
TRIP_CONTACT = Group(
    "contact",
    Phrase(
        "contact",
        "[trip] contact normally {rest:open|closed} {marks:marks...}",
        "trip contact normally closed 95-96",
        "a contact that moves when it trips",
    ),
    CONTACT.properties,
)


def _poles(maker: Maker, said: Said, default: int) -> list[str]:
    count = said.number("poles")
    marks = pole_marks(maker, said, int(count) if count else default)
    maker.values["poles"] = float(len(marks))
    return marks


def _closed_by_hand(maker: Maker, said: Said, role: str, default: int) -> None:
    """Poles that are closed but for isolation."""
    mechanism = maker.mechanism("protection", Drive.PROTECTION)
    for marks in _poles(maker, said, default):
        a, b = maker.ends(marks)
        maker.part(role, a, b, Conducts.JOINS, mechanism=mechanism.name, closed={1})


def _add_auxiliaries(maker: Maker) -> None:
    """Auxiliary contacts move like a process switch: they tell of trips, which nothing foresees."""
    if maker.groups("contact") or maker.groups("change-over"):
        mechanism = maker.mechanism("process", Drive.PROCESS, suffix="auxiliary")
        add_contacts(maker, mechanism, "auxiliary")


def build_disconnect(maker: Maker, said: Said) -> None:
    _closed_by_hand(maker, said, "pole", 1)
    _add_auxiliaries(maker)
    maker.keep(said, "current", "rating", "fused_a")
    _keep_rating(maker, said)


def _keep_rating(maker: Maker, said: Said) -> None:
    """The voltage as it is written, for a slash rating is more than a number, and its kind."""
    rating = said.value("rating")
    if isinstance(rating, Rating):
        maker.values["rating_text"] = rating.voltage.text
        maker.values["rating_kind"] = rating.kind


def build_breaker(maker: Maker, said: Said) -> None:
    _closed_by_hand(maker, said, "pole", 1)
    _add_auxiliaries(maker)
    _add_releases(maker)
    maker.keep(said, "current", "interrupting_a", "rating", "tied", "curve", "setting_a")
    for flag in ("supplementary", "motor_protector"):
        if said.has(flag):
            maker.values[flag] = True
    _keep_rating(maker, said)


def _add_releases(maker: Maker) -> None:
    """Coils that trip it.  What they do is not followed: a breaker is closed but for isolation."""
    for key, marks in (("shunt trip", "C1-C2"), ("undervoltage release", "D1-D2")):
        for group in maker.groups(key):
            given = group.head.get("marks")
            a, b = maker.ends(str(given) if given else marks)
            maker.load(key, a, b, load_from(group, "coil"), group)


def build_surge_protector(maker: Maker, said: Said) -> None:
    """Nothing flows through it in ordinary work."""
    given = said.value("lines")
    frame = maker.frame()
    for mark in given if isinstance(given, tuple) else ("L", "N"):
        maker.part("surge path", maker.terminal(mark), frame, Conducts.NOTHING)
    _add_auxiliaries(maker)
    _keep_rating(maker, said)


def build_fuse(maker: Maker, said: Said) -> None:
    build_breaker(maker, said)
    if said.has("time_delay"):
        maker.values["time_delay"] = True
    maker.keep(said, "class")


def build_overload(maker: Maker, said: Said) -> None:
    for marks in _poles(maker, said, 3):
        a, b = maker.ends(marks)
        maker.joins("overload", a, b)
    maker.keep(said, "setting_a", "class")
    low, high = said.number("range", "low"), said.number("range", "high")
    if low is not None and high is not None:
        maker.values["range_low_a"], maker.values["range_high_a"] = low, high
    mechanism = maker.mechanism("overload", Drive.PROCESS, gap=has_gap(maker))
    if not maker.groups("contact"):
        a, b = maker.ends("95-96")
        maker.part("trip contact", a, b, Conducts.CONTACT, mechanism=mechanism.name, closed={0})
    add_contacts(maker, mechanism, "trip contact")


RATED = (POLES, POLE_MARKS, CURRENT, RATING, INTERRUPTING)
OPENS = (BRANCH, SUPPLEMENTARY, CURRENT_LIMITING, LETS_THROUGH, ONE_WAY_ROUND, SPARES)
KINDS = (
    Kind(
        "disconnect",
        (
            own(
                *RATED,
                Phrase(
                    "fused_a", "fused {fused:current}", "fused 30 A", "it holds fuses of that size"
                ),
                HORSEPOWER,
                GROUND_FAULT,
            ),
            AUXILIARY,
            CHANGE_OVER,
        ),
        build_disconnect,
        'disconnect QS1 "Main disconnect" 2-pole, 60 A, on door',
        "Isolates; it protects nothing unless it says `fused`. Poles 1-2, 3-4, 5-6.",
    ),
    Kind(
        "breaker",
        (
            own(
                *RATED,
                *OPENS,
                TIED,
                CURVE,
                AT_ONCE_ABOVE,
                INSTANTANEOUS,
                ADJUSTABLE,
                GROUND_FAULT,
                MOTOR_PROTECTOR,
                SETTING,
                RESET_KIND,
            ),
            SHUNT_TRIP,
            UNDERVOLTAGE,
            AUXILIARY,
            CHANGE_OVER,
        ),
        build_breaker,
        "breaker CB1 2-pole, 15 A, 120/240 V AC, 10 kA interrupting",
        "Poles 1-2, 3-4, 5-6. `motor protector` also is the motor's overload, at what it is `set`. "
        "Auxiliary contacts tell of its trips.",
    ),
    Kind(
        "fuse",
        (own(*RATED, *OPENS, TIME_DELAY, FUSE_CLASS),),
        build_fuse,
        "fuse FU1 2 A, time-delay",
        "One pole, 1-2, unless it says more.",
    ),
    Kind(
        "surge protector",
        (
            own(RATING, CURRENT, SPD_TYPE, LET_THROUGH_V, SURGE_LINES, INTERRUPTING),
            AUXILIARY,
            CHANGE_OVER,
        ),
        build_surge_protector,
        "surge protector SP1 type 2, 240 V AC 20 kA, lets through 1.2 kV, lines L1 L2 N",
        "Between each of its lines, L N unless said, and PE; carries nothing in ordinary work.",
    ),
    Kind(
        "overload",
        (
            own(
                POLES,
                POLE_MARKS,
                SETTING,
                RANGE,
                Phrase("class", "class {class:count}", "class 10", "its trip class"),
                RESET_KIND,
            ),
            TRIP_CONTACT,
        ),
        build_overload,
        "overload OL1 set 8 A; trip contact normally closed 95-96",
        "Three heaters 1-2, 3-4, 5-6 unless it says fewer poles; trip contact 95-96 unless said.",
    ),
)
