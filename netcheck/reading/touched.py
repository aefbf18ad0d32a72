"""What the statements that could not be read might have joined to what could.

A line with a mistake in it may have drawn a wire, or described a device that other lines
pass.  The devices that it draws, and those that stand in one circuit line with a device
that nobody could describe, may be joined in ways that nobody has read.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping

from netcheck.reading.syntax import logical_lines
from netcheck.record import record
from netcheck.text import Source, Span

_NAMES = r"(?<![\w.:-])[^\W_a-z][\w.]*"
_ASIDE = r'"[^"\n]*"?|\([^()\n]*\)?'
"""Descriptions, and what is said of a wire in brackets."""
_DRAWS = r"(?:^|\s)--"


@record
class _Statement:
    names: tuple[str, ...]
    draws: bool
    mistake: Span | None


def touched(
    sources: Iterable[Source],
    mistaken: Iterable[Span],
    known: Collection[str],
    undescribed: Collection[str],
) -> Mapping[str, Span]:
    """Of the `known` devices those that may be joined to more than was read, each with where.

    Names are as they stand in the text, without what an assembly or panel puts before them.
    `undescribed` are the devices of which the description was not understood.
    """
    statements = list(_statements(sources, mistaken))
    hidden: dict[str, Span] = {}
    found: dict[str, Span] = {}
    for one in statements:
        for name in one.names if one.mistake is not None else ():
            assert one.mistake is not None
            if one.draws and name in known:
                found.setdefault(name, one.mistake)
            elif one.draws or name in undescribed:
                hidden.setdefault(name, one.mistake)
    for one in statements:
        spans = [hidden[name] for name in one.names if name in hidden]
        if one.draws and spans:
            for name in one.names:
                if name in known:
                    found.setdefault(name, spans[0])
    return found


def _statements(sources: Iterable[Source], mistaken: Iterable[Span]) -> Iterator[_Statement]:
    at: dict[tuple[str, int], Span] = {}
    for span in mistaken:
        at.setdefault((span.path, span.line), span)
    for source in sources:
        for first, text in logical_lines(source.lines):
            lines = range(first, first + text.count("\n") + 1)
            met = [at[source.path, line] for line in lines if (source.path, line) in at]
            names = tuple(dict.fromkeys(re.findall(_NAMES, re.sub(_ASIDE, " ", text))))
            yield _Statement(names, re.search(_DRAWS, text) is not None, met[0] if met else None)
