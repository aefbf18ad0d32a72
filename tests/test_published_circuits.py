"""Circuits from textbooks and training pages, written as panel texts: what conducts, what is open.

Each example is one of tests/published/examples/examples.jsonl, whose own fields name its
source; volts and amperes of the same examples need the arithmetic and are not judged here.
The topologies of topic j were given in words by their source.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from itertools import product
from pathlib import Path

import pytest

from netcheck.model.build import build_panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.review import review
from netcheck.states.answers import Never, Reached
from netcheck.states.behaviour import Behaviour
from tests.annotated import Texts

EXAMPLES = {
    example["id"]: example
    for line in (Path(__file__).parent / "published/examples/examples.jsonl")
    .read_text(encoding="utf-8")
    .splitlines()
    for example in [json.loads(line)]
}
RAILS = 'edge E1 120 V AC, fused 15 A, 1 kA available, neutral bonded upstream, from "L1 and L2"\n'
NINE_VOLTS = "battery B1 9 V DC, - grounded, fused 2 A, 100 A available\n"


def behaviour(text: str) -> Behaviour:
    """What a text's panel does; the text must be without mistakes."""
    gathered = gather("x.panel", Texts({"x.panel": text}))
    panel, mistakes = build_panel("x.panel", gathered)
    assert [] == [mistake.message for mistake in (*gathered.mistakes, *mistakes)]
    return Behaviour(panel, find_nodes(panel))


def in_state(panel: Behaviour, state: Mapping[str, str]) -> int:
    """The literal of a state given by positions' names, every source present."""
    every = {
        **{name: "present" for name in panel.panel.mechanisms if name in ("E1", "B1")},
        **state,
    }
    return panel.logic.all_of(
        [
            panel.in_positions(
                name, frozenset((panel.panel.mechanisms[name].positions.index(position),))
            )
            for name, position in every.items()
        ]
    )


def is_on(panel: Behaviour, load: str, state: Mapping[str, str]) -> bool:
    """Whether a load is on in a settled state; the state must be one or the other for sure."""
    here, on = in_state(panel, state), panel.on(load)
    can_be_on = panel.prover.can_happen(panel.logic.both(here, on), at="settled")
    can_be_off = panel.prover.can_happen(panel.logic.both(here, on ^ 1), at="settled")
    verdicts = isinstance(can_be_on, Reached), isinstance(can_be_off, Reached)
    assert verdicts in ((True, False), (False, True)), verdicts
    return verdicts[0]


def can_be_in_together(panel: Behaviour, *relays: str) -> bool:
    both = panel.logic.all_of([panel.in_positions(name, frozenset((1,))) for name in relays])
    answer = panel.prover.can_happen(both)
    assert isinstance(answer, (Never, Reached))
    return isinstance(answer, Reached)


def operated(*names: str) -> dict[str, str]:
    return dict.fromkeys(names, "operated")


def at_rest(*names: str) -> dict[str, str]:
    return dict.fromkeys(names, "at rest")


def test_j01_all_permissives_start_the_burner_and_any_bad_one_shows_red() -> None:
    assert {"all good": "CR1+green", "any one bad": "red only"} == EXAMPLES["j01"]["answer"]
    panel = behaviour(
        RAILS
        + """
pressure switch PS1 "Low fuel" normally open 13-14
pressure switch PS2 "High fuel" normally closed 11-12
flow switch FS1 "Air flow" normally open 13-14
limit switch LS1 "Damper" normally open 13-14
relay CR1 coil 120 V AC 5 W; normally open 13-14; normally closed 21-22
lamp H1 "Green" 120 V AC 5 W
lamp H2 "Red" 120 V AC 5 W
circuit "Permissives"
  E1:L -- PS1 -- PS2 -- FS1 -- LS1 -- CR1:A1-A2 -- E1:N
  E1:L -- CR1:13-14 -- H1 -- E1:N
  E1:L -- CR1:21-22 -- H2 -- E1:N
"""
    )
    names = ("PS1", "PS2", "FS1", "LS1")
    for positions in product(("at rest", "operated"), repeat=4):
        state = dict(zip(names, positions, strict=True))
        good = state == {**operated("PS1", "FS1", "LS1"), **at_rest("PS2")}
        assert good == is_on(panel, "CR1", state) == is_on(panel, "H1", state)
        assert good != is_on(panel, "H2", state)


