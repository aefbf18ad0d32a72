"""From a panel to the sheets of its drawing."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.model.devices import Conducts, Device, Part, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.report.drawing.chains import Chain, chains_of, is_strip
from netcheck.report.drawing.figures import Dot, Run, Rung, Shape, Sheet, Text, in_lines, text_width
from netcheck.report.drawing.placing import Block
from netcheck.report.drawing.rows import (
    BOX,
    LEFT,
    NAME,
    RIGHT,
    SMALL,
    End,
    Fitting,
    Place,
    Row,
    is_control,
    is_pole,
    measure,
    part_lines,
    shown,
)
from netcheck.report.drawing.symbols import HALF, RISE, symbol

TALL = 705.0
LOW = 240.0
"""How high a sheet is at most, and at least."""
TOP = 26.0
FOOT = 44.0
MOST_ROWS = 24
"""Rungs that are laid out together."""
REACH = 3
"""A circuit that no longer fits may fill up one of so many sheets before."""
ARROW = "\N{RIGHTWARDS ARROW}"


def draw(panel: Panel) -> list[Sheet]:
    """The sheets, power first; the same for the same panel.  No wire is left out."""
    return _Drawing(panel).sheets()


class _Drawing:
    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self.nodes = _nodes(panel)
        chains = chains_of(panel, Fitting(panel))
        circuits: dict[str, list[Chain]] = {}
        for chain in chains:
            circuits.setdefault(chain.circuit, []).append(chain)
        self.contacts = _contacts_by_coil(panel)
        parted: dict[bool, list[Block]] = {False: [], True: []}
        self.rows: list[Row] = []
        self._at: dict[str, list[tuple[int, int, Row]]] = {}
        """Where each terminal stands: how well, in order, and the row."""
        pieces: list[tuple[bool, str, list[Row]]] = []
        for title, group in circuits.items():
            rows = [Row(chain) for chain in group]
            pieces.append((is_control(panel, group), title, rows))
            for row in rows:
                self._note(row)
        for control, title, rows in pieces:
            parted[control] += self._blocks(title, rows)
        self.parted = parted

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

    def _blocks(self, title: str, rows: list[Row]) -> list[Block]:
        """The rungs of a circuit in pieces that fit a sheet, ends tied where that can be."""
        coil_of = self.contacts
        for row in rows:
            row.left, row.right = self._end(row, 0), self._end(row, len(row.chain.terminals) - 1)
            measure(self.panel, row, coil_of)
        pieces: list[list[Row]] = [[]]
        height = 0.0
        for row in _boxed_together(rows):
            more = row.above + row.below
            if pieces[-1] and (
                height + more > TALL - TOP - FOOT - 24 or len(pieces[-1]) == MOST_ROWS
            ):
                pieces.append([])
                height = 0.0
            pieces[-1].append(row)
            height += more
        blocks = []
        for piece in pieces:
            block = Block(title, piece, self.nodes)
            block.place(dict(self._wanted(piece)))
            for row in piece:
                measure(self.panel, row, coil_of)
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
        found: list[Sheet] = []
        placed: list[tuple[Sheet, Block]] = []
        for control in (False, True):
            filled: list[tuple[Sheet, list[Block]]] = []
            for block in self.parted[control]:
                room = next((one for one in filled[-REACH:] if _has_room(one[1], block)), None)
                if room is None:
                    title = "Control" if control else "Power and supplies"
                    room = (Sheet(len(found) + 1, title, TALL), [])
                    found.append(room[0])
                    filled.append(room)
                room[1].append(block)
            for sheet, blocks in filled:
                placed += [(sheet, block) for block in blocks]
                _stack(sheet, blocks)
        for sheet, block in placed:
            _Writing(self, sheet, block).write()
        return found

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


def _has_room(blocks: list[Block], block: Block) -> bool:
    return TOP + sum(one.height for one in [*blocks, block]) <= TALL - FOOT


def _stack(sheet: Sheet, blocks: list[Block]) -> None:
    """Number the rungs of a sheet and give each its height; what room is left goes between."""
    spare = TALL - FOOT - TOP - sum(block.height for block in blocks)
    gap = min(16.0, spare / len(blocks))
    y, count = TOP, 0
    for block in blocks:
        y += 20.0
        for row in block.rows:
            count += 1
            row.number = f"{sheet.number}.{count:02d}"
            row.y = y + row.above
            y += row.above + row.below
        y += gap
    sheet.height = min(TALL, max(LOW, y + FOOT))


class _Writing:
    """Puts one block on its sheet."""

    def __init__(self, drawing: _Drawing, sheet: Sheet, block: Block) -> None:
        self.drawing, self.sheet, self.block = drawing, sheet, block
        self.panel = drawing.panel

    def write(self) -> None:
        rows = self.block.rows
        top = rows[0].y - rows[0].above - 6
        title = self.block.title
        self.text(LEFT - 4, top, title[:120], 9.5, "start", "t", title)
        for row in rows:
            self.text(10, row.y + 3, row.number, SMALL, "start", "r")
            self._row(row)
            self.sheet.rungs.append(_rung(row))
        for number in range(1, len(rows)):
            self._links(rows[number - 1], rows[number])
        for side in ("left", "right"):
            self._rails(side)
            self._boxes(side)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: float = SMALL,
        anchor: str = "middle",
        style: str = "",
        whole: str = "",
    ) -> None:
        if text:
            self.sheet.texts.append(Text(x, y, text, size, anchor, style, whole or text))

    def run(self, sort: str, *points: tuple[float, float], wire: Wire | None = None) -> None:
        node = -1 if wire is None else self.drawing.nodes[wire.a]
        style = "" if wire is None else _wire_style(wire)
        number = None if wire is None else wire.index
        self.sheet.runs.append(Run(sort, points, number, node, style))

    def _row(self, row: Row) -> None:
        for at, link in enumerate(row.chain.links):
            start, end = row.xs[at], row.xs[at + 1]
            if isinstance(link, Part):
                self._part(row, link, start, end, row.chain.terminals[at])
                self._part_ends(row, at)
            else:
                self._wire(row, link, at)
        for at, terminal in enumerate(row.chain.terminals):
            self._terminal(row, at, terminal)
        self._contact_list(row)

    # ---- wires and parts ---------------------------------------------------------------------

    def _wire(self, row: Row, wire: Wire, at: int) -> None:
        start, end = row.xs[at], row.xs[at + 1]
        points = [(start, row.y), (end, row.y)]
        last = len(row.chain.links) - 1
        if at == 0 and row.left.tie is not None:
            points.insert(0, (start, self._tie_y(row.left.tie)))
        if at == last and row.right.tie is not None:
            points.append((end, self._tie_y(row.right.tie)))
        self.run("wire", *points, wire=wire)
        label_start = start + self._taken(row, at)
        label_end = end - self._taken_before(row, at)
        middle = (label_start + label_end) / 2
        self.text(middle, row.y - 3, shown(wire.number), SMALL, "middle", "w", wire.number)

    def _tie_y(self, tie: Place) -> float:
        return self.block.rows[tie[0]].y

    def _taken(self, row: Row, at: int) -> float:
        """How much of a wire's start the label of its terminal takes."""
        labelled = (at == 0 and row.left.sort == "rail") or (
            at > 0 and isinstance(row.chain.links[at - 1], Wire)
        )
        return 4 + (text_width(shown(row.chain.terminals[at]), SMALL) if labelled else 0)

    def _taken_before(self, row: Row, at: int) -> float:
        if at == len(row.chain.links) - 1 and row.right.sort == "rail":
            return 4 + text_width(shown(row.chain.terminals[-1]), SMALL)
        return 4

    def _part_ends(self, row: Row, at: int) -> None:
        """A part tied at its very end has no wire there: one terminal in two places."""
        if at == 0 and row.left.tie is not None:
            self.run("tie", (row.xs[0], self._tie_y(row.left.tie)), (row.xs[0], row.y))
        if at == len(row.chain.links) - 1 and row.right.tie is not None:
            self.run("tie", (row.xs[-1], row.y), (row.xs[-1], self._tie_y(row.right.tie)))

    def _part(self, row: Row, part: Part, start: float, end: float, first: str) -> None:
        middle = (start + end) / 2
        y = row.y
        self.run("lead", (start, y), (middle - HALF, y))
        self.run("lead", (middle + HALF, y), (end, y))
        device = self.panel.devices[part.device]
        turned = first != part.a and part.conducts is Conducts.ONE_WAY
        svg = symbol(self.panel, device, part)
        turn = ' transform="rotate(180)"' if turned else ""
        box = (middle - HALF, y - RISE, middle + HALF, y + RISE)
        moved = f'<g transform="translate({middle:.1f} {y:.1f})"><g{turn}>{svg}</g></g>'
        self.sheet.shapes.append(Shape(box, moved, part.device, part.index))
        second = part.b if first == part.a else part.a
        self.text(start + 4, y - 3, shown(mark_of(first)), SMALL, "start", "q", mark_of(first))
        self.text(end - 4, y - 3, shown(mark_of(second)), SMALL, "end", "q", mark_of(second))
        if part.index not in row.linked:
            self._name(row, device, part, middle)
        if not self._linked_below(row, part):
            self.text(middle, y + RISE + 9, self._under(part), SMALL, "middle", "x")

    def _linked_below(self, row: Row, part: Part) -> bool:
        number = self.block.rows.index(row)
        if number + 1 == len(self.block.rows) or not is_pole(part):
            return False
        below = self.block.rows[number + 1]
        return any(
            other.device == part.device and other.index in below.linked
            for other in below.chain.parts
        )

    def _name(self, row: Row, device: Device, part: Part, middle: float) -> None:
        lines = part_lines(self.panel, part)
        y = row.y - RISE - 4
        for line in reversed(lines):
            self.text(middle, y, line, SMALL, "middle", "d", device.description)
            y -= 8.5
        self.text(middle, y, shown(device.name), NAME, "middle", "n", device.name)

    def _under(self, part: Part) -> str:
        """Where a contact's coil stands; in which positions a selector's is closed."""
        mechanism = self.panel.mechanisms.get(part.mechanism)
        if mechanism is None or part.conducts is not Conducts.CONTACT:
            return ""
        if mechanism.moved_by_coil:
            for coil in mechanism.coils:
                if place := self.drawing.place_of(self.panel.parts[coil]):
                    return f"coil {place}"
            return "coil not drawn"
        if len(mechanism.resting) > 2:
            closed = [mechanism.positions[at] for at in sorted(part.closed & mechanism.resting)]
            letters = max(6, int(76 / (SMALL * 0.605)))
            return (in_lines("in " + " ".join(closed), letters, 1) or [""])[0]
        if self.panel.devices[part.device].kind == "overload":
            heaters = [
                self.panel.parts[index]
                for index in self.panel.devices[part.device].parts
                if self.panel.parts[index].conducts is Conducts.JOINS
            ]
            places = [place for heater in heaters if (place := self.drawing.place_of(heater))]
            return f"heater {places[0]}" if places else ""
        return ""

    def _contact_list(self, row: Row) -> None:
        """Behind the right rail: each contact that a coil of this rung moves, and where it is."""
        y = row.y - 2
        for contact in row.contacts:
            closed = "opens" if 0 in contact.closed else "closes"
            marks = f"{shown(mark_of(contact.a))}-{shown(mark_of(contact.b))}"
            where = self.drawing.place_of(contact)
            said = f"{ARROW} {where}" if where else "spare"
            self.text(RIGHT + 12, y, f"{marks} {closed} {said}", SMALL, "start", "x")
            y += 8.5

    # ---- terminals, rails, boxes -------------------------------------------------------------

    def _terminal(self, row: Row, at: int, terminal: str) -> None:
        last = len(row.chain.terminals) - 1
        x, y = row.xs[at], row.y
        end = row.left if at == 0 else row.right if at == last else None
        if end is not None and end.tie is not None:
            return
        self.sheet.dots.append(Dot(terminal, x, y))
        name = shown(terminal)
        if end is None:
            both = all(isinstance(link, Wire) for link in row.chain.links[at - 1 : at + 1])
            if both:
                self.text(x + 4, y - 3, name, SMALL, "start", "k", terminal)
        elif end.sort == "rail":
            shift, anchor = (4, "start") if at == 0 else (-4, "end")
            self.text(x + shift, y - 3, name, SMALL, anchor, "k", terminal)
        elif end.sort == "flag" and not self._tied_to(row, at):
            where = self.drawing.elsewhere(terminal, row)
            said = f"{name} {ARROW} {where}" if where else name
            shift, anchor = (-6, "end") if at == 0 else (6, "start")
            self.text(x + shift, y + 2.6, said, SMALL, anchor, "f", terminal)

    def _tied_to(self, row: Row, at: int) -> bool:
        """Whether a rung of the block is tied to this terminal, so that it goes on before us."""
        place = (self.block.rows.index(row), at)
        return any(end.tie == place for other in self.block.rows for end in other.ends)

    def _rails(self, side: str) -> None:
        """A strip's terminals one above the other are one rail, past rungs that keep off it."""
        at, x = (0, LEFT) if side == "left" else (-1, RIGHT)
        upper: Row | None = None
        for row in self.block.rows:
            end = row.left if side == "left" else row.right
            if end.sort == "rail":
                node = self.drawing.nodes[row.chain.terminals[at]]
                if upper is not None and self.drawing.nodes[upper.chain.terminals[at]] == node:
                    self.run("rail", (x, upper.y), (x, row.y))
                upper = row
            elif end.sort != "tie" or abs(row.xs[at] - x) < 1:
                upper = None

    def _links(self, upper: Row, lower: Row) -> None:
        for at, part in enumerate(lower.chain.links):
            if not isinstance(part, Part) or part.index not in lower.linked:
                continue
            x = (lower.xs[at] + lower.xs[at + 1]) / 2
            self.run("link", (x, upper.y + RISE), (x, lower.y - RISE))

    def _boxes(self, side: str) -> None:
        """Rows that end at one device, one under the other, share its box."""
        at = 0 if side == "left" else -1
        group: list[Row] = []
        for row in [*self.block.rows, None]:
            boxed = row is not None and getattr(row, side).sort == "box"
            if group and (
                not boxed
                or row is None
                or device_of(row.chain.terminals[at]) != device_of(group[0].chain.terminals[at])
            ):
                self._box(side, at, group)
                group = []
            if boxed and row is not None:
                group.append(row)

    def _loads(self, device: Device) -> list[Part]:
        return [self.panel.parts[index] for index in device.parts if self.panel.parts[index].load]

    def _box(self, side: str, at: int, rows: list[Row]) -> None:
        device = self.panel.devices[device_of(rows[0].chain.terminals[at])]
        x = LEFT if side == "left" else RIGHT - BOX
        top, bottom = rows[0].y - 15, rows[-1].y + 13
        box = (x, top, x + BOX, bottom)
        svg = f'<rect x="{x:.1f}" y="{top:.1f}" width="{BOX:g}" height="{bottom - top:.1f}"/>'
        self.sheet.shapes.append(Shape(box, svg, device.name))
        widest = 0.0
        for row in rows:
            mark = shown(mark_of(row.chain.terminals[at]))[:8]
            widest = max(widest, text_width(mark, SMALL))
            edge, anchor = (x + BOX - 4, "end") if side == "left" else (x + 4, "start")
            self.text(edge, row.y + 2.6, mark, SMALL, anchor, "q", row.chain.terminals[at])
        room = BOX - widest - 12
        middle = x + room / 2 + 3 if side == "left" else x + BOX - room / 2 - 3
        letters = max(4, int(room / (SMALL * 0.605)))
        most = min(4, max(0, int((bottom - top - 16) / 8.5)))
        lines = in_lines(device.description, letters, most)
        y = (top + bottom) / 2 + 3 - 4.25 * len(lines)
        load = next((part for part in self._loads(device) if part.role in PICTURED), None)
        if load is not None and bottom - top > 34 + 26 + 8.5 * len(lines) and room > 2 * HALF:
            picture = symbol(self.panel, device, load)
            picture = f'<g transform="translate({middle:.1f} {y - 10:.1f})">{picture}</g>'
            self.sheet.shapes[-1] = Shape(box, svg, device.name, None, load.index, picture)
            y += 18
        name = shown(device.name)[: max(4, int(room / (NAME * 0.605)))]
        self.text(middle, y, name, NAME, "middle", "n", device.name)
        for line in lines:
            y += 8.5
            self.text(middle, y, line, SMALL, "middle", "d", device.description)


def _rung(row: Row) -> Rung:
    terminals = frozenset(row.chain.terminals)
    return Rung(
        row.y - row.above,
        row.y + row.below,
        terminals,
        frozenset(device_of(name) for name in terminals if mark_of(name) != "PE"),
        frozenset(wire.index for wire in row.chain.wires),
    )


PICTURED = frozenset(("winding", "element"))
"""Loads whose symbol stands in the box of their device."""


def _wire_style(wire: Wire) -> str:
    colour = wire.properties.colour or ""
    if wire.number == "PE" or colour.startswith("green"):
        return "pe"
    return "field" if wire.cable else ""


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
