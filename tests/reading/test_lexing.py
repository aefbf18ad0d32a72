"""How words are told apart: keywords, names, marks, wires, numbers with their units."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.reading import statements as say
from netcheck.reading.quantities import read_quantity
from netcheck.reading.syntax import read_statements
from netcheck.reading.units import UNIT_TABLE
from netcheck.text import Source


def statement(text: str) -> say.Statement:
    reading = read_statements(Source("x.panel", text))
    assert [] == [mistake.message for mistake in reading.mistakes]
    (one,) = reading.statements
    return one


def mistake(text: str) -> str:
    (one,) = read_statements(Source("x.panel", text)).mistakes
    return f"{one.message} | {one.help}"


def pieces(text: str) -> list[tuple[str, str]]:
    """Type and text of each word of a device's properties."""
    found = statement(f"device X9 {text}")
    assert isinstance(found, say.Device)
    return [(token.type, str(token)) for facet in found.facets for item in facet for token in item]


def stops(text: str) -> list[str]:
    found = statement(text)
    assert isinstance(found, say.Chain)
    return [str(token) for token in found.stops]


@pytest.mark.parametrize("word", ["panel", "relay", "wire", "include", "end", "use", "ambient"])
def test_a_keyword_ends_where_its_word_ends(word: str) -> None:
    assert "begins no statement" in mistake(f"{word}x K1")
    assert "begins no statement" in mistake(f"{word}-x K1")


def test_blanks_inside_a_keyword_of_several_words_count_once() -> None:
    found = statement("limit \t switch LS1 normally open 13-14")
    assert isinstance(found, say.Device)
    assert "limit switch" == found.kind


def test_a_word_of_the_language_is_an_ordinary_word_among_properties() -> None:
    """`terminal`, `end` or `on` begin statements, and stand in a location's name as well."""
    assert [("WORD", "at"), ("WORD", "relay"), ("WORD", "end")] == pieces("at relay end")


def test_nought_volts_glued_is_a_mark_and_with_a_blank_a_quantity() -> None:
    assert [("NAME", "0V"), ("WORD", "grounded")] == pieces("0V grounded")
    assert [("QUANTITY", "0 V")] == pieces("0 V")


def test_a_number_and_a_unit_are_one_word_only_if_the_unit_ends_there() -> None:
    assert [("QUANTITY", "3 in"), ("WORD", "long")] == pieces("3 in long")
    assert [("NUMBER", "3"), ("WORD", "inside")] == pieces("3 inside")
    assert [("MARKS", "3-4"), ("WORD", "in"), ("NUMBER", "1")] == pieces("3-4 in 1")
    assert [("NUMBER", "5"), ("WORD", "m/s")] == pieces("5 m/s")


@pytest.mark.parametrize(
    "text",
    ["-20 degC", "1/2 in", "1 1/2 hp", "4.16Y/2.4 kV", "208Y/120 V", "4/0 AWG", "5 %", "9 lb-in",
     "2.5 mm2", "250 kcmil", "1/2 A", "0.5 N m"],
)  # fmt: skip
def test_what_the_reader_takes_for_a_quantity_the_grammar_takes_for_one_word(text: str) -> None:
    read_quantity(text)
    assert [("QUANTITY", text)] == pieces(text)


@given(
    number=st.sampled_from(["7", "0.5", "1/2", "1 1/2", "-3", "12.25"]),
    unit=st.sampled_from(sorted(UNIT_TABLE)),
)
def test_every_unit_is_read_as_one_word_with_its_number(number: str, unit: str) -> None:
    assert [("QUANTITY", f"{number} {unit}")] == pieces(f"{number} {unit}")


def test_two_hyphens_in_a_description_are_no_wire() -> None:
    assert [("STRING", '"a --201-- b"')] == pieces('"a --201-- b"')


def test_a_wire_has_blanks_around_it_and_none_inside() -> None:
    assert ["PS1:+", "FU1", "K1:A1-A2", "PS1:-"] == stops(
        "PS1:+ --1-- FU1 -- K1:A1-A2 --W1.3-- PS1:-"
    )
    assert ["A", "B"] == stops("A --201-A-- B")
    assert ["A", "201", "B"] == stops("A -- 201 -- B"), "three things, not a wire of that number"
    assert "runs wires and terminals together" in mistake("A--1--B --2-- C")


def test_a_terminal_and_a_way_through_are_one_word_each() -> None:
    assert ["K1:A1", "Z1.K1:13-14", "A.Z1.K1", "X1:1/2"] == stops(
        "K1:A1 -- Z1.K1:13-14 -- A.Z1.K1 -- X1:1/2"
    )


def test_a_name_may_begin_with_a_figure() -> None:
    assert ["1CR", "1CR:13-14"] == stops("1CR -- 1CR:13-14")


def test_letters_of_any_language_make_names_and_words() -> None:
    assert ["ÄK1:A1", "Ω1"] == stops("ÄK1:A1 -- Ω1")
    assert [("WORD", "at"), ("WORD", "überdachtes"), ("WORD", "beet")] == pieces(
        "at überdachtes beet"
    )


@pytest.mark.parametrize("figure", ["٣", "３", "²", "Ⅳ", "½"])
def test_figures_are_nought_to_nine_alone(figure: str) -> None:
    assert "is not read" in mistake(f"fuse FU1 {figure} A")
    assert "is not read" in mistake(f"fuse FU{figure} 2 A")
    statement(f'fuse FU1 "bed of {figure} m" 2 A')


@pytest.mark.parametrize("character", ["\0", "\x1b", "\x7f", "\x85", "\u202e", "\u2066", "\x0b"])
def test_what_cannot_be_seen_is_refused_even_in_a_description(character: str) -> None:
    reading = read_statements(Source("x.panel", f'fuse FU1 "a{character}b" 2 A\nfuse FU2 2 A'))
    (told,) = reading.mistakes
    assert "cannot be seen" in told.message
    assert (1, 12) == (told.place.span.line, told.place.span.column)
    assert 1 == len(reading.statements), "the next line is read"


def test_a_rules_name_may_hold_the_word_that_ends_it() -> None:
    found = statement('accept ac rating used on dc on K1, wire 204 S1:12 to S2:13: "test bench"')
    assert isinstance(found, say.Accept)
    assert ["ac", "rating", "used", "on", "dc"] == [str(word) for word in found.rule]
    assert ["K1"] == [str(name) for name in found.devices]
    assert [("204", ("S1:12", "S2:13"))] == [(str(w.number), w.ends) for w in found.wires]
