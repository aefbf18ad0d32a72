"""Symptoms in the words that people use, and what is answered to those that no volts tell."""

from __future__ import annotations

import pytest

from netcheck.bench.observations import Dim, LetGo, Looked, Read, Symptom, Trips, observation
from netcheck.bench.once_started import once_started
from netcheck.bench.said_otherwise import plainly
from netcheck.bench.sound import Sound
from netcheck.model.names import NameMistake
from tests.bench.panels import panel_of

FAN = """\
panel "Fan"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
breaker CB1 1-pole 3 A
button S1 "Stop" normally closed 11-12
button S2 "Start" normally open 13-14
overload OL1 set 1 A; trip contact normally closed 95-96
relay K1 coil 24 V DC 1 W; normally open 13-14 23-24
motor M1 24 V DC 1 A
circuit "Fan"
  E1:+ --1-- CB1 --2-- S1 --3-- S2 --4-- OL1:95-96 --5-- K1:A1-A2 --0-- E1:0V
  S1:12 --3-- K1:13-14 --4-- S2:14
  CB1:2 --2-- K1:23-24 --6-- OL1:1-2 --7-- M1 --0-- E1:0V
"""


@pytest.mark.parametrize(
    ("line", "plain"),
    [
        ("M1 is not running with S2 pressed", "M1 does not run with S2 pressed"),
        ("M1 not running with S2 pressed", "M1 does not run with S2 pressed"),
        ("M1 isn't running when S2 is pressed", "M1 does not run when S2 is pressed"),
        ("M1 doesnt run with S2 pressed", "M1 does not run with S2 pressed"),
        ("M1 is running", "M1 runs"),
        ("M1 has no power with S2 pressed", "M1 is off with S2 pressed"),
        ("M1 stopped", "M1 is off"),
        ("M1 is humming with S2 pressed", "M1 hums with S2 pressed"),
        ("K1 is not pulling in with S2 pressed", "K1 does not pull in with S2 pressed"),
        ("K1 is pulling in", "K1 pulls in"),
        ("K1 is energised", "K1 is on"),
        ("K1 is not energized with S2 pressed", "K1 is off with S2 pressed"),
        ("K1 is de-energised", "K1 is off"),
        ("K1 drops when S2 is released", "K1 drops out when S2 is released"),
        ("CB1 keeps tripping", "CB1 trips"),
        ("CB1 keeps tripping when K1 pulls in", "CB1 trips when K1 pulls in"),
        ("CB1 won't reset", "CB1 trips"),
    ],
)
def test_a_symptom_is_read_in_the_words_that_people_use(line: str, plain: str) -> None:
    panel = panel_of(FAN)
    said, meant = observation(panel, line), observation(panel, plain)
    assert type(said) is type(meant)
    for field in ("device", "on", "withs", "when", "button", "at", "look"):
        assert getattr(said, field, None) == getattr(meant, field, None)
    assert isinstance(said, Symptom | Dim | Trips | LetGo | Looked | Read)


def test_what_keeps_running_was_started_first() -> None:
    sound = Sound(panel_of(FAN))
    for line in ("M1 keeps running with S1 pressed", "M1 won't stop with S1 pressed"):
        one = observation(sound.panel, line)
        assert isinstance(one, Symptom)
        assert ("S1 pressed", "S2 pressed") == once_started(sound, one).withs


@pytest.mark.parametrize(
    ("line", "help"),
    [
        ("OL1 trips", "clamp each line; where it was found so, say `OL1 tripped` after `with`"),
        ("OL1 keeps tripping", "an overload trips on too much current for long"),
        ("M1 gets hot", "clamp the amperes of each of its conductors"),
        ("M1 runs backwards", "the text does not say which way it turns"),
        ("M1 smokes", "open and lock out what feeds it first"),
        ("M1 starts and stops", "what comes and goes is found while it is there"),
        ("CB1 trips after a while", "it opens on an overload or on heat"),
        ("M1 trips CB1", "say `CB1 trips`, and what it waits for: `when K2 pulls in`"),
        ("CB1 tripped", "write `CB1 trips` or `CB1 trips when K2 pulls in`"),
    ],
)
def test_what_no_volts_tell_is_answered_with_what_to_do(line: str, help: str) -> None:
    with pytest.raises(NameMistake) as refused:
        observation(panel_of(FAN), line)
    assert help in refused.value.help


def test_an_overload_that_was_found_tripped_is_said_as_it_is_told() -> None:
    said = observation(panel_of(FAN), "M1 does not run with OL1 tripped and S2 pressed")
    assert isinstance(said, Symptom)


def test_what_is_not_known_is_left_as_it_is() -> None:
    assert "sings" == plainly("sings")
