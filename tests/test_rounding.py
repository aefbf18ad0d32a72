"""Limits at their edge: met exactly they hold, beyond by anything that can be written they do not.

Sums of decimal fractions in binary (0.1 + 0.2 > 0.3) are arithmetic of IEEE 754.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.rounding import exceeds
from tests.rules.told import messages_of


def contact(*loads_ma: int, rated_ma: int) -> str:
    lamps = "".join(f"lamp H{n} 24 V DC {ma} mA\n" for n, ma in enumerate(loads_ma))
    chains = "".join(f"  S1:2 -- H{n} -- E1:0V\n" for n in range(len(loads_ma)))
    return f"""panel "Edge"
edge E1 24 V DC, fused 5 A, 100 A available, 0V grounded
switch S1 normally open 1-2 60 V DC {rated_ma} mA
{lamps}wire kind default: 14 AWG copper MTW 90 degC, 1 m
circuit "Edge"
  E1:+ -- S1:1
{chains}"""


RULE = "contact beyond its rated current"


def test_a_sum_that_only_binary_makes_larger_than_its_limit_holds() -> None:
    assert 0.1 + 0.2 > 0.3
    assert not exceeds(0.1 + 0.2, 0.3)
    assert [] == messages_of(contact(100, 200, rated_ma=300), RULE)


def test_one_milliampere_beyond_does_not_hold_and_is_not_printed_as_equal() -> None:
    (found,) = messages_of(contact(1000, 2000, 1, rated_ma=3000), RULE)
    assert "carries 3.001 A" in found
    assert "rated for 3 A" in found


@given(st.lists(st.integers(1, 900), min_size=1, max_size=8))
def test_any_sum_of_milliamperes_is_within_itself_and_beyond_one_less(amounts: list[int]) -> None:
    total_a = sum(ma / 1000 for ma in amounts)
    assert not exceeds(total_a, sum(amounts) / 1000)
    assert exceeds(total_a, (sum(amounts) - 1) / 1000)


SUPPLY = """panel "Edge"
edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded
supply PS1 120 V AC to 24 V DC, {rated} A, draws 2 A, isolated, 0V grounded
{lamps}wire kind default: 14 AWG copper MTW 90 degC, 1 m
circuit "Edge"
  E1:L -- PS1:L-N -- E1:N
{chains}"""


@pytest.mark.parametrize(("rated", "count"), [("0.6", 0), ("0.599", 1)])
def test_thirty_lamps_of_20_ma_are_just_within_600_ma(rated: str, count: int) -> None:
    """More than are proved to be on together; they are seen on in a state."""
    lamps = "".join(f"lamp H{n} 24 V DC 20 mA\n" for n in range(30))
    chains = "".join(f"  PS1:+ -- H{n} -- PS1:0V\n" for n in range(30))
    text = SUPPLY.format(rated=rated, lamps=lamps, chains=chains)
    assert count == len(messages_of(text, "supply overloaded"))
