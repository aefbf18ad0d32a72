"""What a change of a panel's text does: to each load, to the drawing, to the findings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from netcheck.case import Case
from netcheck.finding import Mistake, Review
from netcheck.loading import Loader
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.order import in_order
from netcheck.reading.project import Gathered, gather
from netcheck.record import record, replace
from netcheck.review import judge
from netcheck.revisions.changes import Change
from netcheck.revisions.drawing import changes
from netcheck.revisions.findings import (
    GONE,
    NEW,
    FindingChange,
    FindingChanges,
    finding_changes,
    left_open,
    of_one_side,
)
from netcheck.revisions.loads import LoadChange, Loads, compare_loads, count_of_loads
from netcheck.revisions.pairs import Pairs, pair
from netcheck.revisions.supplies import supply_changes
from netcheck.states.behaviour import Behaviour
from netcheck.text import Source


@record
class Read:
    """One text as it was read: its panel, what of it could not be read, what a review says.

    The review knows of more mistakes than these: acceptances of a rule that there is not.
    """

    panel: Panel
    sources: Mapping[str, Source]
    mistakes: tuple[Mistake, ...]
    review: Review
    case: Case


@record
class Comparison:
    """Two texts of one panel, old and new.

    `alone` is "added" or "removed" where there is only one of them; nothing is compared then.
    `kept` findings stand as they did, `accepted` ones are accepted now; `failures` are netcheck's.
    `left_open` are checks that are open now and were not, in words; `not_compared` says why
    loads were not compared, where they were not.
    """

    name: str
    changes: tuple[Change, ...] = ()
    loads: tuple[LoadChange, ...] = ()
    same_loads: int = 0
    findings: tuple[FindingChange, ...] = ()
    kept: int = 0
    accepted: int = 0
    left_open: tuple[str, ...] = ()
    mistakes_before: tuple[Mistake, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    failures: tuple[str, ...] = ()
    not_compared: str = ""
    alone: str = ""

    @property
    def not_decided(self) -> bool:
        return bool(self.not_compared) or any(load.reason for load in self.loads)

    @property
    def same(self) -> bool:
        """Whether nothing at all has changed but how it is written."""
        told = self.changes or self.loads or self.findings or self.left_open
        return not (told or self.unread or self.failures or self.not_compared or self.alone)

    @property
    def unread(self) -> bool:
        """Whether one of the texts, or a part of it, could not be read."""
        return bool(self.mistakes_before or self.mistakes)


def read(
    path: str,
    loader: Loader,
    as_of: str = "",
    changing: Callable[[Gathered], None] = lambda gathered: None,
) -> Read:
    """Read and review one text, `changing` what it says before.  Raises CannotLoad."""
    gathered = gather(path, loader)
    changing(gathered)
    panel, found = build_panel(path, gathered)
    mistakes = (*gathered.mistakes, *found)
    case = Case(panel)
    review = judge(panel, mistakes, as_of=as_of, case=case)
    return Read(panel, gathered.sources, mistakes, in_order([review]), case)


def compare(name: str, old: Read | None, new: Read | None, was: str = "") -> Comparison:
    """What the change does.  One of the two may be missing; one and the same has not changed.

    `was` is what the file was called, if that is something else.
    """
    if old is None or new is None:
        return _alone(name, old, new)
    if old is new and not (old.review.mistakes or old.review.failures):
        kept, accepted = len(old.review.findings), len(old.review.accepted)
        loads = count_of_loads(old.panel)
        return Comparison(name, same_loads=loads, kept=kept, accepted=accepted)
    pairs = pair(old.panel, new.panel)
    compared = replace(
        _reviewed(name, finding_changes(pairs, old.review, new.review), old.review, new.review),
        changes=(*_file_renamed(name, was), *changes(pairs, old.sources, new.sources)),
        left_open=tuple(left_open(pairs, old.review, new.review)),
    )
    if old.mistakes or new.mistakes:
        return replace(compared, not_compared="a text cannot be read as a whole")
    held = _loads(pairs, old, new)
    supplied = tuple(supply_changes(pairs, old.case, new.case)) if held.all else ()
    return replace(
        compared,
        changes=(*supplied, *compared.changes),
        loads=held.changed,
        same_loads=held.same,
    )


def _alone(name: str, old: Read | None, new: Read | None) -> Comparison:
    """What is to be said where there is one text only."""
    before, now = (one.review if one else Review() for one in (old, new))
    found = of_one_side(now, NEW) if new else of_one_side(before, GONE)
    return replace(_reviewed(name, found, before, now), alone="added" if new else "removed")


def _reviewed(name: str, found: FindingChanges, old: Review, new: Review) -> Comparison:
    """What two reviews say, of a comparison that says nothing else yet."""
    return Comparison(
        name,
        findings=found.changed,
        kept=found.kept,
        accepted=found.accepted,
        mistakes_before=old.mistakes,
        mistakes=new.mistakes,
        failures=(*old.failures, *new.failures),
    )


def _file_renamed(name: str, was: str) -> Iterator[Change]:
    if was and was != name:
        yield Change("file", "renamed", name, was, name)


def _loads(pairs: Pairs, old: Read, new: Read) -> Loads:
    import netcheck.facts.behaviour  # noqa: F401  (says how a behaviour is worked out)

    if not old.panel.devices or not new.panel.devices:
        return Loads((), 0)
    before, now = old.case.conclude(Behaviour), new.case.conclude(Behaviour)
    return compare_loads(before, now, pairs)
