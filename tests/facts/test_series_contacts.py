"""Which contacts stand in series, and which of those never close at once.

Source: circuit theory; no published list was at hand.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.series_contacts import SeriesContacts
from tests.facts.panels import panel_of

HEAD = """panel "Bench"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
relay K1 coil 24 V DC 1 W with diode; normally open 13-14; normally closed 21-22 31-32
button S1 normally open 13-14
lamp H1 24 V DC 2 W
circuit "Bench"
  E1:+ -- S1 -- K1:A1-A2 -- E1:0V
"""


def excluded_in(text: str) -> list[list[str]]:
    series = Case(panel_of(HEAD + text)).conclude(SeriesContacts).never_closed
    return [[part.label for part in one.excluded] for one in series]


def test_two_contacts_of_one_relay_in_a_branch_exclude_each_other() -> None:
    text = "  E1:+ -- K1:13-14 -- K1:21-22 -- H1 -- E1:0V\n"
    assert [["K1 13-14", "K1 21-22"]] == excluded_in(text)


@pytest.mark.parametrize(
    "ring",
    [
        "  K1:14 --5-- K1:21-22 --6-- K1:13\n",
        "  K1:14 --5-- K1:21-22 --6-- K1:31-32 --7-- K1:13\n",
    ],
)
def test_contacts_in_a_ring_that_nothing_leads_to_are_in_series_with_nothing(ring: str) -> None:
    assert [] == excluded_in("  E1:+ -- H1 -- E1:0V\n" + ring)
