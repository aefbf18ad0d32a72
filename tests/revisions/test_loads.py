"""Circuits with memory, timers and selectors, held against what they were."""

from __future__ import annotations

import pytest

from netcheck.revisions.comparison import Comparison, compare
from tests.revisions.test_edits import compared, loads, read

HEAD = """
wire kind control: 18 AWG copper MTW 90 degC blue, 600 V insulation, 1 m
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
button S1 normally closed 11-12
button S2 normally open 13-14
lamp H1 24 V DC 2 W
"""
SEALED = """
relay K1 coil 24 V DC 1 W with diode; normally open 13-14 23-24
E1:+ --1-- S1 --2-- S2 --3-- K1:A1-A2 --200-- E1:0V
S2:13 --2-- K1:13-14 --3-- S2:14
E1:+ --1-- K1:23-24 --4-- H1 --200-- E1:0V
"""


def test_a_seal_in_that_was_lost_shows_once_the_button_is_let_go() -> None:
    found = compared(HEAD + SEALED, HEAD + SEALED.replace("S2:13 --2-- K1:13-14 --3-- S2:14\n", ""))
    assert {"K1", "H1"} == loads(found)
    for load in found.loads:
        assert ("on", "off") == (load.was, load.now)
        assert "S2" not in dict(load.state)
        assert ["press S2", "E1 comes on", "release S2"] == list(load.steps)


def test_a_circuit_with_memory_is_the_same_as_itself_and_proved_so() -> None:
    assert compared(HEAD + SEALED, "# moved\n" + HEAD + SEALED).same


def test_a_stop_moved_behind_the_seal_in_is_the_same_machine() -> None:
    moved = (
        SEALED.replace(
            "E1:+ --1-- S1 --2-- S2 --3-- K1:A1-A2 --200-- E1:0V",
            "E1:+ --2-- S2 --3-- S1 --5-- K1:A1-A2 --200-- E1:0V",
        )
        .replace("E1:+ --1-- K1:23-24", "E1:+ --2-- K1:23-24")
        .replace("S2:14", "S1:11")
    )
    found = compared(HEAD + SEALED, HEAD + moved)
    assert (2, ()) == (found.same_loads, found.loads)
    assert found.changes


def test_a_relay_between_changes_nothing_and_is_told_as_added() -> None:
    direct = "E1:+ --1-- S2 --2-- H1 --200-- E1:0V\nE1:+ --1-- S1 --9-- S1:12\n"
    by_relay = (
        "relay K9 coil 24 V DC 1 W with diode; normally open 13-14\n"
        "E1:+ --1-- S2 --2-- K9:A1-A2 --200-- E1:0V\n"
        "E1:+ --1-- K9:13-14 --3-- H1 --200-- E1:0V\n"
    )
    found = compared(HEAD + direct.splitlines()[0] + "\n", HEAD + by_relay)
    assert (1, ()) == (found.same_loads, found.loads)
    assert ("device", "added", "K9") in {(c.of, c.kind, c.name) for c in found.changes}


def test_a_timer_whose_coil_is_drawn_another_way_runs_out_when_it_did() -> None:
    timer = "on-delay timer KT1 5 s, coil 24 V DC 2 W with diode; timed normally open 15-18\n"
    one = timer + "E1:+ --1-- S2 --2-- KT1:A1-A2 --200-- E1:0V\n"
    two = timer + "E1:+ --1-- S1 --3-- S2 --2-- KT1:A1-A2 --200-- E1:0V\n"
    lamp = "E1:+ --1-- KT1:15-18 --4-- H1 --200-- E1:0V\n"
    found = compared(HEAD + one + lamp, HEAD + two + lamp)
    assert {"KT1", "H1"} == loads(found)
    assert all(dict(load.state)["S1"] == "pressed" for load in found.loads)
    assert compared(HEAD + one + lamp, HEAD + lamp + one).same


SELECTOR = "selector SS1 positions {}; 13-14 in HAND\nE1:+ --1-- SS1:13-14 --4-- H1 --200-- E1:0V\n"


def test_a_selector_with_other_positions_is_not_decided() -> None:
    found = compared(HEAD + SELECTOR.format("HAND OFF"), HEAD + SELECTOR.format("OFF HAND AUTO"))
    assert ["`SS1` has other positions than before"] == [load.reason for load in found.loads]
    assert found.not_decided


def test_a_button_that_gets_a_second_contact_is_the_same_button() -> None:
    plain = "E1:+ --1-- S2:13-14 --4-- H1 --200-- E1:0V\n"
    both = HEAD.replace("S2 normally open 13-14", "S2 normally open 13-14, normally closed 21-22")
    found = compared(HEAD + plain, both + plain)
    assert (1, ()) == (found.same_loads, found.loads)


def test_a_load_at_other_volts_is_off_where_it_was_on() -> None:
    plain = "E1:+ --1-- S2:13-14 --4-- H1 --200-- E1:0V\n"
    found = compared(HEAD + plain, HEAD.replace("H1 24 V DC", "H1 12 V DC") + plain)
    assert ["H1"] == [load.name for load in found.loads]


