"""Rungs: how wide each of their pieces must be, how high they are, and how they end."""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.model.devices import Conducts, Part, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import draft, fresh, record
from netcheck.report.drawing.chains import Chain, is_strip
from netcheck.report.drawing.figures import cut, in_lines, text_width
from netcheck.report.drawing.symbols import HALF, RISE

LEFT = 64.0
"""Where the left rail stands; rung numbers stand before it."""
RIGHT = 930.0
"""Where the right rail stands; the contacts of a coil are listed behind it."""
BOX = 92.0
"""How wide a device with many terminals is drawn."""

SMALL = 7.5
NAME = 9.0
LONGEST_NAME = 16
"""Letters of a name that are shown; the whole of it is in the lists."""

Place = tuple[int, int]
"""A row of a block and a position in its chain."""


@record
class End:
    """How a chain ends: `rail`, `box`, `tie` to a place of the block, or `flag`: goes on
    elsewhere."""

    sort: str
    tie: Place | None = None


@draft
class Row:
    """One rung of a block."""

    chain: Chain
    left: End = End("flag")
    right: End = End("flag")
    xs: list[float] = fresh(factory=list)
    y: float = 0.0
    number: str = ""
    linked: set[int] = fresh(factory=set)
    """Parts whose label stands with a pole of the same device in the row above."""
    above: float = 0.0
    below: float = 0.0
    contacts: list[Part] = fresh(factory=list)
    """Contacts that the coils of this row move."""

    @property
    def ends(self) -> tuple[End, End]:
        return self.left, self.right


def shown(name: str) -> str:
    return cut(name, LONGEST_NAME)


def flag_width(terminal: str) -> float:
    """Room for a terminal's name and the sheet and rung it goes on at."""
    return text_width(f"{shown(terminal)} \N{RIGHTWARDS ARROW} 00.00", SMALL) + 10


def part_width(part: Part) -> float:
    marks = max(len(shown(mark_of(name))) for name in (part.a, part.b))
    lead = max(15.0, marks * SMALL * 0.605 + 6)
    return max(2 * (HALF + lead), text_width(shown(part.device), NAME) + 8)


def part_lines(panel: Panel, part: Part) -> list[str]:
    """What a part's device is called, in the lines that stand above it."""
    letters = int((part_width(part) - 2) / (SMALL * 0.605))
    return in_lines(panel.devices[part.device].description, letters, 2)


def widths(chain: Chain, left: str, right: str) -> list[float]:
    """The least width of each link of a chain that ends so."""
    found = []
    last = len(chain.links) - 1
    for number, link in enumerate(chain.links):
        if isinstance(link, Part):
            found.append(part_width(link))
            continue
        before = _label(chain, number, left if number == 0 else "")
        after = (
            text_width(shown(chain.terminals[-1]), SMALL) + 6
            if (number == last and right == "rail")
            else 4.0
        )
        found.append(max(24.0, before + text_width(shown(link.number), SMALL) + after + 8))
    return found


def _label(chain: Chain, number: int, left: str) -> float:
    """Room that the label of terminal `number` takes of the wire behind it."""
    if number == 0:
        return text_width(shown(chain.terminals[0]), SMALL) + 6 if left == "rail" else 4.0
    if isinstance(chain.links[number - 1], Wire):
        return text_width(shown(chain.terminals[number]), SMALL) + 6
    return 4.0


def end_width(sort: str, terminal: str) -> float:
    return {"rail": 0.0, "box": BOX, "tie": 0.0}.get(sort, flag_width(terminal))


class Fitting:
    """Whether a chain is short enough for a rung, however it comes to end."""

    def __init__(self, panel: Panel) -> None:
        self._panel = panel

    def __call__(self, chain: Chain) -> bool:
        ends = []
        for terminal in (chain.terminals[0], chain.terminals[-1]):
            sort = "rail" if is_strip(self._panel, terminal) else "flag"
            ends.append((sort, max(end_width(sort, terminal), 0.0 if sort == "rail" else BOX)))
        room = RIGHT - LEFT - ends[0][1] - ends[1][1]
        return sum(widths(chain, ends[0][0], ends[1][0])) <= room - 12


def measure(panel: Panel, row: Row, coil_of: Mapping[int, list[Part]]) -> None:
    """How far the row reaches above its line and below it."""
    row.above, row.below = 17.0, 11.0
    row.contacts = []
    for part in row.chain.parts:
        lines = len(part_lines(panel, part))
        label = 0.0 if part.index in row.linked else NAME + 8.5 * lines
        row.above = max(row.above, RISE + 6 + label)
        row.below = max(row.below, RISE + (5 if is_plain(part) else 15))
        row.contacts += coil_of.get(part.index, [])
    if "box" in (row.left.sort, row.right.sort):
        row.above, row.below = max(row.above, 20.0), max(row.below, 16.0)
    row.below = max(row.below, 8.5 * len(row.contacts) - 2)


def is_plain(part: Part) -> bool:
    """Whether nothing is ever written below it."""
    return part.conducts is not Conducts.CONTACT


def is_pole(part: Part) -> bool:
    """One of several that move or are mounted together."""
    return part.conducts is Conducts.JOINS or part.role == "main pole"


def is_control(panel: Panel, chains: list[Chain]) -> bool:
    """Whether a circuit is drawn with the control part: it moves something or is moved."""
    parts = [part for chain in chains for part in chain.parts]
    if not parts:
        names = {device_of(name) for chain in chains for name in chain.terminals}
        parts = [panel.parts[index] for name in names for index in panel.devices[name].parts]
    return any(
        (part.conducts is Conducts.CONTACT and part.role != "main pole")
        or (part.load is not None and part.load.works in ("coil", "lamp", "horn", "valve", "input"))
        or panel.devices[part.device].kind == "controller"
        for part in parts
    )
