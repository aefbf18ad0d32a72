"""What is still live once these handles are open: the lock-out list asked the other way round."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.bench.isolating import Isolator
from netcheck.model.devices import is_inside
from netcheck.record import record


@record
class StillLive:
    """A device that these `sources` still reach, at these of its points; `volts` are the highest
    there, in words.  `partly`: others of its points are dead."""

    device: str
    location: str
    points: tuple[str, ...]
    partly: bool
    sources: tuple[str, ...]
    volts: str
    highest_v: float


@record
class Opened:
    """With the `handles` open: `live` devices, those of which nothing is live any more, and what
    still gives back to these what it holds."""

    handles: tuple[str, ...]
    live: tuple[StillLive, ...]
    dead: tuple[str, ...]
    stored: tuple[str, ...]
    fuses: tuple[str, ...] = ()
    """Those of the handles that are fuses, taken out."""


def opened(isolator: Isolator, handles: Sequence[str]) -> Opened:
    """By the same walk as a lock-out list: every contact closed, every supply running."""
    before, after = isolator.reach(), isolator.reach(handles)
    live = tuple(_still_live(isolator, handles))
    alive = {one.device for one in live}
    hot = {
        name: [point for point in device.terminals if point in before]
        for name, device in isolator.panel.devices.items()
    }
    dead = tuple(name for name, points in hot.items() if points and name not in alive)
    gone = [point for points in hot.values() for point in points if point not in after]
    stored = tuple(isolator.giving_back(gone, handles))
    fuses = tuple(name for name in handles if isolator.panel.devices[name].kind == "fuse")
    return Opened(tuple(handles), live, dead, stored, fuses)


def _still_live(isolator: Isolator, handles: Sequence[str]) -> Iterator[StillLive]:
    before, after = isolator.reach(), isolator.reach(handles)
    names = dict.fromkeys(source.device for source in isolator.panel.sources)
    for name, device in isolator.panel.devices.items():
        reached = [point for point in device.terminals if point in after]
        points = tuple(point for point in reached if not is_inside(point))
        if not points:
            continue
        sources = {source for point in points for source in after[point]}
        yield StillLive(
            name,
            device.location,
            points,
            any(point in before and point not in after for point in device.terminals),
            tuple(source for source in names if source in sources),
            *isolator.volts_at(points),
        )
