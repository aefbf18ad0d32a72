"""The balance of watts in an enclosure, and what is left open.

Source: common practice, no source; the sums are done by hand beside each case.
"""

from __future__ import annotations

import pytest

from tests.rules.told import messages_of, unchecked_of

RULE = "heat beyond what the enclosure sheds"
BOX = """panel "Box"
location tank: outside, 30 degC
enclosure EN1 steel, sheds {sheds}
edge E1 24 V DC, fused 10 A, 100 A available, 0V grounded
{devices}
selector SS1 positions LEFT OFF RIGHT; 13-14 in LEFT; 23-24 in RIGHT
relay K1 coil 24 V DC 6 W with diode; normally open 13-14
relay K2 coil 24 V DC 5 W with diode; normally open 13-14
circuit "Control"
  E1:+ -- SS1:13-14 -- K1:A1-A2 -- E1:0V
  SS1:13 -- SS1:23-24 -- K2:A1-A2 -- E1:0V
{circuits}
"""


@pytest.mark.parametrize(
    ("sheds", "devices", "given"),
    [
        ("20 W", "ammeter PA1 gives off 14 W", None),  # 14 + 6, not 14 + 6 + 5
        ("19 W", "ammeter PA1 gives off 14 W", "20 W"),
        ("15 W", "ammeter PA1 gives off 14 W, at tank", None),
        ("10 W", "ammeter PA1 gives off 14 W", "20 W"),
        ("5.9 W", "ammeter PA1", "6 W"),
        ("6 W", "ammeter PA1", None),
    ],
)
def test_coils_count_that_can_be_in_together_and_devices_that_stand_inside(
    sheds: str, devices: str, given: str | None
) -> None:
    found = messages_of(BOX.format(sheds=sheds, devices=devices, circuits=""), RULE)
    assert ([] if given is None else [f"up to {given} of heat is given off in `EN1`"]) == [
        message.partition(", which")[0] for message in found
    ]


@pytest.mark.parametrize(
    ("sheds", "said", "left_open"), [("90 W", "", True), ("90 W", ", gives off 40 W", False)]
)
def test_a_transformer_that_does_not_say_what_it_gives_off_leaves_it_open(
    sheds: str, said: str, left_open: bool
) -> None:
    devices = (
        "edge E2 240 V AC 60 Hz, fused 10 A, 5 kA available, ungrounded\n"
        f"transformer T1 240 V AC to 120 V AC, 500 VA, X2 grounded{said}"
    )
    circuits = "  E2:L1 -- T1:H1-H2 -- E2:L2"
    text = BOX.format(sheds=sheds, devices=devices, circuits=circuits)
    assert (["T1 does not say what heat it gives off"] if left_open else []) == [
        reason.replace("`", "") for reason in unchecked_of(text, RULE)
    ]
