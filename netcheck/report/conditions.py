"""When each load is energised, as text: a load a block, short lines that can be read aloud."""

from __future__ import annotations

from netcheck.report.closing import CAUTION
from netcheck.report.condition_sheet import Accounts, Line, Sheet
from netcheck.report.terminal import visible, wrapped
from netcheck.report.text import NARROWEST, STYLES

MARGIN = 2
NAME_WIDTH = 15
INDENT = MARGIN + NAME_WIDTH + 1


def render(sheet: Sheet, *, colour: bool, width: int | None) -> str:
    """The text of what could be read.  `width` is the terminal's, in columns; None wraps none."""
    page = _Page(colour, None if width is None else max(width, NARROWEST))
    blocks = []
    if sheet.supposed:
        head = "SUPPOSED: this is not the panel as it is drawn"
        blocks.append("\n".join([head, *(f"  {words}" for words in sheet.supposed)]))
    if sheet.panel is not None:
        accounts = Accounts(sheet, sheet.panel)
        for load in sheet.loads:
            lines = [page.title(accounts.title(load), len(accounts.label(load)))]
            for line in accounts.of(load):
                lines += page.line(line)
            blocks.append("\n".join(lines))
    blocks.append("\n".join(page.closing(sheet)))
    return "\n\n".join(blocks) + "\n"


class _Page:
    def __init__(self, colour: bool, width: int | None) -> None:
        self._colour = colour
        self._width = width

    def paint(self, style: str, text: str) -> str:
        return f"\x1b[{STYLES[style]}m{text}\x1b[0m" if self._colour and text else text

    def title(self, title: str, name: int) -> str:
        title = visible(title)
        return self.paint("mark", title[:name]) + title[name:]

    def line(self, line: Line) -> list[str]:
        """The name of the line, what it says, and alternatives below it."""
        room = None if self._width is None else self._width - INDENT
        texts = wrapped(visible(line.said.lead), room)
        for alternative in line.said.alternatives:
            first, *more = wrapped(visible(alternative), None if room is None else room - 2)
            texts += [f"- {first}", *(f"  {text}" for text in more)]
        name = self.paint("name", line.name) + " " * (NAME_WIDTH - len(line.name))
        first, *more = texts
        return [
            f"{' ' * MARGIN}{name} {first}",
            *(" " * INDENT + text for text in more),
        ]

    def closing(self, sheet: Sheet) -> list[str]:
        number = len(sheet.loads)
        counts = [f"{number} load" if number == 1 else f"{number} loads"]
        if sheet.mistakes:
            places = len(sheet.mistakes)
            counts.append("cannot read " + ("1 place" if places == 1 else f"{places} places"))
        counts += [
            f"{sheet.not_decided} not decided",
            f"{sheet.too_large} too large to print",
        ]
        lines = [
            line for text in sheet.assumed for line in wrapped(f"- {visible(text)}", self._width)
        ]
        if lines:
            lines.insert(0, "what this rests on:")
        lines += [f"not decided: {reason}" for reason in sheet.open]
        return [*lines, ", ".join(counts), *CAUTION]
