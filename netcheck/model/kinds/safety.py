"""What watches over people: safety relays, light curtains."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Drive, Load, mark_of
from netcheck.model.kinds.common import (
    CHANGE_OVER,
    CONTACT,
    CURRENT,
    LOADED,
    add_contacts,
    load_from,
    own,
)
from netcheck.model.maker import Kind, Maker
from netcheck.reading.phrases import Group, Phrase, Said
from netcheck.reading.values import PhraseMistake

CHANNEL_INPUT = Group(
    "channel input",
    Phrase(
        "channel input",
        "channel {channel:name} {marks:marks} [from {pole:mark}]",
        "channel A S11-S12",
        "a channel: the mark that feeds it and the one that listens; the other pole feeds it "
        "with `from 0V`",
    ),
    (CURRENT,),
)
RESET = Group(
    "reset",
    Phrase("reset", "reset {marks:marks}", "reset S33-S34", "the way a reset button closes"),
)
FEEDBACK = Group(
    "feedback",
    Phrase(
        "feedback",
        "feedback {marks:marks}",
        "feedback Y1-Y2",
        "the way that contactors close which are out",
    ),
)
MONITORED = Phrase(
    "monitored_reset",
    "monitored reset",
    "monitored reset",
    "comes in as the reset button is let go, not if it is stuck",
)
CROSS_MONITORED = Phrase(
    "cross_monitored",
    "cross-monitored",
    "cross-monitored",
    "notices a short between its channels",
)
OUTPUT_MARKS = Phrase(
    "output_marks",
    "marks {marks:mark...}",
    "marks 1 3 2 4",
    "its terminals as it marks them, in the usual order",
)


def build_safety_relay(maker: Maker, said: Said) -> None:
    """As such relays are built inside: a relay for each channel, and one that both let in.

    Both channels' contacts lead to the feedback way and on to the reset way; the relay of the
    output contacts stands behind them and holds itself in past both.  What is inside has marks
    in brackets, which no text can say.
    """
    rating = maker.need_rating(said)
    if rating.kind != "DC":
        raise PhraseMistake(
            said.tokens["rating"],
            f"{maker.name}: a safety relay is described with DC on A1-A2",
            "write `24 V DC`, or describe it with `device`",
        )
    channels = maker.groups("channel input")
    if not channels:
        raise PhraseMistake("", f"{maker.name} has no channel", "say `channel A S11-S12`")
    plus, minus = maker.ends("A1-A2")
    maker.load("supply input", plus, minus, load_from(said, "electronics"))
    at = plus
    for number, channel in enumerate(channels):
        name = str(channel.head["channel"])
        after = maker.terminal(f"({name})" if number + 1 < len(channels) else "(all)")
        _add_channel(maker, channel, name, (plus, minus), (at, after))
        at = after
    within = at
    at = _way(maker, "feedback", at)
    at = _way(maker, "reset", at)
    coil = maker.load("coil", at, minus, _input(maker, None))
    mechanism = maker.mechanism("relay", Drive.COIL, coils=(coil,), start=(0,))
    if at != within:
        maker.part("hold", within, at, Conducts.CONTACT, mechanism=mechanism.name, closed={1})
    else:
        raise PhraseMistake(
            "",
            f"{maker.name} says nothing of its reset",
            "say `reset S33-S34`; for one that comes in by itself wire S33 to S34",
        )
    add_contacts(maker, mechanism, "safety contact")
    maker.values["safety_relay"] = True


def _add_channel(
    maker: Maker, said: Said, name: str, rails: tuple[str, str], within: tuple[str, str]
) -> None:
    """Its feed, its input as the coil of a relay inside, and that relay's contact."""
    fed, listening = maker.ends(str(said.head["marks"]))
    plus, minus = rails
    crossed = str(said.head.get("pole", "+")) in ("0V", "-", "A2", "M")
    feed, home = (minus, plus) if crossed else (plus, minus)
    maker.joins("channel feed", feed, fed)
    a, b = (home, listening) if crossed else (listening, home)
    coil = maker.load("channel input", a, b, _input(maker, said.number("current")), said)
    relay = maker.mechanism(
        "relay", Drive.COIL, suffix=f"channel {name}", coils=(coil,), start=(0,)
    )
    maker.part("channel contact", *within, Conducts.CONTACT, mechanism=relay.name, closed={1})


def _way(maker: Maker, key: str, at: str) -> str:
    """Where a way that is closed outside leads on, from `at`."""
    group = maker.group(key)
    if group is None:
        return at
    a, b = maker.ends(str(group.head["marks"]))
    maker.joins(f"{key} feed", at, a)
    maker.values[f"{key}_marks"] = (mark_of(a), mark_of(b))
    return b


def _input(maker: Maker, current_a: float | None) -> Load:
    """An input of the device's own voltage; what it draws is part of the device's power."""
    rating = maker.need_rating(maker.own)
    return Load("input", rating.volts, "DC", current_a=current_a or 0.0, polarised=True)


def build_light_curtain(maker: Maker, said: Said) -> None:
    given = said.value("output_marks")
    marks = list(given) if isinstance(given, tuple) else ["+", "0V", "OSSD1", "OSSD2"]
    if len(marks) != 4 or len(set(marks)) != 4:
        raise PhraseMistake(
            said.tokens["output_marks"],
            f"{maker.name} has 4 terminals, not {len(marks)}",
            "mark one for each of +, 0V and its two outputs",
        )
    plus, minus, *outputs = (maker.terminal(mark) for mark in marks)
    maker.load("supply input", plus, minus, load_from(said, "electronics"))
    mechanism = maker.mechanism("process", Drive.PROCESS)
    for output in outputs:
        maker.part(
            "transistor", plus, output, Conducts.CONTACT, mechanism=mechanism.name, closed={0}
        )
    maker.values["one_way"] = True
    maker.values["electronic"] = True


KINDS = (
    Kind(
        "safety relay",
        (
            own(*LOADED, MONITORED, CROSS_MONITORED),
            CHANNEL_INPUT, RESET, FEEDBACK, CONTACT, CHANGE_OVER,
        ),
        build_safety_relay,
        "safety relay SR1 24 V DC 3 W, monitored reset, cross-monitored; channel A S11-S12; "
        "channel B S21-S22; feedback Y1-Y2; reset S33-S34; normally open 13-14 23-24, 5 A at "
        "250 V AC; normally closed 31-32",
        "Supply A1-A2. A channel is closed outside from the mark that feeds it to the one that "
        "listens, the feedback way by contactors that are out, the reset way by a button, or by a "
        "wire where it is to come in by itself. It comes in when all are closed, and stays in as "
        "long as its channels are. Its contacts are those of `in` and `out`.",
    ),
    Kind(
        "light curtain",
        (own(*LOADED, OUTPUT_MARKS),),
        build_light_curtain,
        "light curtain LC1 24 V DC 6 W, safety-rated",
        "+ 0V OSSD1 OSSD2. Both outputs give + while nothing is in its way, at rest.",
    ),
)  # fmt: skip
