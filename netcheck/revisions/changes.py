"""One difference between two texts of a panel."""

from __future__ import annotations

from netcheck.record import record


@record
class Change:
    """Of what sort of thing, what became of it, its name, and how it reads.

    `kind` is added, removed, renamed, renumbered, re-routed or changed; `before` and `after`
    are empty where there is nothing of it.
    """

    of: str
    kind: str
    name: str
    before: str = ""
    after: str = ""
