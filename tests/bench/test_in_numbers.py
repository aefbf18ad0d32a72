"""Relays that follow the volts they get, against the machine that is worked out for each fault."""

from __future__ import annotations

import pytest

from netcheck.bench.candidates import joints, supplies
from netcheck.bench.in_numbers import stand_in_numbers
from netcheck.bench.sound import Sound
from netcheck.bench.standing import stand
from netcheck.bench.trial import Trial
from netcheck.bench.walks import walks_of
from netcheck.model.panel import Panel
from tests.bench.panels import BRANCHES, CONTROLLER, SAMPLES, VALVE, panel_of, sample


def compared(panel: Panel) -> tuple[list[str], int]:
    """Bad joints and low supplies with which the two stand apart, where no coil is in doubt."""
    sound = Sound(panel)
    loads = [p for p in panel.parts if p.load is not None and p.a != p.b and not p.spare]
    ways = [way for load in loads for way in walks_of(sound.standing().states, load).ways]
    apart, count = [], 0
    for candidate in {
        one.words: one for one in (*joints(panel, ways), *supplies(panel, ways))
    }.values():
        for broken in candidate.put_into(panel) if candidate.is_soft else ():
            trial = Trial(broken, rated=sound.rated)
            trial.powered()
            alone = trial.standing
            if not trial.stands or alone.doubtful:
                continue
            found = stand_in_numbers(sound, (), broken)
            assert found is not None
            together, _ = found
            count += 1
            relays = [name for name, one in panel.mechanisms.items() if one.moved_by_coil]
            if [alone.position(n) for n in relays] != [together.position(n) for n in relays]:
                apart.append(candidate.words)
    return apart, count


@pytest.mark.parametrize("text", [VALVE, BRANCHES, CONTROLLER])
@pytest.mark.parametrize("withs", [(), ("S2 pressed",)])
def test_a_small_panel_stands_the_same_either_way(text: str, withs: tuple[str, ...]) -> None:
    if withs and "S2" not in panel_of(text).devices:
        return
    apart, count = compared(panel_of(text, withs))
    assert [] == apart
    assert 3 <= count


@pytest.mark.parametrize("name", ["two_houses", "mist_bench"])
def test_a_sample_panel_stands_the_same_either_way(name: str) -> None:
    apart, count = compared(sample(SAMPLES / f"{name}.panel"))
    assert [] == apart
    assert 20 <= count


def test_a_coil_stays_in_on_volts_that_would_not_pull_it_in() -> None:
    """Between drop-out and pull-in a relay stays as it is: fact of the trade."""
    panel = panel_of(VALVE, ("S2 pressed",))
    (candidate,) = [one for one in supplies(panel, walks_of(stand(panel).states, next(
        p for p in panel.parts if p.load is not None and p.device == "K1")).ways)
        if one.is_soft]  # fmt: skip
    found = stand_in_numbers(Sound(panel), (), candidate.put_into(panel)[0])
    assert found is not None
    assert "out" == found[0].position("K1")  # from rest it never pulled in on 12 V