REVERSING = """
button S1 "Fwd" normally open 13-14
button S2 "Rev" normally open 13-14
contactor M1 coil 120 V AC 8 W; normally closed 21-22
contactor M2 coil 120 V AC 8 W; normally closed 21-22
circuit "Reversing"
  E1:L -- S1 -- M2:21-22 -- M1:A1-A2 -- E1:N
  E1:L -- S2 -- M1:21-22 -- M2:A1-A2 -- E1:N
"""


def test_j03_cross_interlocked_contactors_are_never_in_together() -> None:
    assert "M2 blocked while M1 in, and vice versa" == EXAMPLES["j03"]["answer"]["result"]
    panel = behaviour(RAILS + REVERSING)
    assert not can_be_in_together(panel, "M1", "M2")
    assert can_be_in_together(panel, "M1")
    assert can_be_in_together(panel, "M2")


def test_j04_seal_ins_without_a_stop_hold_whatever_is_pressed_next() -> None:
    assert "ignored" == EXAMPLES["j04"]["answer"]["Rev tapped"]
    text = REVERSING.replace("8 W; normally closed", "8 W; normally open 13-14; normally closed")
    panel = behaviour(RAILS + text + "  E1:L -- M1:13-14 -- M2:21\n  E1:L -- M2:13-14 -- M1:21\n")
    logic = panel.logic
    held = logic.both(in_state(panel, {"S1": "released", "S2": "pressed"}), panel.on("M1"))
    assert isinstance(panel.prover.can_happen(held, at="settled"), Reached)
    assert not can_be_in_together(panel, "M1", "M2")


FOUR = "\n".join(f"switch S{n} normally open 1-2" for n in range(1, 5))


def test_j08_an_open_wire_behind_one_of_four_parallel_switches_stays_unseen() -> None:
    answer = EXAMPLES["j08"]["answer"]
    assert {"switch 2 pressed": "silent (undetected)", "others": "siren"} == answer
    panel = behaviour(
        RAILS
        + FOUR
        + """
horn BZ1 120 V AC 0.2 A
circuit "Siren, the wire of switch 2 broken"
  E1:L -- S1 -- BZ1 -- E1:N
  E1:L -- S2:1
  E1:L -- S3 -- BZ1:1
  E1:L -- S4 -- BZ1:1
"""
    )
    off = dict.fromkeys(("S1", "S2", "S3", "S4"), "off")
    assert not is_on(panel, "BZ1", {**off, "S2": "on"})
    for name in ("S1", "S3", "S4"):
        assert is_on(panel, "BZ1", {**off, name: "on"})


def test_j09_de_energise_to_alarm_sounds_for_any_switch() -> None:
    assert "siren" == EXAMPLES["j09"]["answer"]["any switch or rung-1 break"]
    panel = behaviour(
        RAILS
        + FOUR.replace("open", "closed")
        + """
relay CR1 coil 120 V AC 5 W; normally closed 21-22
horn BZ1 120 V AC 0.2 A
circuit "Siren"
  E1:L -- S1 -- S2 -- S3 -- S4 -- CR1:A1-A2 -- E1:N
  E1:L -- CR1:21-22 -- BZ1 -- E1:N
"""
    )
    for positions in product(("off", "on"), repeat=4):
        state = {f"S{n}": position for n, position in enumerate(positions, 1)}
        assert ("on" in positions) == is_on(panel, "BZ1", state)


def test_j10_two_change_over_switches_make_an_exclusive_or() -> None:
    assert "0,1,1,0" == EXAMPLES["j10"]["answer"]["lamp"]
    panel = behaviour(
        RAILS
        + """
switch A change-over 1-2-4
switch B change-over 1-2-4
lamp H1 120 V AC 5 W
circuit "Exclusive or"
  E1:L -- A:1-2 -- B:4
  A:4 -- B:2
  B:1 -- H1 -- E1:N
"""
    )
    found = [is_on(panel, "H1", {"A": a, "B": b}) for a, b in product(("off", "on"), repeat=2)]
    assert [False, True, True, False] == found


