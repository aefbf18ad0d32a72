"""From a panel to the sheets of its drawing."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.model.devices import Conducts, Part, device_of
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.report.drawing.chains import Chain, chains_of, is_strip
from netcheck.report.drawing.figures import Sheet
from netcheck.report.drawing.filling import ROOM, filled_sheets
from netcheck.report.drawing.placing import GOES_ON, Block
from netcheck.report.drawing.rows import End, Fitting, Place, Row, is_control, is_pole, measure
from netcheck.report.drawing.writing import write

AMPLE = 0.85
"""How much of a sheet's width a rung may take with all that its parts are called."""
MOST_ROWS = 24
"""Rungs that are laid out together."""


def draw(panel: Panel) -> list[Sheet]:
    """The sheets, power first; the same for the same panel.  No wire is left out."""
    return _Drawing(panel).sheets()


class _Drawing:
    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self.nodes = _nodes(panel)
        fits = Fitting(panel)
        chains = chains_of(panel, fits)
        circuits: dict[str, list[Chain]] = {}
        for chain in chains:
            circuits.setdefault(chain.circuit, []).append(chain)
        self.contacts = _contacts_by_coil(panel)
        self.blocks: list[Block] = []
        self.rows: list[Row] = []
        self._at: dict[str, list[tuple[int, int, Row]]] = {}
        """Where each terminal stands: how well, in order, and the row."""
        pieces: list[tuple[bool, str, list[Row]]] = []
        for title, group in circuits.items():
            rows = [Row(chain, ample=fits.needs(chain, True) < AMPLE) for chain in group]
            pieces.append((is_control(panel, group), title, rows))
            for row in rows:
                self._note(row)
        for control, title, rows in sorted(pieces, key=lambda piece: piece[0]):
            self.blocks += self._blocks(title, rows, control)

    # ---- how rungs end -----------------------------------------------------------------------

    def _note(self, row: Row) -> None:
        terminals, links = row.chain.terminals, row.chain.links
        for at, terminal in enumerate(terminals):
            beside = links[max(0, at - 1) : at + 1]
            by_part = any(isinstance(link, Part) for link in beside)
            inner = 0 < at < len(terminals) - 1
            rank = 0 if by_part and inner else 1 if by_part else 2 if inner else 3
            self._at.setdefault(terminal, []).append((rank, at, row))

    def _home(self, terminal: str) -> tuple[int, int, Row]:
        """Where a terminal stands as what it is; elsewhere it is only referred to."""
        return min(self._at[terminal], key=lambda found: found[0])

    def _end(self, row: Row, at: int) -> End:
        terminal = row.chain.terminals[at]
        rank, _, home = self._home(terminal)
        own_link = row.chain.links[min(at, len(row.chain.links) - 1)]
        if is_strip(self.panel, terminal):
            return End("rail")
        if isinstance(own_link, Part) or (rank < 2 and home is not row) or rank < 2:
            return End("flag")
        return End("box")

    def _blocks(self, title: str, rows: list[Row], control: bool) -> list[Block]:
        """The rungs of a circuit in pieces that fit a sheet, ends tied where that can be."""
        coil_of = self.contacts
        for row in rows:
            row.left, row.right = self._end(row, 0), self._end(row, len(row.chain.terminals) - 1)
            measure(self.panel, row, coil_of)
        pieces: list[list[Row]] = [[]]
        height = 0.0
        for row in _boxed_together(rows):
            more = row.above + row.below
            if pieces[-1] and (height + more > 2 * ROOM or len(pieces[-1]) == MOST_ROWS):
                pieces.append([])
                height = 0.0
            pieces[-1].append(row)
            height += more
        blocks = []
        for number, piece in enumerate(pieces):
            said = title + GOES_ON if number else title
            block = Block(self.panel, said, piece, self.nodes, control)
            block.place(dict(self._wanted(piece)))
            for row in piece:
                measure(self.panel, row, coil_of)
            block.hang()
            blocks.append(block)
        return blocks

    def _wanted(self, rows: list[Row]) -> Iterator[tuple[tuple[int, str], Place]]:
        number_of = {id(row): number for number, row in enumerate(rows)}
        for number, row in enumerate(rows):
            for side, at in (("left", 0), ("right", len(row.chain.terminals) - 1)):
                terminal = row.chain.terminals[at]
                standing = [
                    (rank, abs(number_of[id(other)] - number), number_of[id(other)], place)
                    for rank, place, other in self._at[terminal]
                    if id(other) in number_of and other is not row
                ]
                if not standing:
                    continue
                rank, _, other_number, place = min(standing)
                if rank <= 2 or (is_strip(self.panel, terminal) and other_number < number):
                    if rank == 3:
                        continue
                    yield (number, side), (other_number, place)

    # ---- sheets ------------------------------------------------------------------------------

    def sheets(self) -> list[Sheet]:
        filled = filled_sheets(self.blocks)
        for sheet, blocks in filled:
            for block in blocks:
                write(self, sheet, block)
        return [sheet for sheet, _ in filled]

    def place_of(self, part: Part) -> str:
        """Sheet and rung of a part, empty where it is not drawn."""
        for _, _, row in self._at.get(part.a, []):
            if part in row.chain.links:
                return row.number
        return ""

    def elsewhere(self, terminal: str, row: Row) -> str:
        """Sheet and rung where a terminal stands, other than this row."""
        others = [found for found in self._at[terminal] if found[2] is not row]
        return min(others, key=lambda found: found[0])[2].number if others else ""


