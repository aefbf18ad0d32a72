"""What several rules word alike."""

from __future__ import annotations

import pytest

import netcheck.review
from tests.annotated import Texts

SHORTED = """
battery BT1 24 V DC, 500 A available, poles + 0V, 0V grounded
fuse FU1 2 A, 10 kA interrupting, 250 V DC
wire kind default: 18 AWG copper MTW 90 degC, 0.5 m
BT1:+ --1-- FU1 --2-- CONTACT --3-- BT1:0V
"""


@pytest.mark.parametrize(
    ("device", "contact", "when"),
    [
        ("selector SW1 positions LOW MID HIGH; 1-2 in LOW", "SW1", " when SW1 is LOW"),
        ("latching relay K6 set coil 24 V DC 1 W; reset coil A3-A4 24 V DC 1 W; "
         "normally closed 11-12", "K6:11-12", " when K6 is reset"),
        ("device LV1 terminals 11 12; positions LOW HIGH by process; 11-12 in LOW", "LV1",
         " when LV1 position is LOW"),
        ("button S1 normally open 13-14", "S1", " when S1 is pressed"),
        ("button S1 normally closed 11-12", "S1", ""),
        ("relay K1 coil 24 V DC 1 W; normally closed 11-12", "K1:11-12", ""),
    ],
)  # fmt: skip
def test_a_message_says_each_position_that_is_no_rest(device: str, contact: str, when: str) -> None:
    text = device + SHORTED.replace("CONTACT", contact)
    review, _ = netcheck.review.review(["x.panel"], Texts({"x.panel": text}))
    (message,) = [one.message for one in review.findings if one.rule == "missing load"]
    assert f"`BT1:+` reaches `BT1:0V` with no load in the path{when}" == message
