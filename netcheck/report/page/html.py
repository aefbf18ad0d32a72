"""Pieces of HTML: every text that comes in is escaped here, and nowhere else."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from unicodedata import category

from netcheck.record import record

TURNS = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"))
"""Categories of characters that hide, turn the reading direction or are none at all."""


@record
class Html:
    """What is HTML already; a plain text is not."""

    text: str


Content = str | Html


def plain(text: str) -> str:
    """`text` with what a reader cannot see shown as such."""
    return "".join(
        one if one == "\n" or category(one) not in TURNS else "\N{REPLACEMENT CHARACTER}"
        for one in text
    )


def safe(content: Content) -> str:
    if isinstance(content, Html):
        return content.text
    return escape(plain(content), quote=True)


def tag(name: str, *contents: Content, **attributes: str) -> Html:
    """An element; `class_` stands for `class`, `data_at` for `data-at`."""
    said = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{safe(value)}"' for key, value in attributes.items()
    )
    return Html(f"<{name}{said}>{''.join(map(safe, contents))}</{name}>")


def joined(contents: Iterable[Content], between: str = "") -> Html:
    return Html(between.join(map(safe, contents)))


def ticked(text: str) -> Html:
    """A sentence whose names stand between back-ticks: those in the letters of a label."""
    pieces = text.split("`")
    if len(pieces) % 2 == 0:  # an odd one stands for itself
        return Html(safe(text))
    return joined(
        tag("code", piece) if number % 2 else piece for number, piece in enumerate(pieces)
    )
