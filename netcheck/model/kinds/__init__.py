"""The kinds of device that a text may name: what may be said of each, and what it is made of.

Each module holds the kinds of one sort; `KINDS` lists them all by their words.
"""

from netcheck.model.kinds import electronics as electronics
from netcheck.model.kinds import generic as generic
from netcheck.model.kinds import loads as loads
from netcheck.model.kinds import monitors as monitors
from netcheck.model.kinds import passive as passive
from netcheck.model.kinds import protection as protection
from netcheck.model.kinds import relays as relays
from netcheck.model.kinds import safety as safety
from netcheck.model.kinds import sources as sources
from netcheck.model.kinds import supplies as supplies
from netcheck.model.kinds import switches as switches
from netcheck.model.kinds import terminals as terminals
from netcheck.model.kinds import transformers as transformers
from netcheck.model.maker import Kind

KINDS: dict[str, Kind] = {
    kind.words: kind
    for module in (
        sources,
        supplies,
        transformers,
        protection,
        switches,
        relays,
        electronics,
        safety,
        loads,
        monitors,
        passive,
        terminals,
        generic,
    )
    for kind in module.KINDS
}
