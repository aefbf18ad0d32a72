"""What does not stop was started first: a relay that holds itself is in, though nothing that is
seen to be pressed let it in.

At rest it is out, so that only a weld would be suspected; a stop contact that sticks, or a wire
round it, keeps in what has been started.  Where the sound panel holds the load by itself, it is
looked at as if what starts it were held: then its own contact and the button are closed alike.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from netcheck.bench.energising import energise
from netcheck.bench.observations import Symptom
from netcheck.bench.said_otherwise import plainly
from netcheck.bench.sound import Sound
from netcheck.bench.standing import Standing, settled
from netcheck.bench.to_be_on import load_of
from netcheck.model.devices import Mechanism, Part
from netcheck.model.let_go import let_go
from netcheck.model.panel import Panel
from netcheck.model.supposed import position_in_words
from netcheck.record import replace

STAYS = (
    "does not stop", "does not drop out", "stays on", "stays in",
    "does not close", "does not shut", "stays open",
)  # fmt: skip
"""Said of what has been started; what `starts by itself` or `is on` has not."""

_UNTIL = re.compile(r" (?:with|when|once|after|as soon as) ")


def once_started(sound: Sound, one: Symptom) -> Symptom:
    """The same with what starts it held; itself where nothing holds it, or nothing stops it."""
    load = load_of(sound.panel, one.device)
    does = _UNTIL.split(one.words)[0].partition(" ")[2]
    if not one.on or load is None or plainly(does) not in STAYS:
        return one
    if sound.standing(one.withs).is_energised(load):
        return one
    put = dict(_put(sound.panel, one.withs))
    started = [
        (words, mechanism, position)
        for words in energise(sound.standing(), load).moves
        for mechanism, position in [position_in_words(sound.panel, words)]
        if mechanism.name not in put
    ]
    moves = [(mechanism, position) for _, mechanism, position in started]
    withs = (*one.withs, *(words for words, _, _ in started))
    if not moves or not _holds_itself(sound.standing(), load, moves):
        return one
    return one if sound.standing(withs).is_energised(load) else replace(one, withs=withs)


def _put(panel: Panel, withs: tuple[str, ...]) -> Iterator[tuple[str, int]]:
    for words in withs:
        mechanism, position = position_in_words(panel, words)
        yield mechanism.name, position


def _holds_itself(standing: Standing, load: Part, moves: list[tuple[Mechanism, int]]) -> bool:
    """Whether it stays on once all that springs back is let go again."""
    buttons = {
        mechanism.name: rest
        for mechanism, _ in moves
        if (rest := let_go(standing.panel, mechanism)) is not None
    }
    for mechanism, position in moves:
        standing = settled(standing, {mechanism.name: position})
    on = standing.is_energised(load)
    after = settled(standing, buttons)
    return bool(buttons) and on and not after.restless and after.is_energised(load)
