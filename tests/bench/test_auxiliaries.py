"""Auxiliary contacts of breakers stand as their poles do: fact of the trade, from memory.

A contact block that is mounted on a breaker is moved by its operating mechanism, whether a hand
or a trip moves that.
"""

from __future__ import annotations

import pytest

from netcheck.bench.auxiliaries import following
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.observations import observation
from netcheck.bench.standing import Standing, stand
from netcheck.bench.tracing import Traced, Tracer
from netcheck.bench.trial import Trial
from netcheck.model.names import NameMistake
from netcheck.model.panel import Claim, Is, Panel
from netcheck.model.supposed import suppose
from tests.bench.panels import SAMPLES, greenhouse, load_of, panel_of, sample

BOILER = SAMPLES / "boiler_pumps.panel"

ALARM = """\
panel "Two valves, each on a breaker"
edge E1 24 V DC, fused 10 A, 100 A available, 0V grounded, from "greenhouse panel"
breaker CB1 1-pole 2 A; auxiliary normally open 13-14; auxiliary normally closed 21-22
breaker CB2 1-pole 2 A; auxiliary normally closed 21-22
valve Y1 24 V DC 8 W
valve Y2 24 V DC 8 W
lamp H1 "A breaker is open" 24 V DC 1 W
lamp H2 "Mist is ready" 24 V DC 1 W
circuit "Valves"
  E1:+ --1-- CB1:1-2 --2-- Y1 --9-- E1:0V
  CB1:1 --1-- CB2:1-2 --3-- Y2 --9-- Y1:2
  CB1:1 --1-- CB1:21-22 --4-- H1 --9-- Y1:2
  CB1:21 --1-- CB2:21-22 --4-- H1:X1
  CB1:21 --1-- CB1:13-14 --5-- H2 --9-- Y1:2
assume CB1:auxiliary is operated whenever CB2:auxiliary is at rest
"""


def bench(text: str = ALARM, *withs: str, fault: str = "") -> Panel:
    return suppose(following(panel_of(text)), withs, (fault,) if fault else ()).panel


def is_on(standing: Standing, device: str) -> bool:
    return standing.is_energised(load_of(standing.panel, device))


def told(panel: Panel, *lines: str) -> Diagnosis:
    return diagnose(panel, [observation(panel, line) for line in lines])


def faults(found: Diagnosis) -> set[str]:
    return {suspect.fault for suspect in found.suspects}


@pytest.mark.parametrize(
    ("withs", "fault", "alarm", "ready"),
    [
        ((), "", False, True),
        (("CB1 open",), "", True, False),
        (("CB2 open",), "", True, True),
        ((), "CB1 tripped", True, False),
        ((), "CB2 tripped", True, True),
        ((), "CB1:1-2 open", False, True),
        ((), "CB1:13-14 open", False, False),
        ((), "CB1:21-22 welded", True, True),
    ],
)
def test_they_stand_as_the_poles_do(
    withs: tuple[str, ...], fault: str, *, alarm: bool, ready: bool
) -> None:
    standing = stand(bench(ALARM, *withs, fault=fault))
    assert (alarm, ready) == (is_on(standing, "H1"), is_on(standing, "H2"))


def test_a_hand_and_a_short_move_them_too() -> None:
    trial = Trial(bench())
    trial.powered()
    alarm = load_of(trial.panel, "H1")
    assert not trial.is_on(alarm)
    trial.put("CB1", 0)
    assert trial.is_on(alarm)
    trial.put("CB1", 1)
    assert not trial.is_on(alarm)
    shorted = Trial(bench(ALARM, fault="wire 3 grounded"))
    assert ["CB2 opens: a short"] == shorted.powered()
    assert shorted.is_on(load_of(shorted.panel, "H1"))


def test_what_the_text_says_of_them_is_said_of_the_breaker() -> None:
    panel = bench()
    assert "CB1 auxiliary" not in panel.mechanisms
    assert ("CB1",) == panel.devices["CB1"].mechanisms
    (assumption,) = panel.assumptions
    assert isinstance(assumption.claim, Claim)
    assert assumption.claim.condition == Is("CB1", frozenset((1,)), "", "CB1:auxiliary is operated")
    assert isinstance(assumption.claim.given, Is)
    assert ("CB2", frozenset((0,))) == (
        assumption.claim.given.mechanism,
        assumption.claim.given.positions,
    )


def test_a_panel_without_them_stays_the_very_same() -> None:
    panel = greenhouse()
    assert following(panel) is panel


def test_a_pump_whose_protector_is_closed_and_that_does_not_run_needs_a_fault() -> None:
    """`QM1:13-14` was taken for open with `QM1` closed, and a dead pump for a sound one."""
    panel = following(sample(BOILER))
    found = told(panel, "M1 is off with TS1 operated")
    assert not found.sound_fits
    assert {"QM1 tripped", "QM1:13-14 open", "F2 blown", "wire 104 open"} <= faults(found)
    assert told(panel, "M1 is on with TS1 operated").sound_fits


def test_an_alarm_that_is_lit_accuses_each_breaker_its_contact_and_what_trips_it() -> None:
    panel = following(sample(BOILER))
    assert told(panel, "H3 is off").sound_fits
    found = told(panel, "H3 is lit")
    assert {"QM1 tripped", "QM2 tripped", "QM1:21-22 welded", "QM2:21-22 welded"} == faults(found)
    assert "wire 11 grounded" in {suspect.fault for suspect in found.also}
    one = told(panel, "H3 is lit", "M2 is on with S1 in PUMP2 and TS1 operated")
    assert "QM1 tripped" in faults(one)
    assert "QM2 tripped" not in faults(one)


def trace(panel: Panel, device: str) -> Traced:
    return Tracer(panel).of(load_of(panel, device))


def test_an_alarm_says_what_must_have_opened() -> None:
    found = trace(following(sample(BOILER)), "H3")
    assert "OPEN: H3 is off, as meant now: QM1 21-22 (QM1 is closed)" == found.verdict
    assert ("QM1", "QM2") == found.energising.tells_of
    assert "only once QM1 or QM2 has opened: it tells of that" == found.energising.why_not
    assert () == trace(bench(), "H2").energising.tells_of


def test_they_cannot_be_put_anywhere_by_themselves() -> None:
    with pytest.raises(NameMistake, match="contacts of CB1 stand as its poles do") as caught:
        bench(ALARM, "CB1:auxiliary operated")
    assert "put those: `CB1 open`" == caught.value.help


BEHIND_DIODES = """\
panel "A valve on two batteries"
battery BT1 24 V DC, ungrounded
battery BT2 24 V DC, ungrounded
diode D1
diode D2
breaker CB1 1-pole 2 A; auxiliary normally closed 21-22
valve Y1 24 V DC 8 W with diode
lamp H1 "The breaker is open" 24 V DC 1 W
circuit "Valve"
  BT1:+ --1-- D1:A-K --3-- CB1:1-2 --4-- Y1 --9-- BT1:-
  BT2:+ --2-- D2:A-K --3-- D1:K
  BT2:- --9-- BT1:-
  CB1:1 --3-- CB1:21-22 --5-- H1 --9-- BT1:-
"""


def test_an_alarm_that_is_fed_through_a_diode_is_no_load_that_nothing_feeds() -> None:
    panel = bench(BEHIND_DIODES)
    found = trace(panel, "H1")
    assert "OPEN: H1 is off, as meant now: CB1 21-22 (CB1 is closed)" == found.verdict
    assert ("CB1",) == found.energising.tells_of
    assert {"CB1 tripped", "CB1:21-22 welded"} == faults(told(panel, "H1 is lit"))
