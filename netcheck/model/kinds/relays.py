"""What a coil moves: contactors, relays, latching relays, timers."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Drive
from netcheck.model.kinds.common import (
    CHANGE_OVER,
    COIL,
    CONTACT,
    CURRENT,
    HORSEPOWER,
    MAKES,
    POLE_MARKS,
    POWER,
    RATED_AT,
    RATING,
    SOCKET,
    SPARE,
    SWITCHED,
    add_coil,
    add_contacts,
    own,
    pole_marks,
)
from netcheck.model.maker import Build, Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.values import PhraseMistake

MAIN = Group(
    "main",
    Phrase(
        "main",
        "{count:count} main pole|poles [{marks:marks...}]",
        "3 main poles 25 A",
        "its main poles",
    ),
    (RATING, CURRENT, POWER, RATED_AT, HORSEPOWER, MAKES, SPARE),
)
AUXILIARY = Group(
    "contact",
    Phrase(
        "contact",
        "[auxiliary] [contact] normally {rest:open|closed} {marks:marks...}",
        "auxiliary normally open 13-14",
        "an auxiliary contact",
    ),
    SWITCHED,
)
SET_COIL = Group(
    "set",
    Phrase("set", "set coil [{marks:marks}]", "set coil A1-A2 24 V DC", "the coil that sets it"),
    COIL.properties,
)
RESET_COIL = Group(
    "reset",
    Phrase(
        "reset", "reset coil [{marks:marks}]", "reset coil A3-A4 24 V DC", "the coil that resets it"
    ),
    COIL.properties,
)
AT_ONCE = Group(
    "at once",
    Phrase(
        "at once",
        "instantaneous normally {rest:open|closed} {marks:marks...}",
        "instantaneous normally open 23-24",
        "a contact that does not wait",
    ),
    SWITCHED,
)
FORCED = Phrase("forced", "force-guided", "force-guided", "its contacts cannot disagree")
POLES_IN_ALL = Phrase(
    "contacts_in_all", "{count:count} contacts in all", "4 contacts in all", "how many it has"
)
TIME = Phrase("time_s", "{time:time}", "5 s", "its time")


def _coil(maker: Maker, key: str = "coil", marks: str = "A1-A2") -> int:
    group = maker.group(key)
    if group is None:
        name = "coil" if key == "coil" else f"{key} coil"
        raise PhraseMistake(
            "",
            f"{maker.name} has no {name}",
            f"say `{name} 24 V DC`",
        )
    return add_coil(maker, group, marks)


def build_contactor(maker: Maker, said: Said) -> None:
    coil = _coil(maker)
    mechanism = maker.mechanism("relay", Drive.COIL, coils=(coil,), start=(0,))
    for group in maker.groups("main"):
        count = group.head["count"]
        assert isinstance(count, int)
        given = group.head.get("marks")
        marks = list(given) if isinstance(given, tuple) else pole_marks(maker, said, min(count, 24))
        if len(marks) != count:
            raise PhraseMistake(
                group.token or "",
                f"{maker.name} says {count} main poles and marks for {len(marks)}",
                "give one pair of marks for each pole",
            )
        for pair in marks:
            a, b = maker.ends(pair)
            maker.part(
                "main pole", a, b, Conducts.CONTACT,
                mechanism=mechanism.name, closed={1}, said=group,
            )  # fmt: skip
    add_contacts(maker, mechanism, "auxiliary")


def build_relay(maker: Maker, said: Said) -> None:
    coil = _coil(maker)
    mechanism = maker.mechanism("relay", Drive.COIL, coils=(coil,), start=(0,))
    add_contacts(maker, mechanism)


def build_latching(maker: Maker, said: Said) -> None:
    coils = (_coil(maker, "set"), _coil(maker, "reset", "A3-A4"))
    mechanism = maker.mechanism("latching relay", Drive.LATCH, coils=coils, start=(0, 1))
    add_contacts(maker, mechanism)


def _build_timer(drive: Drive) -> Build:
    def build(maker: Maker, said: Said) -> None:
        coil = _coil(maker)
        maker.keep(said, "time_s")
        timed = maker.mechanism("relay", drive, coils=(coil,), start=(0,))
        add_contacts(maker, timed, "timed contact")
        if maker.groups("at once"):
            at_once = maker.mechanism(
                "relay", Drive.COIL, suffix="instantaneous", coils=(coil,), start=(0,)
            )
            for group in maker.groups("at once"):
                marks = group.head["marks"]
                for pair in marks if isinstance(marks, tuple) else (str(marks),):
                    a, b = maker.ends(pair)
                    maker.part(
                        "contact", a, b, Conducts.CONTACT, mechanism=at_once.name,
                        closed={1} if group.head["rest"] == "open" else {0}, said=group,
                    )  # fmt: skip

    return build


TIMED = Group(
    "contact",
    Phrase(
        "contact",
        "[timed] normally {rest:open|closed} {marks:marks...}",
        "timed normally open 15-18",
        "a contact that waits",
    ),
    SWITCHED,
)
KINDS = (
    Kind(
        "contactor",
        (own(POLE_MARKS, FORCED, POLES_IN_ALL), COIL, MAIN, AUXILIARY, CHANGE_OVER),
        build_contactor,
        "contactor K1 coil 24 V DC 3 W with diode; 3 main poles 25 A; "
        "auxiliary normally open 13-14",
        "Coil A1-A2, main poles 1-2, 3-4, 5-6. `with diode` puts one across the coil, cathode at "
        "A1; `with suppressor` one that conducts neither way.",
    ),
    Kind(
        "relay",
        (own(FORCED, POLES_IN_ALL, SOCKET), COIL, CONTACT, CHANGE_OVER),
        build_relay,
        "relay K4 coil 24 V DC 1 W; change-over 11-12-14 21-22-24, 6 A",
        "Coil A1-A2. A change-over contact is written common, closed at rest, open at rest.",
    ),
    Kind(
        "latching relay",
        (own(FORCED, POLES_IN_ALL, SOCKET), SET_COIL, RESET_COIL, CONTACT, CHANGE_OVER),
        build_latching,
        "latching relay K6 set coil A1-A2 24 V DC 1 W; reset coil A3-A4 24 V DC 1 W; "
        "normally open 13-14",
        "Keeps its position without current; at power-up it may be in either.",
    ),
    Kind(
        "on-delay timer",
        (own(TIME, SOCKET), COIL, TIMED, AT_ONCE, CHANGE_OVER),
        _build_timer(Drive.ON_DELAY),
        "on-delay timer KT1 5 s; coil 24 V DC 1 W; timed change-over 15-16-18",
        "Timed contacts move some while after the coil is energised and go back at once.",
    ),
    Kind(
        "off-delay timer",
        (own(TIME, SOCKET), COIL, TIMED, AT_ONCE, CHANGE_OVER),
        _build_timer(Drive.OFF_DELAY),
        "off-delay timer KT2 10 s; coil 24 V DC 1 W; timed normally open 17-18",
        "Timed contacts move at once and go back some while after the coil is dead.",
    ),
)
