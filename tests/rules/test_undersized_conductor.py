"""Sizing currents: what is added, what takes from each other, and what is not judged."""

import pytest

from netcheck.rules.undersized_conductor import HELD_BY
from netcheck.tables import ampacity, protection
from tests.rules.told import findings_of, messages_of, unchecked_of, undecided_of

RULE = "undersized conductor"

SHARED = """panel "Benches"
terminals 90 degC
ambient 30 degC
edge E1 {system}, fused 100 A, 5 kA available, neutral bonded upstream
lamp H1 120 V AC 10 A
lamp H2 120 V AC 10 A
lamp H3 120 V AC 10 A
wire kind default: 2 AWG copper THHN, 1 m
circuit "Benches"
  E1:{first} -- H1 -- H2:X2
  E1:{second} -- H2 -- H3:X2
  E1:{third} -- H3 --N-- ({neutral} copper, THHN) E1:N
"""


def shared(system: str, legs: tuple[str, str, str], neutral: str) -> list[str]:
    first, second, third = legs
    text = SHARED.format(system=system, first=first, second=second, third=third, neutral=neutral)
    return messages_of(text, RULE)


SPLIT = "120/240 V AC 60 Hz, three-wire"
WYE = "208Y/120 V AC 60 Hz, four-wire"


def test_legs_of_one_neutral_take_from_each_other() -> None:
    """Two lamps on leg 1 and one on leg 2: 20 A with leg 2 alone off, never 30 A."""
    legs = ("L1", "L2", "L1")
    assert [] == shared(SPLIT, legs, "14 AWG")
    (found,) = shared(SPLIT, legs, "16 AWG")
    assert "must be good for 20 A for `H1` and `H3`" in found


def test_hots_on_one_leg_add_up_in_their_neutral() -> None:
    (found,) = shared(SPLIT, ("L1", "L1", "L1"), "14 AWG")
    assert "must be good for 30 A for `H1`, `H2` and `H3`" in found


def test_three_phases_leave_a_neutral_no_more_than_one_of_them() -> None:
    """Kirchhoff: three equal currents 120 degrees apart are nothing, two of them are one."""
    assert [] == shared(WYE, ("L1", "L2", "L3"), "16 AWG")
    (found,) = shared(WYE, ("L1", "L1", "L3"), "16 AWG")
    assert "must be good for 20 A" in found


LEGS = """panel "A fan and a mat"
terminals 75 degC
ambient 30 degC
edge E1 208Y/120 V AC 60 Hz, four-wire, fused 100 A, 5 kA available, neutral bonded upstream
lamp H1 120 V AC 12 A
motor M1 120 V AC single-phase, 12 A full load, service factor 1.15, thermally protected{factor}
wire kind default: 10 AWG copper THHN, 1 m
circuit "Both"
  E1:L1 -- H1 --N-- M1:T2
  E1:L3 -- M1 --N-- ({neutral} copper, THHN) E1:N
"""


def test_a_neutral_adds_its_legs_by_the_angles_of_their_currents() -> None:
    """12 A and a motor's 12 A that lag 60 degrees behind leg 3 point the same way, that of leg 1
    turned by 60 degrees less: 20.8 A, and a quarter of the motor's part on top."""
    (found,) = messages_of(LEGS.format(factor=", power factor 0.5", neutral="14 AWG"), RULE)
    assert "must be good for 23.4 A for `H1` and `M1`, and may carry 20 A" in found


def test_a_neutral_that_hangs_on_a_power_factor_nobody_says_is_not_decided() -> None:
    text = LEGS.format(factor="", neutral="14 AWG")
    (left,) = undecided_of(text, RULE)
    assert "it depends on the power factor of `M1`, which is not said" in left
    said = LEGS.format(factor=", power factor 1", neutral="14 AWG")
    assert [] == messages_of(said, RULE)


MOTORS = """panel "Pumps"
terminals 75 degC
ambient 30 degC
edge E1 240 V AC 60 Hz, fused 100 A, 5 kA available, ungrounded
motor M1 2 hp 230 V AC single-phase, 10 A full load
motor M2 3 hp 230 V AC single-phase, 14 A full load
heater HTR1 2400 W 240 V AC
wire kind default: 2 AWG copper THHN, 1 m
strip XL1 terminals 1 to 4; bridged 1-2-3-4
circuit "Pumps"
  E1:L1 --1-- ({feeder} copper, THHN) XL1:1
  XL1:2 -- M1:T1-T2 -- E1:L2
  XL1:3 -- M2:T1-T2 -- E1:L2
  XL1:4 -- HTR1:1-2 -- E1:L2
"""


def test_a_feeder_takes_the_largest_motor_at_125_percent_and_heat_too() -> None:
    """NEC 430.24 with table 430.248: 1.25 x 17 + 12 + 1.25 x 10 = 45.75 A."""
    assert [] == messages_of(MOTORS.format(feeder="8 AWG"), RULE)
    (found,) = findings_of(MOTORS.format(feeder="10 AWG"), RULE)
    assert "must be good for 45.8 A for `M1`, `M2` and `HTR1`, and may carry 35 A" in found.message
    assert "8 AWG would do" in found.help
    assert ("largest motor counts", 125) in [(step.what, step.value) for step in found.working]


