"""One text's meaning with a line for each thing, in one order: what `git diff` is to show.

A circuit line becomes its wires, each with its two ends; devices, settings and sentences are
sorted.  Lines moved, wrapped or traced the other way give the same outline.  Remarks are left
out; what is accepted stays in.  A text that cannot be read as a whole is its own outline.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.reading import statements as say
from netcheck.reading.syntax import logical_lines, read_statements
from netcheck.revisions.tidy import evened
from netcheck.text import Source

HEADINGS = {
    say.Include: "includes", say.Panel: "panel", say.Setting: "panel", say.Location: "locations",
    say.WireKind: "wire kinds", say.Device: "devices", say.Cable: "cables",
    say.Raceway: "raceways", say.Chain: "wires", say.Wire: "wires, by number",
    say.Accept: "accepted",
}  # fmt: skip
OTHERS = "sentences"
ORDER = (*dict.fromkeys(HEADINGS.values()), OTHERS)


def outline(source: Source) -> str:
    """The outline, ending with a line end unless it is empty; the text itself if it has mistakes.

    Files that are included are named and not followed.
    """
    read = read_statements(source)
    if read.mistakes:
        return source.text
    texts = dict(logical_lines(source.lines))
    sections: dict[tuple[str, str], list[str]] = {}
    inside, wired = "", ""
    for statement in read.statements:
        if isinstance(statement, say.Assembly):
            inside, wired = f"assembly {statement.name}", ""
        if isinstance(statement, say.Panel) and statement.name is not None:
            inside = f"panel {statement.name}"
        if isinstance(statement, say.Circuit):
            # What stands behind the title holds for every wire of the circuit.
            wired = _one_line(texts[statement.origin.first_line]).rpartition('"')[2].strip()
        key = inside, HEADINGS.get(type(statement), OTHERS)
        lines = sections.setdefault(key, [])
        if isinstance(statement, say.Chain):
            lines += _wires(statement, wired)
        elif not isinstance(statement, say.End):
            lines.append(_one_line(texts[statement.origin.first_line]))
        if isinstance(statement, say.End):
            inside, wired = "", ""
    return "".join(_sections(sections))


def _sections(sections: dict[tuple[str, str], list[str]]) -> Iterator[str]:
    ordered = sorted(sections, key=lambda key: (key[0], ORDER.index(key[1])))
    for inside, heading in ordered:
        lines = sections[inside, heading]
        if lines:
            yield f"[{f'{inside}, ' * bool(inside)}{heading}]\n"
            yield from (f"{line}\n" for line in sorted(lines))
            yield "\n"


def _one_line(text: str) -> str:
    return " ".join(evened(line) for line in text.split("\n") if line.strip())


def _wires(chain: say.Chain, wired: str) -> Iterator[str]:
    for place, wire in enumerate(chain.wires):
        ends = sorted((_left(chain.stops[place]), _entered(chain.stops[place + 1])))
        own = ", ".join(" ".join(item) for item in chain.own[place])
        said = [f"--{wire.strip('-')}--" if wire.strip("-") else "--", " to ".join(ends)]
        yield " ".join((*said, *([f"({own})"] if own else []), *([wired] if wired else [])))


def _left(stop: str) -> str:
    """The terminal a chain goes on from; of a bare name its second mark, whichever that is."""
    return _terminal(stop, -1, "out of")


def _entered(stop: str) -> str:
    return _terminal(stop, 0, "into")


def _terminal(stop: str, which: int, word: str) -> str:
    device, colon, marks = stop.partition(":")
    if not colon:
        return f"{device} ({word})"
    passed = marks.split("-") if marks != "-" else [marks]
    return f"{device}:{passed[which]}"
