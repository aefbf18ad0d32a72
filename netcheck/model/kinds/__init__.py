"""The kinds of device that a text may name: what may be said of each, and what it is made of.

Each module holds the kinds of one sort; `KINDS` lists them all by their words.
"""

from netcheck.model.kinds import (
    electronics,
    generic,
    loads,
    passive,
    protection,
    relays,
    sources,
    switches,
    terminals,
)
from netcheck.model.maker import Kind

KINDS: dict[str, Kind] = {
    kind.words: kind
    for module in (
        sources,
        protection,
        switches,
        relays,
        electronics,
        loads,
        passive,
        terminals,
        generic,
    )
    for kind in module.KINDS
}