def _boxed_together(rows: list[Row]) -> list[Row]:
    """Rungs in order, but one without a part moved up to where its device's box stands."""
    ordered: list[Row] = []
    for row in rows:
        at = next((place for place in _beside_box(ordered, row)), None)
        if at is None or row.chain.parts or _share_a_pole(ordered, at):
            ordered.append(row)
        else:
            ordered.insert(at, row)
    return ordered


def _beside_box(ordered: list[Row], row: Row) -> Iterator[int]:
    """Where the rung would share the box of its device."""
    for side, end in ((0, row.left), (-1, row.right)):
        if end.sort != "box":
            continue
        device = device_of(row.chain.terminals[side])
        boxed = [
            place
            for place, other in enumerate(ordered)
            if (other.left if side == 0 else other.right).sort == "box"
            and device_of(other.chain.terminals[side]) == device
        ]
        if boxed:
            # Before the box where a branch hangs on its last rung, else behind it.
            first, last = boxed[0], boxed[-1]
            yield first if _branches(ordered, last + 1) else last + 1


def _branches(ordered: list[Row], at: int) -> bool:
    """Whether the rung there begins at an inner terminal of the one above it."""
    if at >= len(ordered):
        return False
    return ordered[at].chain.terminals[0] in ordered[at - 1].chain.terminals[1:-1]


def _share_a_pole(ordered: list[Row], at: int) -> bool:
    """Whether poles of one device stand on both sides of the place, to be linked."""
    if not 0 < at < len(ordered):
        return False
    above, below = (
        {part.device for part in one.chain.parts if is_pole(part)}
        for one in ordered[at - 1 : at + 1]
    )
    return bool(above & below)


def _nodes(panel: Panel) -> dict[str, int]:
    """Terminals that wires, bridges and bars join are one node."""
    unions: Unions[str] = Unions()
    for wire in panel.wires:
        unions.join(wire.a, wire.b)
    for part in panel.parts:
        if is_strip(panel, part.a) and part.conducts in (Conducts.JOINS, Conducts.BOND):
            unions.join(part.a, part.b)
    numbers: dict[str, int] = {}
    return {name: numbers.setdefault(unions.find(name), len(numbers)) for name in panel.terminals}


def _contacts_by_coil(panel: Panel) -> dict[int, list[Part]]:
    """By the first drawn coil of each relay, its contacts."""
    found: dict[int, list[Part]] = {}
    by_mechanism: dict[str, list[Part]] = {}
    for part in panel.parts:
        if part.conducts is Conducts.CONTACT and part.mechanism and not part.inside:
            by_mechanism.setdefault(part.mechanism, []).append(part)
    for mechanism in panel.mechanisms.values():
        if mechanism.moved_by_coil and mechanism.coils:
            contacts = by_mechanism.get(mechanism.name, [])
            found.setdefault(mechanism.coils[0], []).extend(contacts)
    return found
