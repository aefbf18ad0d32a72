"""Text on a terminal: what is safe to print, how wide it is, where a word stands.

Names and remarks come from untrusted text.  Whatever could move the cursor, change
colours or turn the reading direction is shown as an escape, not sent.
"""

from __future__ import annotations

from collections.abc import Iterator
from unicodedata import category, combining, east_asian_width

TAB = 4
CUT = "..."


def visible(text: str) -> str:
    """Return `text` with every character that does not print shown as an escape such as \\x1b."""
    return text if text.isprintable() else "".join(map(_visible_character, text))


def _visible_character(character: str) -> str:
    if character.isprintable() or category(character) == "Zs":
        return character
    return " " if character == "\t" else ascii(character)[1:-1]


def columns(text: str) -> int:
    """Return how many columns a terminal gives to the printable `text`."""
    return len(text) if text.isascii() else sum(map(_character_columns, text))


def _character_columns(character: str) -> int:
    if combining(character) or category(character) in ("Mn", "Me"):
        return 0
    # The vowels and finals of a Hangul syllable spelled out join the consonant before them.
    if "\u1160" <= character <= "\u11ff":
        return 0
    return 2 if east_asian_width(character) in ("W", "F") else 1


def padded(text: str, width: int) -> str:
    return text + " " * max(0, width - columns(text))


def wrapped(text: str, width: int | None) -> list[str]:
    """Return `text` in lines of at most `width` columns, broken at blanks; None breaks nowhere."""
    if width is None or columns(text) <= width:
        return [text]
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if columns(longer) <= width or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def spot(line: str, column: int, end_column: int, room: int) -> tuple[str, int, int]:
    """Show the source `line` with the place of the words from `column` up to `end_column`.

    Returns the line as it is to be printed, at most `room` columns wide, and in it the
    printed column where the words start (from 0) and how many columns they take (1 or
    more).  Leading blanks go, tabs become blanks, a long line is cut around the words.
    """
    start = min(max(column - 1, 0), len(line))
    end = min(max(end_column - 1, start), len(line))
    # Nothing further away than this can be on screen, and a line may be megabytes long.
    left, right = max(start - room - 1, 0), start + 2 * room
    cut_before, cut_after = left > 0, right < len(line)
    near = line[left:right] if cut_after else line[left:].rstrip(" \t")
    if not cut_before:
        left = min(len(near) - len(near.lstrip(" \t")), start)
        near = near[left:]
    cells = list(_cells(near.ljust(start - left)))
    low, high = _window(cells, start - left, max(end, start + 1) - left, room)
    before = CUT if cut_before or low else ""
    after = CUT if cut_after or high < len(cells) else ""
    shown = before + "".join(cells[low:high]) + after
    offset = len(before) + columns("".join(cells[low : start - left]))
    return shown, offset, max(1, columns("".join(cells[start - left : min(end - left, high)])))


def _cells(text: str) -> Iterator[str]:
    """Each character as it is printed."""
    column = 0
    for character in text:
        cell = " " * (TAB - column % TAB) if character == "\t" else _visible_character(character)
        column += columns(cell)
        yield cell


def _window(cells: list[str], start: int, end: int, room: int) -> tuple[int, int]:
    """The run of cells around `start` to `end` that fits in `room` with a cut at both ends."""
    # A character without width costs one, else any number of them would fit.
    sizes = [max(1, columns(cell)) for cell in cells]
    if sum(sizes) <= room:
        return 0, len(cells)
    left = room - 2 * len(CUT)
    low = high = min(start, len(cells))
    while high < min(end, len(cells)) and left >= sizes[high]:
        left -= sizes[high]
        high += 1
    grew = True
    while grew:
        grew = False
        if low > 0 and sizes[low - 1] <= left:
            low, left, grew = low - 1, left - sizes[low - 1], True
        if high < len(cells) and sizes[high] <= left:
            high, left, grew = high + 1, left - sizes[high], True
    return low, high