def test_iec_practice_takes_the_nameplate_and_adds_nothing() -> None:
    text = """panel "Pump"
practice IEC 60204-1
edge E1 400 V AC 50 Hz three-phase, fused 16 A, 5 kA available, ungrounded
motor M1 4 kW 400 V AC 50 Hz three-phase, {amperes} A full load, thermally protected
wire kind default: 1.5 mm2 copper PVC, 1 m
circuit "Pump"
  E1:L1 -- M1:U
  E1:L2 -- M1:V
  E1:L3 -- M1:W
"""
    assert [] == messages_of(text.format(amperes=13.5), RULE)
    assert 1 == len(messages_of(text.format(amperes=13.6), RULE))


STAGES = """panel "Tank"
ambient 30 degC
edge E1 240 V AC 60 Hz, fused 30 A, 5 kA available, ungrounded
edge E2 24 V DC, fused 3 A, 100 A available, 0V grounded
contactor K1 coil 24 V DC 3 W; 2 main poles 600 V AC 25 A; auxiliary normally closed 21-22
contactor K2 coil 24 V DC 3 W; 2 main poles 600 V AC 25 A; auxiliary normally closed 21-22
switch S1 normally open 1-2
switch S2 normally open 1-2
heater HTR1 3 kW 240 V AC
heater HTR2 3.6 kW 240 V AC
wire kind default: 10 AWG copper THHN, 1 m
{interlock}
circuit "Tank"
  E1:L1 -- K1:1-2 -- HTR1:1-2 -- K1:4-3 -- E1:L2
  K1:1 -- K2:1-2 -- HTR2:1-2 -- K2:4-3 -- K1:3
circuit "Control"
  E2:+ -- S1 -- {first} -- E2:0V
  E2:+ -- S2 -- {second} -- E2:0V
"""


def test_loads_that_are_never_on_together_are_not_added() -> None:
    locked = STAGES.format(
        interlock="mechanical interlock K1 and K2",
        first="K2:21-22 -- K1:A1-A2",
        second="K1:21-22 -- K2:A1-A2",
    )
    free = STAGES.format(interlock="", first="K1:A1-A2", second="K2:A1-A2")
    assert [] == messages_of(locked, RULE)
    (found,) = findings_of(free, RULE)
    assert {"K1": "in", "K2": "in"}.items() <= dict(found.state).items()


def test_an_electrical_interlock_alone_is_enough_in_settled_operation() -> None:
    text = STAGES.format(interlock="", first="K2:21-22 -- K1:A1-A2", second="K1:21-22 -- K2:A1-A2")
    assert [] == messages_of(text, RULE)


PLAIN = """panel "Bench"
edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded
switch S1 normally open 1-2
lamp H1 {lamp}
circuit "Bench"{wires}
  E1:L --1-- S1 --2-- H1 --3-- E1:N
"""


@pytest.mark.parametrize(
    ("wires", "reason"),
    [
        (", 2 m", "no size, no metal and no insulation temperature said"),
        (", 14 AWG, MTW, 2 m", "no metal said"),
        (", 14 AWG copper, 2 m", "no insulation temperature said"),
        (", 50 AWG copper MTW", "no NEC ampacity table has 50 AWG copper"),
    ],
)
def test_what_a_wire_does_not_say_is_told_once(wires: str, reason: str) -> None:
    text = PLAIN.format(lamp="120 V AC 1 A", wires=wires)
    assert [f"`wire 1` and 2 more wires: {reason}"] == unchecked_of(text, RULE)


def test_a_load_that_does_not_say_its_current_is_told_once() -> None:
    text = PLAIN.format(lamp="120 V AC", wires=", 14 AWG copper MTW")
    assert ["H1 does not say what current it draws"] == unchecked_of(text, RULE)


def test_current_that_divides_between_parallel_wires_is_not_decided() -> None:
    text = """panel "Bench"
edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded
heater HTR1 1500 W 120 V AC
wire kind default: 14 AWG copper MTW 90 degC, 1 m
circuit "Bench"
  E1:L --1-- (10 AWG) HTR1:1-2 --2-- E1:N
  HTR1:2 --3-- E1:N
"""
    found = undecided_of(text, RULE)
    assert 1 == len(found)
    assert "its current divides" in found[0]


def test_a_wire_too_thin_for_any_table_outside_is_held_to_what_it_carries_inside() -> None:
    """22 AWG carries 3 A inside a panel (NFPA 79 12.5.1); no NEC table has it in the field."""
    text = PLAIN.format(lamp="120 V AC {} A", wires=", 22 AWG copper MTW, at bench")
    text = text.replace("switch S1", "location bench: outside, 30 degC\nswitch S1")
    (found,) = messages_of(text.format(4), RULE)
    assert "must be good for 4 A for `H1`, and may carry 3 A" in found
    (reason,) = unchecked_of(text.format(2), RULE)
    assert "no NEC ampacity outside a panel for 22 AWG copper" in reason


def test_every_limit_that_may_decide_a_size_has_words() -> None:
    limits = {
        ampacity.INSULATION,
        ampacity.TERMINALS,
        ampacity.PANEL_WIRE,
        ampacity.SMALL_FIELD_WIRE,
        ampacity.INSTALLATION_METHOD,
        protection.SMALL_CONDUCTOR,
        protection.NEXT_STANDARD_RATING,
        protection.AMPACITY,
    }
    assert limits == set(HELD_BY)
