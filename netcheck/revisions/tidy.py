"""A panel's text written one way: indents, blanks, columns.  Not a word of it changes.

Lines stay lines, in their order, with their remarks.  What is aligned is aligned within a block
without an empty line, at a column of a coarse grid, so that an edit rarely moves a second line.
Each result is read again and held against the text it came from before anybody sees it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from netcheck.finding import Mistake
from netcheck.reading import statements as say
from netcheck.reading.syntax import logical_lines, read_statements
from netcheck.record import draft
from netcheck.text import Source

INDENT = 2
HEAD_GRID = 4
REMARK_GRID = 8
LONGEST_HEAD = 28
"""A longer one is not aligned, and moves no other."""
LONGEST_BEFORE_REMARK = 80

HEADED = (say.WireKind, say.Wire, say.Location)
"""Statements whose words before the colon are aligned."""

_PIECES = re.compile(r'"[^"]*"|[^"]+')


class NotTidied(Exception):
    """A text that is left as it is, for it holds mistakes."""

    def __init__(self, mistakes: Sequence[Mistake]) -> None:
        super().__init__(f"{len(mistakes)} mistakes")
        self.mistakes = tuple(mistakes)


class ChangedMeaning(AssertionError):
    """Tidying would have changed what the text says: a fault of netcheck."""


@draft
class _Line:
    """One line to be written: its indent, words, remark; how much of its words is a head."""

    code: str
    remark: str
    indent: int = 0
    kind: type | None = None
    head: int = 0


def tidy(source: Source) -> str:
    """The text, tidied.  Raises NotTidied, and ChangedMeaning if it would say anything else."""
    read = read_statements(source)
    if read.mistakes:
        raise NotTidied(read.mistakes)
    text = _written(source, read.statements)
    again = Source(source.path, text)
    if meaning(again) != meaning(source) or remarks(again) != remarks(source):
        raise ChangedMeaning(source.path)
    if _written(again, read_statements(again).statements) != text:
        raise ChangedMeaning(f"{source.path}: twice is not once")
    return text


# ---- what may not change -------------------------------------------------------------------------


def meaning(source: Source) -> list[object]:
    """Every statement in order, as it was read, without its place."""
    read = read_statements(source)
    return [*map(_bare, read.statements), *(mistake.message for mistake in read.mistakes)]


def remarks(source: Source) -> list[str]:
    """Every remark in order."""
    return [remark for line in source.lines if (remark := _split(line)[1])]


def _bare(value: object) -> object:
    if isinstance(value, str):
        return value if value.startswith('"') else " ".join(value.split())
    if isinstance(value, (tuple, list)):
        return [_bare(one) for one in value]
    fields = getattr(value, "__match_args__", None)
    if fields is None:
        return value
    inner = [_bare(getattr(value, name)) for name in fields if name != "origin"]
    return [type(value).__name__, *inner]


# ---- lines ---------------------------------------------------------------------------------------


def _written(source: Source, statements: Iterable[say.Statement]) -> str:
    lines = [_Line(evened(code), remark) for code, remark in map(_split, source.lines)]
    _indent(lines, source, statements)
    kept: list[_Line] = []
    for line in lines:
        if line.code or line.remark or (kept and (kept[-1].code or kept[-1].remark)):
            kept.append(line)
    while kept and not (kept[-1].code or kept[-1].remark):
        kept.pop()
    for block in _blocks(kept):
        _align_heads(block)
    indented = [" " * line.indent + line.code if line.code else "" for line in kept]
    return "".join(f"{line}\n" for line in _with_remarks(kept, indented))


def _split(line: str) -> tuple[str, str]:
    """What stands before the remark, and the remark; a `#` between quotes begins none."""
    code = re.match(r'(?:"[^"]*"|[^"#])*', line)
    assert code is not None
    end = code.end()
    if end < len(line) and line[end] != "#":  # a quote that is not closed
        end = line.find("#", end) if "#" in line[end:] else len(line)
    return line[:end].strip(" \t"), line[end:].rstrip()


def evened(code: str) -> str:
    """One blank between words, none before a comma, one behind it."""
    pieces = []
    for piece in _PIECES.findall(code):
        if not piece.startswith('"'):
            piece = re.sub(r"[ \t]+", " ", piece)
            piece = re.sub(r" ?([,;]) ?", r"\1 ", piece)
            piece = re.sub(r" :(?= |$)", ":", piece)
            piece = piece.replace("( ", "(").replace(" )", ")")
        pieces.append(piece)
    return "".join(pieces).strip()


def _indent(lines: list[_Line], source: Source, statements: Iterable[say.Statement]) -> None:
    """Indents of statements, of the lines they go on in, and of remarks before them."""
    kinds = {one.origin.first_line: one for one in statements}
    base, in_circuit, in_panel = 0, False, False
    at: dict[int, int] = {}
    for first, text in logical_lines(source.lines):
        statement = kinds.get(first)
        if isinstance(statement, say.End):
            base, in_circuit = 0, False
        indent = base
        if isinstance(statement, say.Circuit):
            in_circuit = True
        elif isinstance(statement, say.Chain):
            indent += INDENT * in_circuit
        in_panel = isinstance(statement, say.Panel) or (
            in_panel and isinstance(statement, say.Setting)
        )
        if isinstance(statement, say.Setting) and in_panel:
            indent += INDENT
        if isinstance(statement, say.Assembly):
            base, in_circuit = INDENT, False
        last = first + text.count("\n")
        for number in range(first, last + 1):
            at[number] = indent + INDENT * (number > first)
        line = lines[first - 1]
        line.kind = type(statement) if first == last else None
        line.head = _head(statement, line.code)
    following = 0
    for number in range(len(lines), 0, -1):
        line = lines[number - 1]
        if line.code:
            following = at.get(number, 0)
        elif not line.remark:
            following = 0
        line.indent = following


def _head(statement: say.Statement | None, code: str) -> int:
    """How many characters of a line stand in the column of its block."""
    if isinstance(statement, say.Setting):
        return len(" ".join(str(statement.keyword).split()))
    if isinstance(statement, HEADED):
        return code.find(":", _end_of_ends(code)) + 1
    return 0


def _end_of_ends(code: str) -> int:
    """Past the terminals of `wire 204 S1:12 to S2:13: ...`, whose colons are no end of a head."""
    found = re.search(r":(?= |$)", code)
    return found.start() if found else 0


# ---- columns -------------------------------------------------------------------------------------


def _blocks(lines: Sequence[_Line]) -> Iterator[list[_Line]]:
    """Runs of lines of one kind of statement and one indent, with nothing between."""
    block: list[_Line] = []
    for line in lines:
        fits = line.code and line.head and block and _sort(block[-1]) == _sort(line)
        if block and not fits:
            yield block
            block = []
        if line.code and line.head:
            block.append(line)
    if block:
        yield block


def _sort(line: _Line) -> tuple[bool, int]:
    return line.kind is say.Setting, line.indent


def _align_heads(block: Sequence[_Line]) -> None:
    short = [line for line in block if line.head <= LONGEST_HEAD]
    column = _on_grid(max((line.head + 1 for line in short), default=0), HEAD_GRID)
    for line in short if len(short) > 1 else ():
        head, rest = line.code[: line.head], line.code[line.head :].strip()
        line.code = f"{head.ljust(column)}{rest}"


def _with_remarks(lines: Sequence[_Line], indented: Sequence[str]) -> Iterator[str]:
    """Remarks behind the words of a block stand in one column."""
    start = 0
    for end in range(len(lines) + 1):
        if end < len(lines) and lines[end].code:
            continue
        yield from _remarked(lines[start:end], indented[start:end])
        if end < len(lines):
            alone = lines[end]
            yield " " * alone.indent + alone.remark if alone.remark else ""
        start = end + 1


def _remarked(lines: Sequence[_Line], indented: Sequence[str]) -> Iterator[str]:
    widths = [
        len(text)
        for line, text in zip(lines, indented, strict=True)
        if line.remark and len(text) <= LONGEST_BEFORE_REMARK
    ]
    column = _on_grid(max(widths) + 2, REMARK_GRID) if len(widths) > 1 else 0
    for line, text in zip(lines, indented, strict=True):
        if not line.remark:
            yield text
        elif len(text) <= LONGEST_BEFORE_REMARK:
            yield f"{text.ljust(max(column, len(text) + 2))}{line.remark}"
        else:
            yield f"{text}  {line.remark}"


def _on_grid(column: int, grid: int) -> int:
    return -(-column // grid) * grid
