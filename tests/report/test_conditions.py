"""Conditions as they are read aloud.

What each small panel does is told in the test's own name; facts of the trade, from memory.
"""

from __future__ import annotations

import pytest

from netcheck.model.build import build_panel
from netcheck.model.panel import Condition, Is, Not
from netcheck.reading.project import gather
from netcheck.report.closing import CAUTION
from netcheck.report.condition_sheet import Sheet, sheet_of
from netcheck.report.condition_words import ConditionWords
from netcheck.report.conditions import render
from netcheck.states.terms import Term
from tests.annotated import Texts
from tests.report.condition_panels import HEAD, PANELS, conditions_of, conditions_of_text, told
from tests.report.example import MISTAKE


def text_of(name: str, *names: str, width: int | None = None) -> str:
    return render(sheet_of(conditions_of(name), names), colour=False, width=width)


# ---- what holds a relay in, and what lets it go ----------------------------------------------


def test_a_start_and_stop_circuit_is_told_by_what_starts_it_and_what_stops_it() -> None:
    assert told(conditions_of("held"), "M1") == {
        "M1": [
            "runs: while K1 is in",
            "that is: once S2 is pressed, for as long as MAINS is on, S1 is not pressed "
            "and OL1 has not tripped",
        ],
        "K1": [
            "pulls in: when S2 is pressed, while MAINS is on, S1 is not pressed "
            "and OL1 has not tripped",
            "stays in: until S1 is pressed, OL1 trips or MAINS is lost",
        ],
    }


def test_a_relay_without_memory_gives_way_to_what_moves_it() -> None:
    lamp = told(conditions_of("selector"), "H1")["H1"]
    assert lamp == [
        "is lit: while MAINS is on, and one of these holds: | SS1 is CLOSE and LS2 is at rest"
        " | SS1 is OPEN and LS1 is at rest | SS1 is AUTO, LS1 is at rest and S5 is off",
        "as drawn: while K1 or K2 is in, and MAINS is on",
    ]


def test_a_relay_that_seals_through_another_is_told_without_that_other() -> None:
    lines = told(conditions_of("held by a follower"))
    assert "stays in: until ES1 is pushed or MAINS is lost" in lines["K1"]
    assert lines["KA"] == ["in: while K1 is in"]


def test_a_jog_button_lets_go_when_it_is_let_go() -> None:
    assert told(conditions_of("jog"))["K1"] == [
        "pulls in: when S2 or S3 is pressed, while MAINS is on and S1 is not pressed",
        "stays in: until S1 is pressed or MAINS is lost",
        "jogs: with S3: drops out when S3 is let go",
    ]


def test_a_selector_that_breaks_on_its_way_lets_go_though_both_positions_hold() -> None:
    assert told(conditions_of("passing selector"))["K1"] == [
        "pulls in: when S2 is pressed, while SS1 is not AUTO and MAINS is on",
        "stays in: until SS1 is turned to AUTO or MAINS is lost",
        "lets go: when SS1 moves between HAND and OFF, as its contacts break before they make",
    ]


def test_two_that_lock_each_other_out_are_told_by_each_other() -> None:
    assert told(conditions_of("locked out by turns")) == {
        "K1": ["in: while S1 is pressed, K2 is out and MAINS is on"],
        "K2": ["in: while S2 is pressed, K1 is out and MAINS is on"],
    }


def test_what_is_blocked_mechanically_waits_for_the_other_to_drop_out() -> None:
    assert told(conditions_of("blocked mechanically"))["K1"] == [
        "pulls in: when K2 is out, while S1 is on and MAINS is on",
        "stays in: until S1 is turned off or MAINS is lost",
    ]


def test_a_relay_that_nothing_stops_is_told_to_stay() -> None:
    text = HEAD + (
        "button S1 normally open 13-14\nrelay K1 coil 120 V AC; normally open 13-14\n"
        "circuit\n  MAINS:L -- S1 -- K1:A1-A2 -- MAINS:N\n  S1:13 -- K1:13-14 -- S1:14\n"
    )
    assert told(conditions_of_text(text))["K1"] == [
        "pulls in: when S1 is pressed, while MAINS is on",
        "stays in: until MAINS is lost",
    ]


# ---- timers, latching relays, what is not decided --------------------------------------------


def test_a_timer_says_how_long_after_what() -> None:
    lines = told(conditions_of("timers"))
    assert lines["KT1"] == [
        "energised: while S1 is on and MAINS is on",
        "runs out: 10 min after that; goes back at once when it ends",
    ]
    assert lines["KT2"] == [
        "pulls in: while KT1 has run out",
        "runs out: 90 s after that has ended",
    ]
    assert lines["Y1"] == ["energised: while KT1 has run out"]
    assert lines["H2"] == ["is lit: while KT2 has not run out and MAINS is on"]


