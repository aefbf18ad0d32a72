"""One slip of the pen in the greenhouse panel, one finding, on the line that causes it.

Each slip is one a builder makes: a wire one terminal off, one left out, a size or a setting of
another circuit, a part of another voltage.  What a master electrician would say of it stands
beside it.  Common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from netcheck.review import review
from tests.annotated import Texts

PATH = "greenhouse.panel"
SOUND = (Path(__file__).parents[1] / "samples" / "panels" / PATH).read_text(encoding="utf-8")

SLIPS = (
    # what is written, what is written instead, the rule, and the line it speaks of
    (
        "CB8 --171-- PS1:L-N --N-- NB1:2",
        "CB8 --171-- PS1:L-N --N-- NB1:2\n  XL1:9 --5-- NB1:3",
        "missing load",
        "XL1:9 --5-- NB1:3",
    ),
    (
        "  XP:4 --201-- FU3:1",
        "  XP:4 --201-- FU3:1\n  FU3:2 --231-- XM:2",
        "missing load",
        "FU3:2 --231-- XM:2",
    ),
    ("mechanical interlock K5 and K6\n", "", "interlock that one weld defeats", "contactor K5"),
    (
        "24 V DC <VALVE> with diode",
        "120 V AC <VALVE>",
        "mismatched voltage",
        "XP:6 --201-- FU5:1",
    ),
    (
        'lamp H1 "North pump runs" 24 V DC 20 mA LED',
        'lamp H1 "North pump runs" 120 V AC 2 W',
        "mismatched voltage",
        "K1:23-24 --402-- H1",
    ),
    (
        "GB1:5 --PE-- X1:14",
        "GB1:5 --PE-- (16 AWG) X1:14",
        "undersized grounding conductor",
        "GB1:5 --PE-- (16 AWG)",
    ),
    (
        'cable W2 "South pump" 3 cores 12 AWG copper THWN-2 black, 600 V insulation, 25 m',
        'cable W2 "South pump" 3 cores 12 AWG copper THWN-2 black, 600 V insulation, 150 m',
        "voltage drop too large",
        "X1:4 --W2.1-- QS3:1-2",
    ),
    (
        'CB4 "Tank heater, first stage" 2-pole, 20 A',
        'CB4 "Tank heater, first stage" 2-pole, 40 A',
        "oversized protection",
        "CB4:1-2 --141--",
    ),
    (
        'FU6 "Lamps, horn and inputs" 2 A',
        'FU6 "Lamps, horn and inputs" 15 A',
        "unprotected branch",
        "FU6 --261-- XF:1",
    ),
    (
        "set 9.6 A, range 8 A to 12 A",
        "set 14 A, range 8 A to 15 A",
        "motor without overload",
        "overload OL1",
    ),
    (
        'CB2 "South pump" 2-pole, 20 A, 120/240 V AC, 10 kA',
        'CB2 "South pump" 2-pole, 20 A, 120/240 V AC, 5 kA',
        "interrupting rating too small",
        "breaker CB2",
    ),
    (
        "  XF:3 --261-- K1:23-24",
        "  XF:3 --262-- K1:23-24",
        "node with two numbers",
        "XF:3 --262--",
    ),
    (
        'relay KR5 "Alarm" coil 24 V DC 1 W with diode',
        'relay KR5 "Alarm" coil 24 V DC 1 W',
        "coil without suppression",
        "relay KR5",
    ),
)


@pytest.mark.parametrize(("written", "instead", "rule", "line"), SLIPS)
def test_a_slip_is_one_finding_on_its_line(
    written: str, instead: str, rule: str, line: str
) -> None:
    assert SOUND.count(written) == 1
    text = SOUND.replace(written, instead)
    found, _ = review([PATH], Texts({PATH: text}))
    (finding,) = found.findings
    spoken_of = text.splitlines()[finding.place.span.line - 1]
    assert (rule, True) == (finding.rule, line in spoken_of)
    assert ((), ()) == (found.not_checked, found.not_decided)


def test_a_coil_without_its_return_is_told_with_what_waits_for_it() -> None:
    """Its diode leads from A2 back to A1, and brings nothing.  That both pumps can run is an
    intent of the text, and told as such."""
    text = SOUND.replace("K2:A1-A2 --200-- XM:4", "K2:A1")
    found, _ = review([PATH], Texts({PATH: text}))
    assert ["relay never pulls in", "intent not met"] == [one.rule for one in found.findings]
    assert "nothing leads home from `K2:A2`" in found.findings[0].message
    assert () == found.not_decided


def test_a_jumper_across_a_trip_contact_is_told_by_what_it_does_and_where_it_lies() -> None:
    """That its node has two numbers now is the same jumper, and not told besides."""
    heading = 'circuit "South pump start and stop" in control\n'
    text = SOUND.replace(heading, f"{heading}  OL2:95 --321-- OL2:96\n")
    found, _ = review([PATH], Texts({PATH: text}))
    rules = [one.rule for one in found.findings]
    assert ["motor without overload", "contact that never matters"] == rules
    assert "wire 321 bridges it" in found.findings[1].message
