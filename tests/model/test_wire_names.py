"""A wire by its number, by its ends, by both: found, or refused with what could be meant."""

from __future__ import annotations

import pytest

from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from netcheck.model.wire_names import MOST_LISTED, wire_in_words
from tests.model.build import messages, panel_of

TEXT = """
strip X1 terminals 1 to 20
strip X2 terminals 1 to 20
X1:1 --7-- X2:1
X1:2 --204-- X2:2
X2:2 --204-- X2:3
X1:4 -- X2:4
"""


def meant(words: str) -> str:
    return wire_in_words(panel_of(TEXT).wires, words).full_label


def refused(panel: Panel, words: str) -> tuple[str, str]:
    with pytest.raises(NameMistake) as caught:
        wire_in_words(panel.wires, words)
    return caught.value.message, caught.value.help


@pytest.mark.parametrize(
    ("words", "wire"),
    [
        ("wire 7", "wire 7 X1:1 to X2:1"),
        ("wire 7 X2:1 to X1:1", "wire 7 X1:1 to X2:1"),
        ("wire 204 X2:3 to X2:2", "wire 204 X2:2 to X2:3"),
        ("wire X2:4 to X1:4", "wire X1:4 to X2:4"),
        (" wire  X1:1 to  X2:1 ", "wire 7 X1:1 to X2:1"),
    ],
)
def test_a_wire_is_found_by_its_number_its_ends_or_both(words: str, wire: str) -> None:
    assert wire == meant(words)


@pytest.mark.parametrize(
    ("words", "message", "help"),
    [
        ("wire 204", "2 wires bear the number 204",
         "say which: `wire 204 X1:2 to X2:2`, `wire 204 X2:2 to X2:3`"),
        ("wire 205", "there is no wire 205", "did you mean `204`?"),
        ("wire 204 X1:1 to X2:2", "wire 204 does not go from X1:1 to X2:2",
         "what bears the number: `wire 204 X1:2 to X2:2`, `wire 204 X2:2 to X2:3`"),
        ("wire X1:1 to X2:2", "there is no wire from X1:1 to X2:2", "no circuit line draws it"),
        ("wire", "`wire` names no wire", "write `wire 204`, or `wire 204 S1:12 to S2:13`"),
        ("S1 to S2", "`S1 to S2` names no wire",
         "write `wire 204`, or `wire 204 S1:12 to S2:13`"),
    ],
)  # fmt: skip
def test_words_that_do_not_mean_one_wire_are_refused(words: str, message: str, help: str) -> None:
    assert (message, help) == refused(panel_of(TEXT), words)


def test_of_very_many_wires_of_a_number_some_are_listed() -> None:
    lines = "".join(f"X1:{end} --9-- X2:{end}\n" for end in range(6, 20))
    _, help = refused(panel_of(TEXT + lines), "wire 9")
    assert MOST_LISTED == help.count("`wire 9 ")
    assert help.endswith("and 6 more")


def test_an_acceptance_of_a_number_that_several_wires_bear_names_its_ends() -> None:
    assert ["2 wires bear the number 204"] == messages(f'{TEXT}accept x on wire 204: "known"')
    (one,) = panel_of(f'{TEXT}accept x on wire 204 X2:3 to X2:2: "known"').acceptances
    assert ("204 X2:2 to X2:3",) == one.wires
    (two,) = panel_of(f'{TEXT}accept x on wire X2:4 to X1:4: "known"').acceptances
    assert ("X1:4 to X2:4",) == two.wires


def test_within_an_assembly_a_number_means_the_wire_of_that_use() -> None:
    text = """
assembly ROW "Row of lights"
  connections FEED RETURN
  lamp H 24 V DC 1 W
  FEED --1-- H --2-- RETURN
  accept x on wire 1: "known"
end
use ROW as R1
use ROW as R2
"""
    assert [("1 R1.FEED:1 to R1.H:X1",), ("1 R2.FEED:1 to R2.H:X1",)] == [
        one.wires for one in panel_of(text).acceptances
    ]
