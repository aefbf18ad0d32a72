"""Which rungs stand on which sheet, and how high: sheets are filled, the last as far as it goes."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from netcheck.report.drawing.figures import Sheet
from netcheck.report.drawing.placing import GOES_ON, HEAD, Block

TALL = 750.0
"""How high a sheet is: with its width as letter and A4 lie, their margins left out."""
LOW = 240.0
"""How high the last one is at least."""
TOP = 6.0
FOOT = 44.0
"""What the title at the foot takes."""
ROOM = TALL - TOP - FOOT
REACH = 5
"""A circuit may fill up one of so many sheets before."""
AIR = 22.0
"""How much further apart rungs are drawn where a sheet has room."""

Filled = tuple[Sheet, list[Block]]


def filled_sheets(blocks: Sequence[Block]) -> list[Filled]:
    """The blocks in their order, as far as that fills sheets, numbered and stacked."""
    parted: list[list[Block]] = []
    todo = deque(blocks)
    while todo:
        block = todo.popleft()
        reach = 1 if block.title.endswith(GOES_ON) else REACH
        room = next((one for one in parted[-reach:] if block.height <= _room(one)), None)
        if room is not None:
            room.append(block)
            continue
        cut = block.cut(_room(parted[-1])) if parted else None
        if cut is None:
            parted.append([])
            cut = block.cut(ROOM) if block.height > ROOM else None
        parted[-1].append(cut[0] if cut else block)
        if cut:
            todo.appendleft(cut[1])
    filled = [(Sheet(number, _title(one), TALL), one) for number, one in enumerate(parted, 1)]
    for sheet, one in filled:
        _stack(sheet, one)
    if filled:
        last, stacked = filled[-1]
        lowest = stacked[-1].rows[-1]
        last.height = max(LOW, min(TALL, lowest.y + lowest.below + FOOT))
    return filled


def _room(blocks: Sequence[Block]) -> float:
    return ROOM - sum(block.height for block in blocks)


def _title(blocks: Sequence[Block]) -> str:
    sorts = {block.control for block in blocks}
    if len(sorts) == 2:
        return "Power, supplies and control"
    return "Control" if True in sorts else "Power and supplies"


def _stack(sheet: Sheet, blocks: Sequence[Block]) -> None:
    """Number the rungs of a sheet and give each its height; what room is left goes between."""
    air = max(0.0, min(AIR, _room(blocks) / sum(len(block.rows) for block in blocks)))
    y, count = TOP, 0
    for block in blocks:
        y += HEAD
        for row in block.rows:
            count += 1
            row.number = f"{sheet.number}.{count:02d}"
            row.y = y + row.above
            y += row.above + row.below + air
    sheet.height = max(TALL, y - air + FOOT)