def test_what_a_load_gets_is_told_where_it_changes() -> None:
    plain = "E1:+ --1-- S2:13-14 --4-- H1 --200-- E1:0V\n"
    fused = HEAD.replace("fused 3 A", "fused 2 A").replace("24 V DC 2 W", "24 V DC 6 W")
    got = [c for c in compared(HEAD + plain, fused + plain).changes if c.of == "load"]
    # 2 W / 24 V = 83.3 mA, 6 W / 24 V = 0.25 A
    assert [
        ("H1", "draws 83.3 mA", "draws 0.25 A"),
        ("H1", "behind E1 (3 A ahead of it)", "behind E1 (2 A ahead of it)"),
    ] == [(c.name, c.before, c.after) for c in got]


TURNED = """\
panel "Bench valve behind a transformer"
source MAINS 120/240 V AC 60 Hz, three-wire, 22 kA available, neutral bonded here
breaker CB0 2-pole, 15 A, 240 V AC
transformer T1 240 V AC to 24 V AC, 500 VA, X2 grounded
valve Y1 24 V AC 20 W
supply PS1 24 V AC to 24 V DC, 2 A, limits at 3 A, isolated
lamp H1 24 V DC 2 W
MAINS:L1 --1-- CB0:1-2 --2-- T1:H1-H2 --3-- CB0:4-3 --4-- MAINS:L2
T1:X1 --101-- Y1 --100-- T1:X2
T1:X1 --101-- PS1:L-N --100-- T1:X2
PS1:+ --201-- H1 --200-- PS1:0V
"""


@pytest.mark.parametrize(
    ("name", "before", "now", "was", "other"),
    [
        # 240 V to 24 V: ten times the amperes.  A breaker of 15 A was told as one of 150 A.
        ("Y1", "15 A", "10 A", "CB0 (15 A, 150 A on this side of T1)",
         "CB0 (10 A, 100 A on this side of T1)"),
        ("H1", "limits at 3 A", "limits at 4 A", "PS1 (limits at 3 A)", "PS1 (limits at 4 A)"),
        ("H1", "limits at 3 A", "class 2", "PS1 (limits at 3 A)", "PS1 (class 2)"),
        ("T1", "2-pole, 15 A,", "2-pole,", "CB0 (15 A)", "CB0 (rating not said)"),
    ],
)  # fmt: skip
def test_what_protects_a_load_is_told_with_its_own_rating_and_how(
    name: str, before: str, now: str, was: str, other: str
) -> None:
    found = compared(TURNED, TURNED.replace(before, now)).changes
    assert (f"behind {was}", f"behind {other}") in {
        (one.before, one.after) for one in found if one.of == "load" and one.name == name
    }


def test_a_load_moved_to_another_source_is_told_with_both_voltages() -> None:
    plain = "E1:+ --1-- S2:13-14 --4-- H1 --200-- E1:0V\n"
    low = HEAD.replace("E1 24 V DC", "E1 12 V DC")
    (got,) = [c for c in compared(HEAD + plain, low + plain).changes if "gets" in c.after]
    assert ("gets 24 V DC", "gets 12 V DC") == (got.before, got.after)


@pytest.mark.parametrize("kind", ["added", "removed"])
def test_a_panel_that_only_one_side_has_is_not_compared(kind: str) -> None:
    one = read(HEAD + SEALED)
    found = compare("a.panel", None, one) if kind == "added" else compare("a.panel", one, None)
    assert (kind, False) == (found.alone, found.same)


def test_nothing_is_proved_of_a_text_that_cannot_be_read() -> None:
    from netcheck.record import replace
    from tests.report.example import MISTAKE

    one = read(HEAD + SEALED)
    found: Comparison = compare("a.panel", one, replace(one, mistakes=(MISTAKE,)))
    assert (0, True) == (found.same_loads, found.not_decided)
    assert found.not_compared


def test_of_two_that_open_at_as_much_the_nearer_is_named() -> None:
    """A breaker as large as the fuse of the feeder was told as if it were no longer there; the
    supply that gives no more is named before a fuse that it can never blow."""
    drawn = """\
panel "Bench lamp"
edge E1 24 V DC, fused 30 A, 100 A available, 0V grounded, from "greenhouse panel"
breaker CB1 1-pole, 25 A
lamp H1 24 V DC 2 W
E1:+ --1-- CB1 --2-- H1 --3-- E1:0V
"""
    found = compared(drawn, drawn.replace("1-pole, 25 A", "1-pole, 30 A")).changes
    assert ("behind CB1 (25 A)", "behind CB1 (30 A)") in {(c.before, c.after) for c in found}
    limited = TURNED.replace("--201-- H1", "--201-- FU1 --202-- H1") + "fuse FU1 3 A\n"
    found = compared(limited, limited.replace("fuse FU1 3 A", "fuse FU1 2 A")).changes
    told = {(c.before, c.after) for c in found}
    assert ("behind PS1 (limits at 3 A)", "behind FU1 (2 A)") in told
    twelve = TURNED.replace("2-pole, 15 A", "2-pole, 1 A").replace(
        "T1:X1 --101-- Y1", "T1:X1 --101-- FU2 --102-- Y1"
    )
    small = f"{twelve}fuse FU2 5 A\n"
    found = compared(small, small.replace("fuse FU2 5 A", "fuse FU2 10 A")).changes
    told = {(c.before, c.after) for c in found if c.name == "Y1"}
    assert ("behind FU2 (5 A)", "behind FU2 (10 A)") in told  # 1 A is 10 A on this side
