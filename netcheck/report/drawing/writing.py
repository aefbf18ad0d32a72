"""What stands on a sheet: each rung of a block as lines, symbols, letters and terminals."""

from __future__ import annotations

from typing import Protocol

from netcheck.model.devices import Conducts, Device, Part, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.report.drawing.chains import is_output
from netcheck.report.drawing.figures import (
    PITCH,
    SMALL,
    WIDE,
    Dot,
    Run,
    Rung,
    Shape,
    Sheet,
    Text,
    cut,
    in_lines,
    text_width,
)
from netcheck.report.drawing.placing import HEAD, Block
from netcheck.report.drawing.rows import (
    BOX,
    CONTACT,
    LEFT,
    RIGHT,
    Place,
    Row,
    closed_in,
    is_pole,
    is_told_under,
    letters_in,
    part_lines,
    shown,
    told_below,
)
from netcheck.report.drawing.symbols import HALF, RISE, symbol

ARROW = "\N{RIGHTWARDS ARROW}"
RAISED = 3.0
"""How far letters stand above their wire."""
LOWERED = 5.0
"""How far under the middle of a line of text its letters stand."""
SYMBOL_ROOM = 2 * HALF + 8


class Where(Protocol):
    """Where parts and terminals stand, on all sheets."""

    panel: Panel
    nodes: dict[str, int]

    def place_of(self, part: Part) -> str: ...

    def elsewhere(self, terminal: str, row: Row) -> str: ...


def write(drawing: Where, sheet: Sheet, block: Block) -> None:
    """Put one block, its rungs numbered and placed, on its sheet."""
    _Writing(drawing, sheet, block).write()


