"""A panel with more than one short in it, which no one fuse or breaker clears."""

from __future__ import annotations

from netcheck.bench.trial import Trial


class SeveralShorts(Trial):
    """Each opens by itself: no more of them than it takes, the smallest ratings that do."""

    def _opened(self, live: list[int]) -> str:
        opened = super()._opened(live)
        needed = [] if opened else self._needed(live)
        if needed:
            self._place(needed[0], 0)
        return needed[0] if needed else opened

    def _needed(self, live: list[int]) -> list[str]:
        """What clears all shorts together, and all of it closed; nothing where nothing does."""
        closed = self._may_clear(live)
        for name in closed:
            self._place(name, 0)
        clears = not self._is_shorted(live)
        needed: list[str] = []
        for name in reversed(closed):
            self._place(name, 1)
            if clears and self._is_shorted(live):
                self._place(name, 0)
                needed.insert(0, name)
        for name in needed:
            self._place(name, 1)
        return needed
