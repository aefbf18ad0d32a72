"""Findings that the text accepts, with its reasons."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.finding import Accepted, Finding, Mistake, Place
from netcheck.model.panel import Acceptance, Panel
from netcheck.rule import Rule


def accept(
    panel: Panel, findings: Sequence[Finding], rules: Sequence[Rule]
) -> tuple[list[Accepted], list[Finding], list[Mistake]]:
    """The accepted findings, those that stand, and acceptances that name no rule."""
    names = [rule.name for rule in rules]
    unfit = [
        _no_such_rule(acceptance, names)
        for acceptance in panel.acceptances
        if names and acceptance.rule not in names
    ]
    accepted, kept = [], []
    for finding in findings:
        match = next((a for a in panel.acceptances if _covers(a, finding)), None)
        if match is None:
            kept.append(finding)
        else:
            accepted.append(Accepted(finding, match.reason, match.until))
    return accepted, kept, unfit


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
