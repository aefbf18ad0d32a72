"""The language's words come from its grammar, and every one of them can be said in a message."""

from __future__ import annotations

import pytest

from netcheck.reading.mistakes import OTHER_WORDS, SAID
from netcheck.reading.near import MOST_COMPARED, did_you_mean, nearest
from netcheck.reading.syntax import grammar_terminals
from netcheck.reading.unread import Unread
from netcheck.reading.words import kind_words, spoken, statement_words


def test_a_keyword_of_the_grammar_is_said_in_its_words() -> None:
    several = tuple(word for word in spoken("SETTING") if " " in word)
    assert ("drop limit", "leave out", "look for") == several
    assert ("even if any one wire opens", "even if any one contact welds") == spoken("EVEN_IF")
    assert () == spoken("NAME")


def test_whatever_may_be_expected_has_a_name_a_user_can_read() -> None:
    silent = [name for name in grammar_terminals() if name not in SAID and not spoken(name)]
    assert [name for name in silent if not name.startswith("__IGNORE")] == []


def test_other_words_of_the_trade_lead_to_words_of_the_language() -> None:
    known = {*kind_words(), *statement_words()}
    assert set() == set(OTHER_WORDS.values()) - known
    assert set() == set(OTHER_WORDS) & known


def test_no_word_begins_two_sorts_of_statement() -> None:
    words = [*statement_words(), *kind_words()]
    assert len(set(words)) == len(words)


@pytest.mark.parametrize(
    ("word", "near"), [("breakr", "breaker"), ("Fuse", "fuse"), ("xylophone", "")]
)
def test_a_near_word_is_found_and_a_far_one_is_not(word: str, near: str) -> None:
    assert near == nearest(word, kind_words())


def test_among_very_many_words_only_like_ones_are_compared() -> None:
    many = [f"K{number}" for number in range(10 * MOST_COMPARED)]
    assert nearest("K1O", many)
    assert "describe it" == did_you_mean("PUMP", many, "describe it")


@pytest.mark.parametrize(
    ("text", "sort", "name"),
    [
        ("breaker CB1 15A", "devices", "CB1"),
        ("Breaker CB1", "devices", "CB1"),
        ("limit  switch LS1 normaly open", "devices", "LS1"),
        ("wire kind field control: 18 AWGG", "wire_kinds", "field control"),
        ("wire 204 red", "wires", "204"),
        ("K1:A1 --205-- -- K2", "wires", "205"),
        ("location bed 4 outside", "places", "bed 4 outside"),
        ("cable W1: 4 cores", "cables", "W1"),
        ("assembly ZONE zone", "assemblies", "ZONE"),
        ("use ZONE Z1", "devices", "Z1"),
    ],
)
def test_a_statement_that_cannot_be_read_still_names_something(
    text: str, sort: str, name: str
) -> None:
    unread = Unread()
    unread.note(text)
    assert name in getattr(unread, sort)
