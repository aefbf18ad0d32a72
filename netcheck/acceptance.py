"""Findings that the text accepts, with its reasons.

An acceptance that has run out accepts nothing; nor does one of a danger that names no day on
which somebody looks again.  One that nothing needs is a finding itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.finding import Accepted, Finding, Mistake, Place, Severity
from netcheck.model.panel import Acceptance, Panel
from netcheck.record import record, replace
from netcheck.rule import Rule


@record
class Judged:
    """What is accepted, what stands, and acceptances that name no rule."""

    accepted: tuple[Accepted, ...]
    kept: tuple[Finding, ...]
    unfit: tuple[Mistake, ...]


def accept(
    panel: Panel, findings: Sequence[Finding], rules: Sequence[Rule], as_of: str = ""
) -> Judged:
    """Part the findings.  `as_of` is today as `2027-01-31`; empty where nothing runs out."""
    names = [rule.name for rule in rules]
    unfit = [
        _no_such_rule(acceptance, names)
        for acceptance in panel.acceptances
        if names and acceptance.rule not in names
    ]
    accepted, kept = [], []
    for finding in findings:
        covering = [one for one in panel.acceptances if _covers(one, finding)]
        holding = next((one for one in covering if not _void(one, finding, as_of)), None)
        if holding is not None:
            accepted.append(Accepted(finding, holding.reason, holding.until))
        else:
            void = (Place(one.span, _void(one, finding, as_of)) for one in covering)
            kept.append(replace(finding, related=(*finding.related, *void)))
    return Judged(tuple(accepted), tuple(kept), tuple(unfit))


def not_needed(
    panel: Panel, findings: Sequence[Finding], rules: Sequence[Rule], unsure: frozenset[str]
) -> Iterator[Finding]:
    """Acceptances that cover nothing found by rules that ran, and left nothing open (`unsure`)."""
    if not panel.acceptances:
        return
    from netcheck.rules.acceptance_that_nothing_needs import unneeded

    ran = {rule.name for rule in rules} - unsure
    for one in panel.acceptances:
        if one.rule in ran and not any(_covers(one, finding) for finding in findings):
            wires = (f"wire {wire}" for wire in one.wires)
            yield unneeded(one.rule, (*one.devices, *wires), one.span)


def void_because(severity: Severity, until: str, as_of: str) -> str:
    """Why an acceptance does not hold; empty where it does."""
    if severity is Severity.DANGER and not until:
        return "a danger is accepted only until a date"
    return f"accepted until {until}, which is past" if until and as_of > until else ""


def _void(acceptance: Acceptance, finding: Finding, as_of: str) -> str:
    return void_because(finding.severity, acceptance.until, as_of)


def _covers(acceptance: Acceptance, finding: Finding) -> bool:
    """Every device and wire it names must be in the finding."""
    return (
        acceptance.rule == finding.rule
        and set(acceptance.devices) <= set(finding.devices)
        and set(acceptance.wires) <= set(finding.wires)
    )


def _no_such_rule(acceptance: Acceptance, names: Sequence[str]) -> Mistake:
    import difflib  # only for a mistake

    near = difflib.get_close_matches(acceptance.rule, names, 1)
    return Mistake(
        f"no rule is called `{acceptance.rule}`",
        Place(acceptance.span),
        f"did you mean `{near[0]}`?" if near else "`netcheck explain` lists them all",
    )
