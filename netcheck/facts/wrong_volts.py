"""Loads that get what they are not made for, put together by what causes it.

The cause is the wire or device on the path that no load needs for its right feed.  Loads
wronged alike by one cause belong together.  A load that no state feeds rightly is its own
cause, unless another wronged alike hangs on the same piece that no load needs.

What a short circuit puts on a load has the short's cause, and is left to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.shorts import Shorts
from netcheck.facts.wrongly_fed import WronglyFed, WronglyFedLoads
from netcheck.model.devices import Part
from netcheck.model.wires import Wire
from netcheck.network.traces import reached
from netcheck.record import record
from netcheck.states.expressions import FALSE
from netcheck.states.volts import in_band, kind_of, magnitude, volts_of

MOST_LOOKED_AT = 8
"""Of so many pieces it is looked at whether each alone would open a feed."""


@record
class Wrong:
    """What one cause does to loads; `cause` is None where a load's whole feed is wrong."""

    cause: Wire | Part | None
    victims: tuple[WronglyFed, ...]


@record
class WrongVolts:
    found: tuple[Wrong, ...]
    parts: frozenset[int]
    """Indexes of the loads that get what they are not made for, also by a short circuit."""


@concludes(Behaviour, Shorts, WronglyFedLoads)
def find_wrong_volts(view: View) -> WrongVolts:
    wrongly_fed = view[WronglyFedLoads].found
    shorting = {short.cause for short in view[Shorts].found}
    open_to_blame = wrongly_fed
    if shorting:
        open_to_blame = tuple(
            fed for fed in wrongly_fed if shorting.isdisjoint(passed.by for passed in fed.path)
        )
    found = _Grouping(view[Behaviour]).groups(open_to_blame) if open_to_blame else ()
    return WrongVolts(tuple(found), frozenset(fed.load.index for fed in wrongly_fed))


class _Grouping:
    def __init__(self, behaviour: Behaviour) -> None:
        def closes(part: Part) -> bool:
            return behaviour.closed(part) != FALSE

        def fits(part: Part, kind: str, volts: complex) -> bool:
            return part.load is not None and in_band(volts_of(kind, volts), part.load)

        from netcheck.network.blame import Blame

        self._blame = Blame(behaviour.panel, closes, fits)
        self._behaviour = behaviour
        self._without: dict[tuple[int, str], set[str]] = {}

    def groups(self, wrongly_fed: Iterable[WronglyFed]) -> Iterator[Wrong]:
        """One for each cause, in the order in which its first victim is described."""
        by_cause: dict[tuple[object, ...], tuple[Wire | Part | None, list[WronglyFed]]] = {}
        never_right: list[WronglyFed] = []
        for fed in wrongly_fed:
            if not fed.ever_right:
                never_right.append(fed)
                continue
            causes = [
                one for one, victims in by_cause.values() if _alike(victims[0]) == _alike(fed)
            ]
            cause = self._cause(fed, causes)
            by_cause.setdefault((cause, *_alike(fed)), (cause, []))[1].append(fed)
        for cause, victims in by_cause.values():
            yield Wrong(cause, _once_each(victims))
        yield from self._whole_feeds(never_right)

    def _cause(self, fed: WronglyFed, known: Iterable[Wire | Part | None]) -> Wire | Part | None:
        """One that is known and brings it here too, else what its path is to blame for."""
        for cause in known:
            if cause is not None and self._is_unneeded(cause) and self._brings(cause, fed):
                return cause
        return self._blame.cause(fed.path, fed.cuts.__contains__) if fed.path else None

    def _whole_feeds(self, wrongly_fed: Iterable[WronglyFed]) -> Iterator[Wrong]:
        """Loads that are never fed rightly: alone, or with others behind an unneeded piece."""
        shared: list[tuple[list[WronglyFed], set[Wire | Part]]] = []
        for fed in wrongly_fed:
            for victims, common in shared:
                if _alike(victims[0]) != _alike(fed):
                    continue
                both = self._shared(fed, common)
                if both or _same_load(victims[0], fed):
                    victims.append(fed)
                    if both:
                        common &= both
                    break
            else:
                shared.append(([fed], set(filter(self._is_unneeded, fed.cuts))))
        for victims, common in shared:
            once = _once_each(victims)
            if len(once) == 1:
                yield Wrong(None, once)
                continue
            # Where it comes in: the first piece on the way from the pole that serves only these.
            first = (passed.by for passed in once[0].path if passed.by in common)
            yield Wrong(next(first, None), once)

    def _shared(self, fed: WronglyFed, common: set[Wire | Part]) -> set[Wire | Part]:
        """What of `common` alone would open this feed too; traced only where a look at the
        panel with every contact closed does not tell."""
        if len(common) <= MOST_LOOKED_AT:
            brings = {by for by in common if self._brings(by, fed)}
            if brings:
                return brings
        return common.intersection(fed.cuts)

    def _is_unneeded(self, by: Wire | Part) -> bool:
        return self._blame.needs(by) == 0

    def _brings(self, by: Wire | Part, fed: WronglyFed) -> bool:
        """Whether a load cannot be fed from these poles without it, whatever is closed."""
        ends = zip((fed.load.a, fed.load.b), fed.poles, strict=False)
        return any(end not in self._reached(pole, by) for end, pole in ends)

    def _reached(self, pole: str, without: Wire | Part) -> set[str]:
        key = id(without), pole
        if key not in self._without:
            behaviour = self._behaviour

            def passable(part: Part, forwards: bool) -> bool:
                return behaviour.closed(part) != FALSE

            self._without[key] = reached(behaviour.panel, (pole,), passable, without=without)
        return self._without[key]


def _alike(fed: WronglyFed) -> tuple[object, ...]:
    return fed.fault, kind_of(fed.volts), round(magnitude(fed.volts), 1), fed.hertz


def _same_load(one: WronglyFed, other: WronglyFed) -> bool:
    return one.load.device == other.load.device and one.load.role == other.load.role


def _once_each(victims: Iterable[WronglyFed]) -> tuple[WronglyFed, ...]:
    """Each load once: of a three-phase one its first winding."""
    kept: dict[tuple[str, int | str], WronglyFed] = {}
    for fed in victims:
        assert fed.load.load is not None
        one = fed.load.role if fed.load.load.phases == 3 else fed.load.index
        kept.setdefault((fed.load.device, one), fed)
    return tuple(kept.values())
