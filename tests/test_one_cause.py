"""What waits for one uncertain coil is told once.

Source: the trade's habit of one cause, one finding: a coil of the wrong voltage is looked at
once, and what hangs on it is decided with it.
"""

from __future__ import annotations

from netcheck.finding import NotDecided, Place
from netcheck.one_cause import told_once
from netcheck.review import review
from netcheck.text import Span
from tests.annotated import Texts

PUMP = """panel "Pump"
numbers one for each node
edge E1 24 V DC, fused 5 A, 100 A available, 0V grounded, from "greenhouse panel"
relay K1 coil 48 V DC 3 W with diode; normally open 13-14 23-24 33-34
relay K2 coil 24 V DC 1 W with diode; normally open 13-14
button S1 "Start" normally open 13-14
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
circuit "Control"
  E1:+ -- S1 -- K1:A1-A2 -- E1:0V
  S1:13 -- K1:13-14 -- K2:A1-A2 -- E1:0V
  S1:13 -- K2:13-14 -- K1:23-24 -- H1 -- E1:0V
  S1:13 -- K1:33-34 -- H2 -- E1:0V
intent "both lamps": H1 is on whenever H2 is on
"""


def undecided(reason: str, line: int) -> NotDecided:
    return NotDecided(
        reason, Place(Span("a.panel", line, 1, 1)), (f"D{line}",), rule=f"rule {line}"
    )


def test_questions_that_wait_for_one_coil_are_one_line() -> None:
    waits = "it depends on whether K1 pulls in at the voltage it gets"
    several = [
        undecided(f"whether `M1` can be on: {waits}", 1),
        undecided(f"intent `dry`: {waits}; 18 devices are concerned", 2),
        undecided(f"whether `M1` can be on: {waits}", 3),
        undecided("whether `M2` can be on: more ways than are followed", 4),
    ]
    first, other = told_once(several)
    assert f"whether `M1` can be on; intent `dry`: {waits}" == first.reason
    assert (1, ("D1", "D2", "D3")) == (first.place.span.line, first.devices)
    assert several[3] == other


def test_questions_that_wait_for_different_coils_stay_apart() -> None:
    several = [
        undecided(f"whether `M{n}` can be on: it depends on whether K{n} pulls in", n)
        for n in (1, 2)
    ]
    assert tuple(several) == told_once(several)


def test_more_questions_than_a_line_holds_are_counted() -> None:
    waits = "it depends on whether K1 pulls in"
    (one,) = told_once(undecided(f"whether `M{n}` can be on: {waits}", n) for n in range(1, 6))
    assert "; and 2 more questions: it depends on whether K1 pulls in" in one.reason


def test_a_coil_on_half_its_voltage_leaves_one_line_open() -> None:
    found, _ = review(["pump.panel"], Texts({"pump.panel": PUMP}))
    assert 1 == len(found.not_decided)
    assert ["mismatched voltage"] == [
        one.rule for one in found.findings if "K1" in one.devices and "gets" in one.message
    ]
