"""What a change of a panel's text does: to each load, to the drawing, to the findings."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from netcheck.case import Case
from netcheck.finding import SEVERITY_ORDER, Finding, Mistake, Review
from netcheck.loading import Loader
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.order import in_order
from netcheck.reading.project import gather
from netcheck.record import record, replace
from netcheck.register import figures_apart
from netcheck.review import judge
from netcheck.revisions.drawing import Change, changes, drawn_pairs
from netcheck.revisions.loads import LoadChange, Loads, compare_loads, count_of_loads
from netcheck.revisions.pairs import Pairs, pair
from netcheck.revisions.supplies import supply_changes
from netcheck.states.behaviour import Behaviour
from netcheck.text import Source


@record
class FindingChange:
    """A finding that is new, gone or worse; `why` says what is worse."""

    kind: str
    finding: Finding
    why: str = ""


@record
class Read:
    """One text as it was read: its panel, what of it could not be read, what a review says."""

    panel: Panel
    sources: Mapping[str, Source]
    mistakes: tuple[Mistake, ...]
    review: Review
    case: Case


@record
class Comparison:
    """Two texts of one panel, old and new.

    `alone` is "added" or "removed" where there is only one of them; nothing is compared then.
    `left_open` are checks that are open now and were not, in words; `not_compared` says why
    loads were not compared, where they were not.
    """

    name: str
    changes: tuple[Change, ...] = ()
    loads: tuple[LoadChange, ...] = ()
    same_loads: int = 0
    findings: tuple[FindingChange, ...] = ()
    kept: int = 0
    left_open: tuple[str, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    not_compared: str = ""
    alone: str = ""

    @property
    def not_decided(self) -> bool:
        return bool(self.not_compared) or any(load.reason for load in self.loads)

    @property
    def same(self) -> bool:
        """Whether nothing at all has changed but how it is written."""
        told = self.changes or self.loads or self.findings or self.left_open or self.mistakes
        return not (told or self.not_compared or self.alone)


def read(path: str, loader: Loader, as_of: str = "") -> Read:
    """Read and review one text.  Raises CannotLoad."""
    gathered = gather(path, loader)
    panel, found = build_panel(path, gathered)
    mistakes = (*gathered.mistakes, *found)
    case = Case(panel)
    review = judge(panel, mistakes, as_of=as_of, case=case)
    return Read(panel, gathered.sources, mistakes, in_order([review]), case)


def compare(name: str, old: Read | None, new: Read | None) -> Comparison:
    """What the change does.  One of the two may be missing; one and the same has not changed."""
    if old is None or new is None:
        one = new or old
        assert one is not None
        kind = "new" if new else "gone"
        findings = tuple(FindingChange(kind, finding) for finding in one.review.findings)
        return Comparison(
            name, findings=findings, mistakes=one.mistakes, alone="added" if new else "removed"
        )
    if old is new and not old.mistakes:
        kept = len(old.review.findings)
        return Comparison(name, same_loads=count_of_loads(old.panel), kept=kept)
    pairs = pair(old.panel, new.panel)
    found, kept = _findings(pairs, old.review, new.review)
    compared = Comparison(
        name,
        changes(pairs, old.sources, new.sources),
        findings=tuple(found),
        kept=kept,
        left_open=tuple(_left_open(pairs, old.review, new.review)),
        mistakes=(*old.mistakes, *new.mistakes),
    )
    if compared.mistakes:
        return replace(compared, not_compared="a text cannot be read as a whole")
    loads = _loads(pairs, old, new)
    supplied = tuple(supply_changes(pairs, old.case, new.case)) if loads.all else ()
    return replace(
        compared,
        changes=(*supplied, *compared.changes),
        loads=loads.changed,
        same_loads=loads.same,
    )


def _loads(pairs: Pairs, old: Read, new: Read) -> Loads:
    import netcheck.facts.behaviour  # noqa: F401  (says how a behaviour is worked out)

    if not old.panel.devices or not new.panel.devices:
        return Loads((), 0)
    before, now = old.case.conclude(Behaviour), new.case.conclude(Behaviour)
    return compare_loads(before, now, pairs)


# ---- findings ------------------------------------------------------------------------------------


def _findings(pairs: Pairs, old: Review, new: Review) -> tuple[list[FindingChange], int]:
    """New, gone and worse ones, and how many are as they were."""
    names = _old_names(pairs)
    before = {finding.identity: finding for finding in old.findings}
    changed: list[FindingChange] = []
    met: set[str] = set()
    for finding in new.findings:
        known = _renamed(finding, names).identity
        was = before.get(known) or before.get(finding.identity)
        if was is None or was.identity in met:
            changed.append(FindingChange("new", finding))
            continue
        met.add(was.identity)
        if why := _worse(was, finding):
            changed.append(FindingChange("worse", finding, why))
    gone = [FindingChange("gone", one) for key, one in before.items() if key not in met]
    return [*changed, *gone], len(met) - sum(one.kind == "worse" for one in changed)


def _worse(was: Finding, now: Finding) -> str:
    if SEVERITY_ORDER.index(now.severity) < SEVERITY_ORDER.index(was.severity):
        return f"it was a {was.severity.value}"
    return figures_apart(was, now)


def _old_names(pairs: Pairs) -> Mapping[str, str]:
    """What devices and wires of the new panel were called, where that is something else."""
    names = dict(pairs.renamed)
    for old, new in drawn_pairs(pairs):
        if old.number != new.number and old.number and new.number:
            names.setdefault(new.number, old.number)
    return names


def _renamed(finding: Finding, names: Mapping[str, str]) -> Finding:
    def told(words: str) -> str:
        return re.sub(r"[\w.]+", lambda found: names.get(found[0], found[0]), words)

    return replace(
        finding,
        devices=tuple(map(told, finding.devices)),
        wires=tuple(map(told, finding.wires)),
        condition=told(finding.condition),
    )


def _left_open(pairs: Pairs, old: Review, new: Review) -> Iterator[str]:
    """What is not checked or not decided now and was not so before."""
    for kind, before, now in (
        ("not decided", old.not_decided, new.not_decided),
        ("not checked", old.not_checked, new.not_checked),
    ):
        known = {(one.rule, one.reason) for one in before}
        for rule, reason in dict.fromkeys((one.rule, one.reason) for one in now):
            if (rule, reason) not in known:
                yield f"{kind}: {reason} (rule {rule})"
