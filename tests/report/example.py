"""A review made by hand, for tests of how it is told."""

from __future__ import annotations

from netcheck.finding import (
    Accepted,
    Family,
    Finding,
    Mistake,
    NotChecked,
    NotDecided,
    PathStep,
    Place,
    Reference,
    ReferenceKind,
    Review,
    Severity,
    Working,
)
from netcheck.text import Source, Span

PANEL = Source(
    "bay3.panel",
    """\
# Vent motors and the pump of bay 3
supply  PS1   120 V AC to 24 V DC, 5 A
heater  HTR1  "Nutrient tank"  3840 W 240 V AC

circuit "Pump start"
  PS1:+ --201-- S2:13-14 --205-- D1:K-A --200-- PS1:0V
circuit "Tank heater"
  CB3:1 --31-- HTR1 --32-- CB3:2
relai K1
""",
)

SOURCES = {PANEL.path: PANEL}


def place(words: str, label: str = "") -> Place:
    """The first place in the panel's text where `words` stand."""
    for number, line in enumerate(PANEL.lines, 1):
        if (found := line.find(words)) >= 0:
            span = Span(PANEL.path, number, found + 1, found + 1 + len(words))
            return Place(span, label)
    raise AssertionError(words)


SHORT = Finding(
    "`PS1:+` meets `PS1:0V` with no load when `S2` is pressed",
    place("D1:K-A", "the diode the wrong way round"),
    devices=("PS1", "S2", "D1"),
    wires=("201", "205", "200"),
    condition="S2 pressed",
    related=(place("PS1", "this supply is short-circuited"),),
    live="24 V DC from `PS1:+` to `D1:K`; 120 V AC at `PS1:L`",
    state={"S2": "pressed"},
    steps=("power on", "press S2"),
    path=(
        PathStep("PS1:+", "wire 201"),
        PathStep("S2:13", "S2"),
        PathStep("S2:14", "wire 205"),
        PathStep("D1:K", "D1 against its arrow", here=True),
        PathStep("D1:A", "wire 200"),
        PathStep("PS1:0V"),
    ),
    working=(Working("current of the short", 6.5, "A", "PS1, current limit"),),
    assumed=("PS1 limits at 130 % of its rated current",),
    help="turn D1 round, or take it out",
    rule="missing load",
    family=Family.MISSING_LOAD,
    severity=Severity.DANGER,
    reference=Reference("a source joined to itself", ReferenceKind.COMMON_PRACTICE),
)

TOO_SMALL = Finding(
    "wire `31` may carry 15 A but carries 20 A",
    place("--31--"),
    devices=("HTR1",),
    wires=("31",),
    working=(
        Working("HTR1, 3840 W at 240 V, continuous, x 125 %", 20.0, "A", "NEC 210.19"),
        Working("14 AWG copper may carry", 15.0, "A", "NEC 240.4(D)(3)", confirmed=False),
    ),
    assumed=("terminals 60 degC (not marked)",),
    help="12 AWG throughout, and CB3 20 A",
    rule="conductor too small",
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.DEFECT,
    reference=Reference("NEC 2023 240.4(D)", ReferenceKind.STANDARD),
)

MISTAKE = Mistake("`relai` is no kind of device", place("relai"), help="did you mean `relay`?")

REVIEW = Review(
    findings=(SHORT, TOO_SMALL),
    not_checked=(
        NotChecked("no length given", place("--201--"), ("PS1",), "voltage drop"),
        NotChecked("no length given", place("--32--"), ("HTR1",), "voltage drop"),
        NotChecked("no interrupting rating given", place("CB3"), ("CB3",), "rating too small"),
    ),
    not_decided=(
        NotDecided(
            "the proof did not finish in 10 s",
            place("S2"),
            ("S2",),
            (PathStep("S2:13"),),
            "sneak path",
        ),
    ),
    accepted=(Accepted(TOO_SMALL, "the heater is set to half power", "2027-03-01"),),
    assumed=("practice NEC 2023", "ambient 40 degC in panels"),
    panels=(PANEL.path,),
    checks=31,
)
