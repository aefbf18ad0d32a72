"""Ratings that a text leaves out, or gives as nothing at all, are no reason to break.

Source: common practice; what is not said is not checked, and nothing is rated for 0 A.
"""

from __future__ import annotations

from netcheck.review import judge
from netcheck.review import review as review_texts
from tests.annotated import Texts
from tests.facts.panels import panel_of

TEXT = """panel "Bench"
source MAINS 120 V AC 60 Hz, 5 kA available, neutral bonded here
supply PS1 120 V AC to 24 V DC, {gives}isolated, 0V grounded
button S1 normally open 13-14, {rated} at 24 V DC
lamp H1 24 V DC 20 mA
circuit "Bench"
  MAINS:L -- PS1:L-N -- MAINS:N
  PS1:+ -- S1 -- H1 -- PS1:0V
"""


def test_a_supply_that_does_not_say_what_it_gives_is_not_checked() -> None:
    review = judge(panel_of(TEXT.format(gives="", rated="2 A")))
    assert () == review.failures
    reasons = [one.reason for one in review.not_checked if one.rule == "supply overloaded"]
    assert ["PS1 does not say what current or VA it is made for"] == reasons


def test_a_contact_rated_for_no_current_is_refused_where_it_says_so() -> None:
    text = TEXT.format(gives="2 A, ", rated="0 A")
    found, _ = review_texts(["bench.panel"], Texts({"bench.panel": text}))
    assert () == found.failures
    assert [("`0 A` is no current", 4)] == [
        (one.message, one.place.span.line) for one in found.mistakes
    ]
