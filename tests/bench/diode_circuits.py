"""Circuits with diodes that AC comes to, those that open something and those that do not."""

from __future__ import annotations

from netcheck.model.panel import Panel
from tests.bench.panels import panel_of

CONTROL = """\
panel "Valves of one bed"
source MAINS 120 V AC 60 Hz, two-wire, 5 kA available, neutral bonded here
breaker CB1 1-pole, 3 A, 120 V AC
breaker CB2 1-pole, 15 A, 120 V AC
supply PS1 120 V AC to 24 V DC, 2.5 A, limits at 3 A, isolated, 0V grounded
fuse FU1 1 A
resistor R1 480 ohm
resistor R2 12 ohm
diode D1 1 A
relay K1 coil 24 V DC 1 W with diode; normally open 13-14
relay K2 coil 24 V DC 1 W with diode; normally open 13-14
device U1 "Bridge" terminals 1 2 3 4; one-way 1-3 2-3 4-1 4-2
battery B1 {battery} V DC, ungrounded
circuit "Supplies"
  MAINS:L -- CB1:1-2 -- PS1:L-N -- MAINS:N
  MAINS:PE -- PS1:PE
  PS1:+ -- FU1
  MAINS:L -- CB2
circuit "Bed"
  {bed}
"""
OPENS = {
    "the line on the plus end of a coil": ("CB2:2 -- K1:A1-A2 -- PS1:0V", "CB2"),
    "the line on the minus end of a coil": ("FU1:2 -- K1:A1-A2 -- CB2:2", "FU1"),
    "the line on a coil whose plus is at ground": ("MAINS:N -- K1:A1-A2 -- CB2:2", "CB2"),
    "a coil turned round": ("FU1:2 -- K1:A2-A1 -- PS1:0V", "FU1"),
    "a diode from line to neutral": ("CB2:2 -- D1:A-K -- MAINS:N", "CB2"),
    "a bridge without a load": ("CB2:2 -- U1:1\n  U1:2 -- MAINS:N\n  U1:3 -- U1:4", "CB2"),
    "a bridge with its other side grounded": (
        "CB2:2 -- U1:1\n  U1:2 -- MAINS:N\n  U1:3 -- R1 -- U1:4 -- MAINS:N", "CB2"
    ),
    "two diodes one after the other": ("CB2:2 -- D1:A-K -- K1:A2-A1 -- MAINS:N", "CB2"),
    "a battery below the supply's minus": ("B1:+ -- PS1:0V\n  FU1:2 -- D1:A-K -- B1:-", "FU1"),
}  # fmt: skip
HOLDS = {
    "a coil as it should be": "FU1:2 -- K1:A1-A2 -- PS1:0V",
    "a diode before a load": "CB2:2 -- D1:A-K -- R1 -- MAINS:N",
    "a bridge": "CB2:2 -- U1:1\n  U1:2 -- MAINS:N\n  U1:3 -- R1 -- U1:4",
    "two coils that face each other": "CB2:2 -- K1:A2-A1 -- K2:A1-A2 -- MAINS:N",
    "two supplies on one load, a diode before one": (
        "B1:- -- PS1:0V\n  B1:+ -- D1:A-K -- FU1:2 -- R1 -- PS1:0V"
    ),
    "a coil whose other end is free": "CB2:2 -- K1:A2-A1 -- R1:1",
}


def bed(text: str, battery: int = 24) -> Panel:
    return panel_of(CONTROL.format(bed=text, battery=battery))
