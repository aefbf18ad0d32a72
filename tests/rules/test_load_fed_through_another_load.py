"""Loads left in series by a switch: volts by the voltage divider, worked out by hand."""

import pytest

from tests.rules.told import findings_of, undecided_of

RULE = "load fed through another load"


def shades(first: str, second: str, lamp: str, extra: str = "") -> str:
    """Two coils whose common return a limit switch opens, and a lamp with its own return."""
    return f"""panel "Shades"
wire kind default: 18 AWG copper MTW 90 degC, 0.001 m
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse"
switch S1 normally open 1-2
switch S2 normally open 1-2
limit switch LS1 normally closed 11-12
relay K1 coil 24 V DC {first}
relay K2 coil 24 V DC {second}
lamp H2 24 V DC {lamp}
circuit "Shades"
  E1:+ --1-- S1 --2-- K1:A1-A2 --3-- LS1 --9-- E1:0V
  S1:1 --1-- S2 --4-- K2:A1-A2 --3-- K1:A2
  K2:A1 --4-- H2 --9-- LS1:12
{extra}"""


@pytest.mark.parametrize(
    ("first", "second", "lamp", "first_v"),
    [
        ("576 ohm", "576 ohm", "576 ohm", 8.0),
        ("288 ohm", "576 ohm", "288 ohm", 6.0),
        ("1 W", "1 W", "5 W", 24 * 576 / (576 + 576 + 115.2)),
    ],
)
def test_three_loads_in_series_share_the_voltage_as_their_ohms(
    first: str, second: str, lamp: str, first_v: float
) -> None:
    (found,) = findings_of(shades(first, second, lamp), RULE)
    volts = {step.what: step.value for step in found.working}
    assert pytest.approx(first_v, abs=0.01) == volts["K1 A1-A2 gets"]
    assert pytest.approx(24.0, abs=0.02) == sum(map(float, volts.values()))


def test_a_coil_that_gets_less_than_it_lets_go_at_is_not_told() -> None:
    assert [] != findings_of(shades("576 ohm", "576 ohm", "576 ohm"), RULE)
    lets_go = "576 ohm drops out at 9 V"
    told = findings_of(shades(lets_go, lets_go, "60 ohm"), RULE)
    assert [] != told  # 11.4 V each
    assert [] == findings_of(
        shades(lets_go.replace("9", "12"), lets_go.replace("9", "12"), "60 ohm"), RULE
    )


def test_an_led_that_would_be_passed_backwards_carries_nothing() -> None:
    backwards = shades("1 W", "1 W", "20 mA LED").replace(
        "K2:A1 --4-- H2 --9-- LS1:12", "LS1:12 --9-- H2 --4-- K2:A1"
    )
    assert [] == findings_of(backwards, RULE)


def test_where_a_load_says_no_current_it_is_not_decided() -> None:
    (reason,) = undecided_of(shades("1 W", "", "5 W"), RULE)
    assert "`K2` does not say what current it draws" in reason