def test_a_latching_relay_has_what_sets_and_what_resets_it() -> None:
    assert told(conditions_of("latching")) == {
        "K1:A1-A2": ["set: while S1 is pressed and MAINS is on"],
        "K1:A3-A4": ["reset: while S2 is pressed and MAINS is on"],
        "H1": ["is lit: while K1 is set and MAINS is on"],
    }


def test_what_chatters_is_not_decided_and_says_when() -> None:
    assert told(conditions_of("chattering")) == {
        "K1": [
            "surely: never",
            "possibly: while S1 is on and MAINS is on",
            "chatters: while S1 is on and MAINS is on",
        ],
        "H1": [
            "surely: never",
            "possibly: while S1 is on and MAINS is on",
            "as drawn: while K1 is in and MAINS is on",
            "because: K1 is not decided",
        ],
    }


def test_a_coil_in_series_with_a_lamp_is_sure_of_nothing_and_says_why() -> None:
    lines = told(conditions_of("in series"))
    why = "because: what it gets through other loads, or at other volts, is not worked out"
    possibly = "possibly: while S1 is on and MAINS is on"
    assert lines["K1"] == lines["H1"] == ["surely: never", possibly, why]
    assert lines["H2"][-1] == "because: K1 is not decided"


def test_what_only_passes_is_told_as_passing() -> None:
    assert told(conditions_of("in passing"))["KT2"] == [
        "pulls in: for a moment at most, as relays move, while S1 is on, KT1 has run out "
        "and MAINS is on",
        "runs out: 2 s after that has ended",
    ]


def test_never_and_whenever_are_said_in_words() -> None:
    lines = told(conditions_of("never and always"))
    assert lines["H1"] == ["is lit: never"]
    assert lines["H2"] == ["is lit: whenever MAINS is on"]


def test_what_waits_for_itself_never_pulls_in() -> None:
    text = HEAD + (
        "switch S1 normally open 1-2\nrelay K1 coil 120 V AC; normally open 13-14\n"
        "circuit\n  MAINS:L -- S1 -- K1:13-14 -- K1:A1-A2 -- MAINS:N\n"
    )
    assert told(conditions_of_text(text))["K1"][0] == "in: never"


def lamp_from(places: int) -> str:
    """A lamp that every one of so many switches turns over, by relays one after the other."""
    devices, lines = [], []
    for n in range(places):
        devices.append(f"switch S{n} normally open 1-2; normally closed 3-4")
        devices.append(f"relay K{n} coil 120 V AC; normally open 13-14; normally closed 21-22")
        before = (f" -- K{n - 1}:21-22", f" -- K{n - 1}:13-14") if n else ("", None)
        for contact, other in zip(("1-2", "3-4"), before, strict=True):
            if other is not None:
                lines.append(f"MAINS:L -- S{n}:{contact}{other} -- K{n}:A1")
        lines.append(f"K{n}:A2 -- MAINS:N")
    lines.append(f"MAINS:L -- K{places - 1}:13-14 -- H1 -- MAINS:N")
    return "\n".join([HEAD, *devices, "lamp H1 120 V AC", "circuit", *lines, ""])


def test_a_condition_too_large_to_print_says_what_it_depends_on() -> None:
    """An odd number of seven: 64 alternatives, of which none can be left out."""
    sheet = sheet_of(conditions_of_text(lamp_from(7)), [])
    assert sheet.too_large > 0
    assert told(conditions_of_text(lamp_from(7)), "H1")["H1"] == [
        "is lit: too large to print: it depends on 8 switches and relays",
        "as drawn: while K6 is in and MAINS is on",
    ]


def test_a_lamp_from_three_places_is_still_told() -> None:
    (lines,) = [told(conditions_of_text(lamp_from(3)), "H1")["H1"]]
    assert lines[0].count(" | ") == 4


# ---- the words are the language's own --------------------------------------------------------

EVERY_KIND = (
    HEAD
    + """
button S1 normally open 13-14; normally closed 21-22
switch S2 normally open 1-2
emergency stop ES1 normally closed 11-12
limit switch LS1 normally open 13-14
float switch FL1 change-over 1-2-4
overload OL1 1-pole; trip contact normally closed 95-96
selector SS1 positions HAND OFF AUTO; 13-14 in HAND
relay K1 coil 120 V AC; normally open 13-14
latching relay K2 set coil A1-A2 120 V AC; reset coil A3-A4 120 V AC; normally open 13-14
on-delay timer KT1 5 s; coil 120 V AC; timed normally open 15-18
off-delay timer KT2 5 s; coil 120 V AC; timed normally open 15-18
controller PLC1 24 V DC 5 W; transistor outputs Q0 Q1 from + 24 V DC 0.5 A
"""
)


def panel_with(intent: str = "") -> tuple[Condition | None, list[str], ConditionWords, object]:
    text = EVERY_KIND + (f'intent "x": never ({intent})\n' if intent else "")
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    claim = panel.intents[0].claim.condition if panel.intents else None
    words = [mistake.message for mistake in mistakes]
    return claim, words, ConditionWords(panel), panel