def test_j11_a_nand_coil_with_a_closed_contact_makes_an_and() -> None:
    assert "0,0,0,1" == EXAMPLES["j11"]["answer"]["lamp"]
    panel = behaviour(
        RAILS
        + """
switch A normally closed 1-2
switch B normally closed 1-2
relay CR1 coil 120 V AC 5 W; normally closed 21-22
lamp H1 120 V AC 5 W
circuit "And"
  E1:L -- A -- CR1:A1-A2 -- E1:N
  E1:L -- B -- CR1:A1
  E1:L -- CR1:21-22 -- H1 -- E1:N
"""
    )
    found = [is_on(panel, "H1", {"A": a, "B": b}) for a, b in product(("off", "on"), repeat=2)]
    assert [False, False, False, True] == found


def test_j13_two_of_three_light_the_lamp() -> None:
    assert "on when two or more pressed" == EXAMPLES["j13"]["answer"]["lamp"]
    panel = behaviour(
        RAILS
        + "\n".join(f"switch X{n} normally open 1-2 3-4" for n in (1, 2, 3))
        + """
lamp H1 120 V AC 5 W
circuit "Two of three"
  E1:L -- X1:1-2 -- X2:1-2 -- H1 -- E1:N
  E1:L -- X2:3-4 -- X3:1-2 -- H1:X1
  E1:L -- X1:3-4 -- X3:3-4 -- H1:X1
"""
    )
    for positions in product(("off", "on"), repeat=3):
        state = {f"X{n}": position for n, position in enumerate(positions, 1)}
        assert (positions.count("on") >= 2) == is_on(panel, "H1", state)


@pytest.mark.parametrize(("overlapping", "meets"), [("", False), (", overlapping", True)])
def test_j14_a_selector_joins_two_positions_in_passing_only_if_it_overlaps(
    overlapping: str, meets: bool
) -> None:
    answer = EXAMPLES["j14"]["answer"]
    assert "intermediate state: common to none" == answer["break-before-make"]
    assert "intermediate state: common to 3 AND 4" == answer["make-before-break"]
    contacts = "; ".join(f"C-{n} in P{n}" for n in range(1, 6))
    lamps = "\n".join(f"lamp H{n} 120 V AC 5 W" for n in range(1, 6))
    wires = "\n".join(f"  SS1:{n} -- H{n} -- E1:N" for n in range(1, 6))
    panel = behaviour(
        f"{RAILS}selector SS1 positions P1 P2 P3 P4 P5{overlapping}; {contacts}\n{lamps}\n"
        f'circuit "Five ways"\n  E1:L -- SS1:C\n{wires}\n'
    )
    three_and_four = panel.logic.both(panel.on("H3"), panel.on("H4"))
    assert meets == isinstance(panel.prover.can_happen(three_and_four), Reached)
    one_and_five = panel.logic.both(panel.on("H1"), panel.on("H5"))
    assert isinstance(panel.prover.can_happen(one_and_five), Never)


def test_j18_two_pushbuttons_pressed_at_once_energise_neither() -> None:
    assert "neither contactor energises" == EXAMPLES["j18"]["answer"]["result"]
    panel = behaviour(
        RAILS
        + """
button S1 "Fwd" normally open 13-14 normally closed 21-22
button S2 "Rev" normally open 13-14 normally closed 21-22
contactor M1 coil 120 V AC 8 W
contactor M2 coil 120 V AC 8 W
circuit "Pushbutton interlock"
  E1:L -- S1:13-14 -- S2:21-22 -- M1:A1-A2 -- E1:N
  E1:L -- S2:13-14 -- S1:21-22 -- M2:A1-A2 -- E1:N
"""
    )
    both = {"S1": "pressed", "S2": "pressed"}
    assert not is_on(panel, "M1", both)
    assert not is_on(panel, "M2", both)
    assert is_on(panel, "M1", {"S1": "pressed", "S2": "released"})


