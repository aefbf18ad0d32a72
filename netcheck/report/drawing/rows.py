"""Rungs: how wide each of their pieces must be, how high they are, and how they end."""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.model.devices import Conducts, Part, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import draft, fresh, record
from netcheck.report.drawing.chains import Chain, is_strip
from netcheck.report.drawing.figures import LETTER, PITCH, SMALL, cut, in_lines, text_width
from netcheck.report.drawing.symbols import HALF, RISE

LEFT = 58.0
"""Where the left rail stands; rung numbers stand before it."""
RIGHT = 1034.0
"""Where the right rail stands."""
BOX = 140.0
"""How wide a device with many terminals is drawn."""

LONGEST_NAME = 16
"""Letters of a name that are shown; the whole of it is in the lists."""
CONTACT = text_width("13-14 closes 10.00", SMALL)
"""Room for a contact in the list under its coil."""
LONGEST_WORD = 12
"""Letters of a word that a part is drawn wide enough for."""
LONGEST_LINE = 14
"""Letters of a line that a part is drawn wide enough for where there is room."""

Place = tuple[int, int]
"""A row of a block and a position in its chain."""


@record
class End:
    """How a chain ends: `rail`, `box`, `tie` to a place of the block, or `flag`: goes on
    elsewhere."""

    sort: str
    tie: Place | None = None

    def raised(self, rungs: int) -> End:
        """The same where so many rungs above are gone."""
        return End(self.sort, self.tie and (self.tie[0] - rungs, self.tie[1]))


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
    ample: bool = False
    """Whether there is room for all that its parts are called."""
    contacts: list[Part] = fresh(factory=list)
    """Contacts that the coils of this row move."""
    edge: float = RIGHT
    """Where what is written under the end of the row ends."""
    hangs: int = 0
    """Over how many rows below, which do not reach so far, its list of contacts hangs."""

    @property
    def ends(self) -> tuple[End, End]:
        return self.left, self.right


def shown(name: str) -> str:
    return cut(name, LONGEST_NAME)


def flag_width(terminal: str) -> float:
    """Room for a terminal's name, and under it the sheet and rung it goes on at."""
    return (
        max(text_width(shown(terminal), SMALL), text_width("\N{RIGHTWARDS ARROW} 00.00", SMALL))
        + 10
    )


def letters_in(room: float) -> int:
    return max(4, int(room / (SMALL * LETTER)))


def is_told_at_its_coil(panel: Panel, part: Part) -> bool:
    """A relay's contact refers to its coil, a trip contact to its heater, where its name stands."""
    if part.conducts is not Conducts.CONTACT:
        return False
    mechanism = panel.mechanisms.get(part.mechanism)
    moved = mechanism is not None and mechanism.moved_by_coil
    return moved or panel.devices[part.device].kind == "overload"


def part_width(panel: Panel, part: Part, ample: bool) -> float:
    """How wide a part is drawn: for its longest word; `ample` for all of them in two lines."""
    device = panel.devices[part.device]
    marks = max(len(shown(mark_of(name))) for name in (part.a, part.b))
    lead = max(15.0, text_width("m" * marks, SMALL) + 6)
    words = [*device.description.split(), *_said_under(panel, part)]
    if is_told_at_its_coil(panel, part):
        words = ["heater 0.00" if device.kind == "overload" else "coil 00.00"]
    letters = max(len(shown(device.name)), min(LONGEST_WORD, max(map(len, words), default=0)))
    while ample and letters < LONGEST_LINE and _is_cut(device.description, letters):
        letters += 1
    return max(2 * (HALF + lead), text_width("m" * letters, SMALL) + 6)


def _said_under(panel: Panel, part: Part) -> list[str]:
    mechanism = panel.mechanisms.get(part.mechanism)
    if mechanism is None or part.conducts is not Conducts.CONTACT or len(mechanism.resting) < 3:
        return []
    return [f"in {closed_in(panel, part)}"]


def closed_in(panel: Panel, part: Part) -> str:
    """The positions in which a selector's contact is closed."""
    mechanism = panel.mechanisms[part.mechanism]
    return " ".join(mechanism.positions[at] for at in sorted(part.closed & mechanism.resting))


def _is_cut(words: str, letters: int) -> bool:
    lines = in_lines(words, letters, 2)
    return " ".join(lines) != " ".join(words.split())


def part_lines(panel: Panel, part: Part, ample: bool) -> list[str]:
    """What a part's device is called, in the lines above it: two, or three if need be."""
    words = panel.devices[part.device].description
    if is_told_at_its_coil(panel, part):
        return []
    letters = letters_in(part_width(panel, part, ample) - 4)
    return in_lines(words, letters, 3 if _is_cut(words, letters) else 2)


def told_below(row: Row) -> Part | None:
    """The load at the right rail: what it is stands under the end of its rung."""
    if row.right.sort != "rail":
        return None
    last = row.chain.parts[-1:]
    return last[0] if last and last[0].load is not None else None


def widths(panel: Panel, chain: Chain, left: str, right: str, ample: bool) -> list[float]:
    """The least width of each link of a chain that ends so."""
    found = []
    last = len(chain.links) - 1
    for number, link in enumerate(chain.links):
        if isinstance(link, Part):
            found.append(part_width(panel, link, ample))
            continue
        before = _label(chain, number, left if number == 0 else "")
        after = (
            text_width(shown(chain.terminals[-1]), SMALL) + 6
            if (number == last and right == "rail")
            else 4.0
        )
        found.append(max(24.0, before + text_width(shown(link.number), SMALL) + after))
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
        return self.needs(chain, ample=False) <= 1

    def needs(self, chain: Chain, ample: bool) -> float:
        """How much of the room a chain takes."""
        ends = []
        for terminal, link in ((chain.terminals[0], chain.links[0]),
                               (chain.terminals[-1], chain.links[-1])):  # fmt: skip
            sort = "rail" if is_strip(self._panel, terminal) else "flag"
            boxed = BOX if sort == "flag" and isinstance(link, Wire) else 0.0
            ends.append((sort, max(end_width(sort, terminal), boxed)))
        room = RIGHT - LEFT - ends[0][1] - ends[1][1]
        return sum(widths(self._panel, chain, ends[0][0], ends[1][0], ample)) / (room - 12)


def measure(panel: Panel, row: Row, coil_of: Mapping[int, list[Part]]) -> None:
    """How far the row reaches above its line and below it."""
    sorts = (row.left.sort, row.right.sort)
    row.above, row.below = 18.0, 15.0 if "flag" in sorts else 9.0
    row.contacts = []
    load, under = told_below(row), 0
    for part in row.chain.parts:
        lines = [] if part is load else part_lines(panel, part, row.ample)
        label = 0.0 if part.index in row.linked else PITCH * (1 + len(lines))
        row.above = max(row.above, RISE + 6 + label)
        row.below = max(row.below, RISE + 4)
        under = max(under, int(is_told_under(panel, part)))
        row.contacts += coil_of.get(part.index, [])
    if load and panel.devices[load.device].description:
        under = 1
    row.below = max(row.below, RISE + 4 + PITCH * under if under else 0)
    if "box" in sorts:
        row.above, row.below = max(row.above, 20.0), max(row.below, 17.0)


def is_told_under(panel: Panel, part: Part) -> bool:
    """Whether it is written below it where its coil stands, or in which positions it closes."""
    mechanism = panel.mechanisms.get(part.mechanism)
    if part.conducts is not Conducts.CONTACT or mechanism is None:
        return False
    return is_told_at_its_coil(panel, part) or len(mechanism.resting) > 2


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