def single_terms() -> list[Term]:
    conditions = conditions_of_text(EVERY_KIND)
    return [
        Term(name, frozenset((position,)))
        for name, mechanism in conditions.panel.mechanisms.items()
        for position in sorted(mechanism.resting)
    ]


@pytest.mark.parametrize("term", single_terms(), ids=str)
def test_the_words_for_a_state_can_be_written_into_an_intent(term: Term) -> None:
    words = panel_with()[2].product((term,))
    condition, mistakes, _, panel = panel_with(words)
    assert not mistakes, words
    found, denied = (condition.inner, True) if isinstance(condition, Not) else (condition, False)
    assert isinstance(found, Is)
    assert found.mechanism == term.name
    resting = panel.mechanisms[term.name].resting  # type: ignore[attr-defined]
    assert term.positions == (resting - found.positions if denied else found.positions)


# ---- the page --------------------------------------------------------------------------------


def test_the_page_ends_with_what_it_rests_on_the_counts_and_the_caution() -> None:
    lines = text_of("selector", "H1").splitlines()
    start = lines.index("what this rests on:")
    assert lines[start + 3 :] == [
        "- taken as said: LS1 and LS2 are never operated together",
        "1 load, 0 not decided, 0 too large to print",
        *CAUTION,
    ]


def test_a_load_brings_the_relays_it_takes_to_understand_it() -> None:
    titles = [line for line in text_of("held", "M1").splitlines() if line[:1].isalpha()]
    assert titles[:2] == ['M1 "Pump", motor', "K1, contactor"]


def test_on_a_narrow_terminal_nothing_stands_beyond_its_edge() -> None:
    text = text_of("selector", width=60)
    assert all(len(line) <= 60 for line in text.split("what this rests on")[0].splitlines())


def test_alternatives_stand_one_below_the_other() -> None:
    assert text_of("selector", "H1").splitlines()[1:5] == [
        "  is lit          while MAINS is on, and one of these holds:",
        "                  - SS1 is CLOSE and LS2 is at rest",
        "                  - SS1 is OPEN and LS1 is at rest",
        "                  - SS1 is AUTO, LS1 is at rest and S5 is off",
    ]


def test_what_cannot_be_read_is_counted() -> None:
    sheet = Sheet("a.panel", None, mistakes=(MISTAKE,))
    text = render(sheet, colour=False, width=None)
    assert "0 loads, cannot read 1 place" in text
    assert text.endswith("\n".join(CAUTION) + "\n")


def test_colour_only_adds_escapes() -> None:
    sheet = sheet_of(conditions_of("held"), [])
    coloured = render(sheet, colour=True, width=None)
    assert "\x1b[" in coloured
    assert render(sheet, colour=False, width=None) == "".join(
        part.partition("m")[2] if at else part for at, part in enumerate(coloured.split("\x1b["))
    )


def test_assumptions_that_contradict_are_no_pass() -> None:
    text = HEAD + (
        "float switch FL1 normally open 13-14\nlamp H1 120 V AC\n"
        "circuit\n  MAINS:L -- FL1 -- H1 -- MAINS:N\n"
        "assume always FL1 is operated\nassume never FL1 is operated\n"
    )
    sheet = sheet_of(conditions_of_text(text), [])
    assert ["what is assumed contradicts itself: what is told of it here is told of no state"] == [
        *sheet.open
    ]


@pytest.mark.parametrize("name", PANELS)
def test_no_sentence_is_left_open(name: str) -> None:
    for lines in told(conditions_of(name)).values():
        for line in lines:
            assert not line.endswith((" ", ",", "and", "or", "while"))
            assert "  " not in line


def test_two_relays_that_hold_each_other_in_are_told_by_one_of_them() -> None:
    text = HEAD + (
        "supply PS1 120 V AC to 24 V DC, 5 A, 0V grounded\n"
        "button S1 normally closed 11-12\nbutton S2 normally open 13-14\n"
        "relay K1 coil 24 V DC; normally open 13-14\n"
        "relay K2 coil 24 V DC; normally open 13-14 23-24\nlamp H1 24 V DC\n"
        'circuit "Control"\n'
        "MAINS:L -- PS1:L-N -- MAINS:N\n"
        "PS1:+ -- S1 -- S2 -- K1:A1-A2 -- PS1:0V\nS1:12 -- K2:13-14 -- K1:A1\n"
        "PS1:+ -- K1:13-14 -- K2:A1-A2 -- PS1:0V\nPS1:+ -- K2:23-24 -- H1 -- PS1:0V\n"
    )
    lines = told(conditions_of_text(text))
    assert lines["K1"][:2] == [
        "pulls in: when S2 is pressed, while MAINS is on and S1 is not pressed",
        "stays in: until S1 is pressed or MAINS is lost",
    ]
    assert lines["K2"] == ["in: while K1 is in"]
    assert lines["H1"][0] == "is lit: while K1 is in"