class _Writing:
    """Puts one block on its sheet."""

    def __init__(self, drawing: Where, sheet: Sheet, block: Block) -> None:
        self.drawing, self.sheet, self.block = drawing, sheet, block
        self.panel = drawing.panel
        self.shown = {shape.part for shape in sheet.shapes}

    def write(self) -> None:
        rows = self.block.rows
        top = rows[0].y - rows[0].above - HEAD + PITCH + 4
        title = self.block.title
        most = letters_in(WIDE - LEFT)
        self.text(LEFT - 4, top, cut(title, most), "start", "t", title)
        for row in rows:
            self.text(8, row.y + LOWERED, row.number, "start", "r")
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
        anchor: str = "middle",
        style: str = "",
        whole: str = "",
    ) -> None:
        if text:
            self.sheet.texts.append(Text(x, y, text, SMALL, anchor, style, whole or text))

    def run(self, sort: str, *points: tuple[float, float], wire: Wire | None = None) -> None:
        node = -1 if wire is None else self.drawing.nodes[wire.a]
        style = "" if wire is None else _wire_style(wire, self.block.control)
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
        self._below(row)

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
        self.text(middle, row.y - RAISED, shown(wire.number), "middle", "w", wire.number)

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
        self.text(start + 4, y - RAISED, shown(mark_of(first)), "start", "q", mark_of(first))
        self.text(end - 4, y - RAISED, shown(mark_of(second)), "end", "q", mark_of(second))
        if part.index not in row.linked:
            self._name(row, device, part, middle)
        if not self._linked_below(row, part):
            under = cut(self._under(part), letters_in(end - start - 2))
            self.text(middle, y + RISE + 12, under, "middle", "x")

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
        lines = [] if part is told_below(row) else part_lines(self.panel, part, row.ample)
        y = row.y - RISE - 5
        for line in reversed(lines):
            self.text(middle, y, line, "middle", "d", device.description)
            y -= PITCH
        self.text(middle, y, shown(device.name), "middle", "n", device.name)

    def _under(self, part: Part) -> str:
        """Where a contact's coil stands; in which positions a selector's is closed."""
        mechanism = self.panel.mechanisms.get(part.mechanism)
        if mechanism is None or part.conducts is not Conducts.CONTACT:
            return ""
        if mechanism.moved_by_coil:
            for coil in mechanism.coils:
                if place := self.drawing.place_of(self.panel.parts[coil]):
                    return f"coil {place}"
            return "not drawn"
        if len(mechanism.resting) > 2:
            return f"in {closed_in(self.panel, part)}"
        if self.panel.devices[part.device].kind == "overload":
            heaters = [
                self.panel.parts[index]
                for index in self.panel.devices[part.device].parts
                if self.panel.parts[index].conducts is Conducts.JOINS
            ]
            places = [place for heater in heaters if (place := self.drawing.place_of(heater))]
            return f"heater {places[0]}" if places else ""
        return ""

    def _below(self, row: Row) -> None:
        """Under the end of a rung: what its load is; then each contact that its coils move."""
        load, y = told_below(row), row.y + RISE + 12
        under = any(is_told_under(self.panel, part) for part in row.chain.parts)
        if load is not None:
            at = row.chain.links.index(load)
            words = self.panel.devices[load.device].description
            most = letters_in(row.edge - row.xs[max(0, at - 1)] - 4)
            self.text(row.edge, y, cut(words, most), "end", "d", words)
            under = under or bool(words)
        y += PITCH * under
        for contact in row.contacts:
            said = self._contact(contact)
            self.text(row.edge, y, cut(said, letters_in(CONTACT)), "end", "x", said)
            y += PITCH

    def _contact(self, contact: Part) -> str:
        closed = "opens" if 0 in contact.closed else "closes"
        marks = f"{shown(mark_of(contact.a))}-{shown(mark_of(contact.b))}"
        return f"{marks} {closed} {self.drawing.place_of(contact) or 'spare'}"

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
                self.text(x + 4, y - RAISED, name, "start", "k", terminal)
        elif end.sort == "rail":
            shift, anchor = (4, "start") if at == 0 else (-4, "end")
            self.text(x + shift, y - RAISED, name, anchor, "k", terminal)
        elif end.sort == "flag" and not self._tied_to(row, at):
            where = self.drawing.elsewhere(terminal, row)
            shift, anchor = (-6, "end") if at == 0 else (6, "start")
            self.text(x + shift, y - 2 if where else y + LOWERED, name, anchor, "f", terminal)
            if where:
                self.text(x + shift, y + 12, f"{ARROW} {where}", anchor, "f")

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
        top, bottom = rows[0].y - 17, rows[-1].y + 15
        box = (x, top, x + BOX, bottom)
        svg = f'<rect x="{x:.1f}" y="{top:.1f}" width="{BOX:g}" height="{bottom - top:.1f}"/>'
        frame = len(self.sheet.shapes)
        self.sheet.shapes.append(Shape(box, svg, device.name))
        inner = max(self._entry(side, x, row, row.chain.terminals[at]) for row in rows)
        room = BOX - inner - 8
        middle = x + room / 2 + 3 if side == "left" else x + BOX - room / 2 - 3
        letters = letters_in(room)
        most = min(6, max(0, int((bottom - top - 20) / PITCH)))
        lines = in_lines(device.description, letters, most)
        y = (top + bottom) / 2 + LOWERED - PITCH * len(lines) / 2
        load = next((part for part in self._loads(device) if part.role in PICTURED), None)
        high = bottom - top - PITCH * (len(lines) + 1)
        if load is not None and high > 2 * RISE + 12 and room > 2 * HALF:
            picture = symbol(self.panel, device, load)
            picture = f'<g transform="translate({middle:.1f} {y - 20:.1f})">{picture}</g>'
            self.sheet.shapes[frame] = Shape(box, svg, device.name, None, load.index, picture)
            y += RISE + 5
        self.text(middle, y, shown(device.name)[:letters], "middle", "n", device.name)
        for line in lines:
            y += PITCH
            self.text(middle, y, line, "middle", "d", device.description)

    def _feeds(self, part: Part, terminal: str) -> bool:
        """Whether an output ends there; its other end is what all outputs have in common."""
        other = part.b if part.a == terminal else part.a
        ends = [len(self.panel.parts_at[end]) for end in (terminal, other)]
        return is_output(self.panel, part) and not part.spare and ends[0] < ends[1]

    def _entry(self, side: str, x: float, row: Row, terminal: str) -> float:
        """A terminal at the edge of a box, and the output that feeds it; the room they take."""
        mark = shown(mark_of(terminal))[:8]
        taken = text_width(mark, SMALL) + 4
        edge, inwards = (x + BOX, -1) if side == "left" else (x, 1)
        anchor = "end" if side == "left" else "start"
        self.text(edge + 4 * inwards, row.y + LOWERED, mark, anchor, "q", terminal)
        output = next((one for one in self.panel.parts_at.get(terminal, ())
                       if self._feeds(one, terminal)), None)  # fmt: skip
        if output is None or output.index in self.shown:
            return taken
        self.shown.add(output.index)
        middle = edge + inwards * (taken + HALF + 3)
        svg = symbol(self.panel, self.panel.devices[output.device], output)
        moved = f'<g transform="translate({middle:.1f} {row.y:.1f})"><g>{svg}</g></g>'
        box = (middle - HALF, row.y - 10, middle + HALF, row.y + 10)
        self.sheet.shapes.append(Shape(box, moved, output.device, output.index))
        return taken + SYMBOL_ROOM


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


def _wire_style(wire: Wire, control: bool) -> str:
    colour = wire.properties.colour or ""
    sort = "field" if wire.cable else ""
    if wire.number == "PE" or colour.startswith("green"):
        sort = "pe"
    return sort if control else f"{sort} heavy".strip()
