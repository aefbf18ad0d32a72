"""What opens on a short as power comes on: a breaker or fuse, never a switch without fuses in it.

A disconnecting means is a device to take conductors off their source, an overcurrent device
opens them by itself: NEC Article 100, definitions (from memory)."""

from __future__ import annotations

import pytest

from netcheck.bench.trial import Trial
from tests.bench.panels import panel_of

HEATER = """\
panel "Heater behind its main switch"
source MAINS 120 V AC single-phase, 60 Hz, 10 kA available
{main}
{behind}
heater HTR1 120 V AC 300 W
circuit "Heater"
  MAINS:L --1-- QS1 --2-- {name}:1-2 --3-- HTR1 --4-- MAINS:N
  {short}
"""
PLAIN = "disconnect QS1 1-pole, 30 A, 240 V AC"
FUSED = "disconnect QS1 1-pole, 30 A, fused 20 A, 240 V AC"
FUSE = "fuse FU1 3 A, 300 V AC"
SWITCH = "disconnect FU1 1-pole, 30 A, 240 V AC"


@pytest.mark.parametrize(
    ("main", "behind", "short", "said"),
    [
        (PLAIN, FUSE, "HTR1:1 --9-- HTR1:2", ["FU1 opens: a short"]),
        (FUSED, SWITCH, "HTR1:1 --9-- HTR1:2", ["QS1 opens: a short"]),
        (FUSED, FUSE, "FU1:1 --9-- MAINS:N", ["QS1 opens: a short"]),
        (PLAIN, FUSE, "FU1:1 --9-- MAINS:N",
         ["MAINS is shorted and nothing opens: it gives nothing"]),
        (PLAIN, FUSE, "MAINS:L --9-- MAINS:N",
         ["MAINS is shorted and nothing opens: it gives nothing"]),
        (PLAIN, FUSE, "", []),
    ],
)  # fmt: skip
def test_on_a_short_opens_what_is_made_to_or_its_source_gives_nothing(
    main: str, behind: str, short: str, said: list[str]
) -> None:
    text = HEATER.format(main=main, behind=behind, short=short, name="FU1")
    trial = Trial(panel_of(text))
    assert said == trial.powered()
    assert trial.stands
    heater = next(part for part in trial.panel.parts if part.device == "HTR1")
    assert trial.is_on(heater) is not bool(said)
