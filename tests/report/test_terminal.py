"""Printable text, its width, and where words stand in it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.report.terminal import columns, spot, visible, wrapped

ANY_TEXT = st.text(st.characters(codec=None))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("North pump", "North pump"),
        ("Pumpe Süd 20 °C, 4,7 kΩ", "Pumpe Süd 20 °C, 4,7 kΩ"),
        ("a\tb", "a b"),
        ("a\x1b[31mb", "a\\x1b[31mb"),
        ("a\nb\r", "a\\nb\\r"),
        ("a\x9b31mb", "a\\x9b31mb"),
        ("a\u202eb", "a\\u202eb"),
        ("a\u2028b", "a\\u2028b"),
        ("a\ud800b", "a\\ud800b"),
    ],
)
def test_what_does_not_print_is_shown_as_an_escape(text: str, shown: str) -> None:
    assert shown == visible(text)


@pytest.mark.parametrize(
    ("text", "wide"),
    [
        ("", 0),
        ("S1", 2),
        ("ポンプ", 6),
        ("ﾎﾟ", 2),
        ("e\u0301", 1),
        ("Ω", 1),
        ("한", 2),
        ("\u1112\u1161\u11ab", 2),
    ],
)
def test_width_follows_the_east_asian_width_property(text: str, wide: int) -> None:
    """Unicode Standard Annex 11; ambiguous width is narrow outside East Asian terminals."""
    assert wide == columns(text)


@given(ANY_TEXT)
def test_what_is_visible_is_printable_or_a_space_and_stays_as_it_is(text: str) -> None:
    shown = visible(text)
    assert all(character.isprintable() or character.isspace() for character in shown)
    assert shown == visible(shown)


@given(st.lists(st.text("abc日", min_size=1)), st.integers(5, 80))
def test_wrapping_loses_no_word_and_goes_over_only_with_a_single_long_word(
    words: list[str], width: int
) -> None:
    lines = wrapped(" ".join(words), width)
    assert words == " ".join(lines).split()
    assert all(columns(line) <= width or " " not in line for line in lines)


BLANKS = st.text(" \t", max_size=200)
LINES = st.tuples(BLANKS, ANY_TEXT, BLANKS).map("".join)


@given(LINES.filter(lambda line: not set("\n\r") & set(line)), st.data(), st.integers(20, 90))
def test_a_spot_is_inside_the_line_and_the_line_inside_the_room(
    line: str, data: st.DataObject, room: int
) -> None:
    column = data.draw(st.integers(1, len(line) + 3))
    end_column = data.draw(st.integers(column, len(line) + 9))
    shown, start, length = spot(line, column, end_column, room)
    assert columns(shown) <= room
    assert 0 <= start <= columns(shown)
    assert 1 <= length <= max(1, columns(shown) - start)


@given(st.text("ab ", max_size=300), st.data())
def test_a_spot_shows_the_words_it_is_asked_for(line: str, data: st.DataObject) -> None:
    """On plain text one character is one column, so the words can be read back."""
    padded = f"{line}S1:13{line}"
    column = len(line) + 1
    shown, start, length = spot(padded, column, column + 5, 60)
    assert "S1:13" == shown[start : start + length]
