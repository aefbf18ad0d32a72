"""What a change does to the findings: new ones, worse ones, accepted ones, those that are gone."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from netcheck.finding import SEVERITY_ORDER, Finding, Review, Severity
from netcheck.record import record, replace
from netcheck.register import figures_apart, figures_of, first_apart
from netcheck.revisions.pairs import Pairs
from netcheck.revisions.wires import wire_pairs

NEW, WORSE, FIGURES, MILDER = "new", "worse", "other figures", "milder"
ACCEPTED, REOPENED, GONE = "accepted", "no longer accepted", "gone"
KINDS = (NEW, WORSE, REOPENED, FIGURES, MILDER, ACCEPTED, GONE)
"""Other figures are told as such where it is not known which way they are worse."""

ASKS_TOO_MUCH = frozenset(
    (
        "contact beyond its rated current",
        "inrush beyond its contact",
        "protection too small for its load",
        "supply overloaded",
        "undersized conductor",
        "voltage drop too large",
    )
)
"""Rules by which more is asked than is given."""
ASKED = ("current", "full-load current", "inrush", "lost", "must be good for", "continuous")
GIVEN = ("ampacity", "ambient factor", "at the terminals", "bundling factor")
"""How figures of theirs begin that are worse for being more, and for being less."""


@record
class FindingChange:
    """A finding that is another than before, by one of `KINDS`; `why` says what differs, or
    with which reason it is accepted."""

    kind: str
    finding: Finding
    why: str = ""

    @property
    def is_against_the_change(self) -> bool:
        """Whether there is more to look at than before, or something that may be more."""
        return self.kind in (NEW, WORSE, REOPENED, FIGURES)


@record
class FindingChanges:
    """Those that changed, an accepted danger first; how many stand as they did; how many are
    accepted now, as before or newly."""

    changed: tuple[FindingChange, ...] = ()
    kept: int = 0
    accepted: int = 0


@record
class _Known:
    """A finding of one side; `accepted` is the reason it is accepted with, if it is."""

    finding: Finding
    accepted: str = ""


def left_open(pairs: Pairs, old: Review, new: Review) -> Iterator[str]:
    """What is not checked or not decided now and was not so before, in words."""
    names = _old_names(pairs)
    for kind, before, now in (
        ("not decided", old.not_decided, new.not_decided),
        ("not checked", old.not_checked, new.not_checked),
    ):
        known = {(one.rule, one.reason) for one in before}
        for rule, reason in dict.fromkeys((one.rule, one.reason) for one in now):
            if not known & {(rule, reason), (rule, _under(names, reason))}:
                yield f"{kind}: {reason} (rule {rule})"


def finding_changes(pairs: Pairs, old: Review, new: Review) -> FindingChanges:
    """Hold the findings of two reviews against each other, renamed devices under one name."""
    names = _old_names(pairs)
    before = {one.finding.identity: one for one in _known(old)}
    changed: list[FindingChange] = []
    met: set[str] = set()
    kept = 0
    for now in _known(new):
        was = before.get(_renamed(now.finding, names).identity) or before.get(now.finding.identity)
        if was is not None and was.finding.identity in met:
            was = None
        if was is not None:
            met.add(was.finding.identity)
        change = _change(was, now)
        changed += [change] if change else []
        kept += change is None and not now.accepted
    changed += [FindingChange(GONE, one.finding) for key, one in before.items() if key not in met]
    return FindingChanges(_accepted_dangers_first(changed), kept, len(new.accepted))


def of_one_side(review: Review, kind: str) -> FindingChanges:
    """The findings of a panel that the other side does not have: all `NEW`, or all `GONE`."""
    changed = [
        FindingChange(ACCEPTED if one.accepted and kind == NEW else kind, one.finding, one.accepted)
        for one in _known(review)
    ]
    accepted = len(review.accepted) if kind == NEW else 0
    return FindingChanges(_accepted_dangers_first(changed), accepted=accepted)


def _known(review: Review) -> Iterator[_Known]:
    yield from map(_Known, review.findings)
    for one in review.accepted:
        until = f" (until {one.until})" if one.until else ""
        yield _Known(one.finding, f"{one.reason}{until}")


def _change(was: _Known | None, now: _Known) -> FindingChange | None:
    """None where all is as it was."""
    if was is None:
        return FindingChange(ACCEPTED if now.accepted else NEW, now.finding, now.accepted)
    kind, why = difference(was.finding, now.finding)
    if now.accepted:
        told = why or was.accepted != now.accepted
        why = "; ".join(filter(None, (why, now.accepted)))
        return FindingChange(ACCEPTED, now.finding, why) if told else None
    if was.accepted:
        return FindingChange(REOPENED, now.finding, why)
    return FindingChange(kind, now.finding, why) if why else None


def difference(was: Finding, now: Finding) -> tuple[str, str]:
    """The kind of difference between two findings of one fault, and what it is; "" for none."""
    more = SEVERITY_ORDER.index(was.severity) - SEVERITY_ORDER.index(now.severity)
    if more:
        return WORSE if more > 0 else MILDER, f"it was a {was.severity.value}"
    before, after = figures_of(was), figures_of(now)
    apart = figures_apart(before, after)
    worse = {_is_worse(now.rule, what, after[what] > before[what]) for what in apart}
    kind = WORSE if worse == {True} else MILDER if worse == {False} else FIGURES
    return kind, first_apart(before, after)


def _is_worse(rule: str, what: str, more: bool) -> bool | None:
    """Whether a figure that is more, or less, is for the worse; None where that is not known."""
    if rule not in ASKS_TOO_MUCH or not what.startswith((*ASKED, *GIVEN)):
        return None
    return more if what.startswith(ASKED) else not more


def _accepted_dangers_first(changed: Sequence[FindingChange]) -> tuple[FindingChange, ...]:
    def comes_later(one: FindingChange) -> bool:
        return one.kind != ACCEPTED or one.finding.severity is not Severity.DANGER

    return tuple(sorted(changed, key=comes_later))


# ---- under old names -----------------------------------------------------------------------------


def _old_names(pairs: Pairs) -> Mapping[str, str]:
    """What devices and wires of the new panel were called, where that is something else."""
    names = dict(pairs.renamed)
    for old, new in wire_pairs(pairs):
        if old.number != new.number and old.number and new.number:
            names.setdefault(new.number, old.number)
    return names


def _renamed(finding: Finding, names: Mapping[str, str]) -> Finding:
    return replace(
        finding,
        devices=tuple(_under(names, name) for name in finding.devices),
        wires=tuple(_under(names, name) for name in finding.wires),
        condition=_under(names, finding.condition),
    )


def _under(names: Mapping[str, str], words: str) -> str:
    return re.sub(r"[\w.]+", lambda found: names.get(found[0], found[0]), words)