def test_j19_the_first_of_three_relays_to_seal_in_locks_out_the_others() -> None:
    assert "K2 only, also after P2 clears" == EXAMPLES["j19"]["answer"]["latched"]
    rungs = ""
    for k in (1, 2, 3):
        first, second = (other for other in (1, 2, 3) if other != k)
        rungs += (
            f"  E1:L -- P{k} -- K{first}:{k}1-{k}2 -- K{second}:{k}1-{k}2 -- K{k}:A1-A2 -- E1:N\n"
            f"  E1:L -- K{k}:13-14 -- K{first}:{k}1\n"
        )
    relays = "\n".join(
        f"relay K{k} coil 120 V AC 5 W; normally open 13-14; normally closed "
        + " ".join(f"{other}1-{other}2" for other in (1, 2, 3) if other != k)
        for k in (1, 2, 3)
    )
    inputs = "\n".join(f"button P{k} normally open 3-4" for k in (1, 2, 3))
    panel = behaviour(f'{RAILS}{inputs}\n{relays}\ncircuit "First out"\n{rungs}')
    for a, b in ((1, 2), (1, 3), (2, 3)):
        assert not can_be_in_together(panel, f"K{a}", f"K{b}")
    released = in_state(panel, dict.fromkeys(("P1", "P2", "P3"), "released"))
    for k in (1, 2, 3):
        latched = panel.logic.both(released, panel.on(f"K{k}"))
        assert isinstance(panel.prover.can_happen(latched, at="settled"), Reached)


LOOP = "resistor R1 9 V DC 100 ohm\nresistor R2 9 V DC 300 ohm\nresistor R3 9 V DC 50 ohm\n"


def test_a08_a_jumper_across_one_of_three_parallel_loads_is_a_dead_short() -> None:
    assert "dead short" in EXAMPLES["a08"]["answer"]["ideal source"]
    text = (
        NINE_VOLTS
        + LOOP
        + """wire kind default: 18 AWG copper MTW, 1 m
circuit "Parallel"
  B1:+ -- R1 -- B1:-
  B1:+ -- R2 -- B1:-
  B1:+ -- R3 -- B1:-
  R2:1 --J-- R2:2
"""
    )
    found, _ = review(["x.panel"], Texts({"x.panel": text}))
    assert ["missing load"] == [f.rule for f in found.findings if f.family.value == "missing load"]


def test_a18_and_a25_points_joined_by_wire_are_one_and_the_load_keeps_two_apart() -> None:
    assert "0 V" == EXAMPLES["a18"]["answer"]["within {1,2,3} or within {4,5,6}"]
    assert "0 V" == EXAMPLES["a25"]["answer"]["within A–E or within F–J"]
    points = "\n".join(f"terminal P{n}" for n in range(1, 7))
    panel = behaviour(
        f"{NINE_VOLTS}resistor R1 9 V DC 5 ohm\n{points}\n"
        'circuit "Loop"\n  B1:+ -- P1 -- P2 -- P3 -- R1 -- P4 -- P5 -- P6 -- B1:-\n'
    )
    top = {panel.node(f"P{n}:1") for n in (1, 2, 3)}
    bottom = {panel.node(f"P{n}:1") for n in (4, 5, 6)}
    assert (1, 1, False) == (len(top), len(bottom), top == bottom)


@pytest.mark.parametrize("example", ["a05", "a20"])
def test_a05_and_a20_one_open_in_a_series_loop_leaves_every_load_dead(example: str) -> None:
    answer = EXAMPLES[example]["answer"]
    assert answer["I"] in ("0 A", "0")
    panel = behaviour(
        NINE_VOLTS
        + "lamp H1 9 V DC 1 W\nlamp H2 9 V DC 1 W\n"
        + 'circuit "Open between the two"\n  B1:+ -- H1:X1\n  H1:X2 -- H2:X1\n'
    )
    for lamp in ("H1", "H2"):
        assert isinstance(panel.prover.can_happen(panel.on(lamp)), Never)


def test_a19_which_side_a_fuse_is_open_on_decides_what_stays_live() -> None:
    answer = EXAMPLES["a19"]["answer"]
    assert "0 V" == answer["(i) either load terminal to earth"]
    assert "full source voltage" == answer["(ii) either load terminal to earth"]
    lamp = RAILS + "lamp H1 120 V AC 5 W\n"
    in_hot = behaviour(f'{lamp}circuit "Fuse open in the hot"\n  H1:X2 -- E1:N\n')
    in_neutral = behaviour(f'{lamp}circuit "Fuse open in the neutral"\n  E1:L -- H1:X1\n')
    assert in_hot.node("H1:X2") == in_hot.node("E1:N")
    assert in_hot.node("H1:X1") != in_hot.node("E1:L")
    assert in_neutral.node("H1:X1") == in_neutral.node("E1:L")
    assert in_neutral.node("H1:X2") != in_neutral.node("E1:N")
