"""Where the path of one dead load is broken, told as a technician traces it."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from netcheck.model.devices import Part
from netcheck.record import record

if TYPE_CHECKING:
    from netcheck.finding import PathStep
    from netcheck.model.wires import Wire


class Kind(StrEnum):
    """What stands between the source's side and home."""

    NO_WIRE = "nothing is wired"
    ON_GROUND = "only the grounding conductor, which leads to no pole"
    BOTH_ENDS = "both ends on one node"
    ONE_POLE = "one pole only"
    OTHER_SOURCE = "a pole of another source"
    CONTACTS = "contacts never closed together"
    ONE_WAY = "a part that conducts the other way"
    WAITING = "a contact that waits for the load itself"
    NO_SOURCE = "no source is described"
    NOT_SHOWN = "no reachable state closes the path"


@record
class Break:
    """One break.  `key` is equal for loads broken by the same cause, `also` keys of others
    that would explain it.

    `last` is the last terminal reached from the source's side, `first` the first from
    home; `home` says which of the two conductors is missing.  `poles` are those met or
    missed; `parts` the contacts concerned; `cut_off` the terminals that lead to no pole;
    `at` is what to point at in the text.
    """

    kind: Kind
    key: tuple[object, ...]
    at: Wire | Part
    path: tuple[PathStep, ...] = ()
    last: str = ""
    first: str = ""
    home: bool = True
    poles: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    number: str = ""
    cut_off: frozenset[str] = frozenset()
    also: tuple[tuple[object, ...], ...] = ()
