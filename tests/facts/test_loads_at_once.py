"""The heaviest state among those seen, against adding up each state by itself."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.seen_states import SeenStates
from netcheck.states.answers import Never, Reached
from tests.facts.panels import panel_of

TWO_STAGES = """panel "Tank"
edge E1 240 V AC 60 Hz, fused 60 A, 5 kA available, ungrounded
edge E2 24 V DC, fused 3 A, 100 A available, 0V grounded
contactor K1 coil 24 V DC 3 W; 1 main poles; auxiliary normally closed 21-22
contactor K2 coil 24 V DC 3 W; 1 main poles; auxiliary normally closed 21-22
contactor K3 coil 24 V DC 3 W; 1 main poles
switch S1 normally open 1-2
switch S2 normally open 1-2
switch S3 normally open 1-2
heater HTR1 3 kW 240 V AC
heater HTR2 3 kW 240 V AC
heater HTR3 3 kW 240 V AC
mechanical interlock K1 and K2
circuit "Tank"
  E1:L1 -- K1:1-2 -- HTR1:1-2 -- E1:L2
  E1:L1 -- K2:1-2 -- HTR2:1-2 -- E1:L2
  E1:L1 -- K3:1-2 -- HTR3:1-2 -- E1:L2
  E2:+ -- S1 -- K2:21-22 -- K1:A1-A2 -- E2:0V
  E2:+ -- S2 -- K1:21-22 -- K2:A1-A2 -- E2:0V
  E2:+ -- S3 -- K3:A1-A2 -- E2:0V
"""


def numbers_of(case: Case, *devices: str) -> list[int]:
    loads = case.conclude(CurrentPaths).loads
    return [number for number, load in enumerate(loads) if load.device in devices]


def test_loads_locked_out_against_each_other_are_never_on_at_once() -> None:
    case = Case(panel_of(TWO_STAGES))
    at_once = case.conclude(LoadsAtOnce)
    assert isinstance(at_once.together(numbers_of(case, "HTR1", "HTR2")), Never)
    assert isinstance(at_once.together(numbers_of(case, "HTR1", "HTR3")), Reached)


@given(st.lists(st.floats(0.001, 100), min_size=6, max_size=6))
def test_the_heaviest_state_seen_is_the_heaviest_of_all_that_were_seen(
    weights: list[float],
) -> None:
    case = Case(panel_of(TWO_STAGES))
    loads = case.conclude(CurrentPaths).loads
    weight = dict(zip(range(len(loads)), weights, strict=True))
    seen = case.conclude(SeenStates)
    on = {}
    for number, load in enumerate(loads):
        (part,) = load.parts
        feeds = [feed.condition for feed in seen.behaviour.feeds(part)]
        on[number] = seen.samples.seen(seen.behaviour.logic.any_of(feeds))
    sums = []
    for state in range(max(bits.bit_length() for bits in on.values())):
        here = [int(weight[number] * 1000) for number, bits in on.items() if bits >> state & 1]
        sums.append(sum(here))
    chosen = case.conclude(LoadsAtOnce).seen_together(weight)
    assert max(sums) == sum(int(weight[number] * 1000) for number in chosen)


def test_nothing_is_on_in_any_state_where_nothing_is_fed() -> None:
    devices = "lamp H1 24 V DC 1 A\nbutton S1 normally open 1-2"
    case = Case(panel_of(f'panel "Bench"\n{devices}\ncircuit "Bench"\n  S1 -- H1:X1\n'))
    assert () == case.conclude(LoadsAtOnce).seen_together({0: 1.0})
