"""Which rules are asked of a panel, and how much each counts: as its project file and text choose.

A rule's own entry beats its family's, and the text beats the project file.  A text cannot leave
out a rule that finds dangers: a danger is accepted finding by finding, until a day on which
somebody looks again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from netcheck.finding import Finding, Mistake, Place, Severity, SwitchedOff
from netcheck.model.panel import Panel, RuleChoice
from netcheck.reading.near import did_you_mean
from netcheck.record import record, replace
from netcheck.rule import Rule

OFF, ON = "off", "on"


@record
class Chosen:
    """The rules that are asked, with the severities chosen for them; those switched off."""

    asked: tuple[Rule, ...]
    off: tuple[SwitchedOff, ...] = ()
    unfit: tuple[Mistake, ...] = ()

    def of_asked(self, findings: Iterable[Finding]) -> Iterator[Finding]:
        """Findings made outside of a rule's own run, those of rules that are not asked left out."""
        severities = {rule.name: rule.severity for rule in self.asked}
        for finding in findings:
            if finding.rule in severities:
                yield replace(finding, severity=severities[finding.rule])


def chosen(panel: Panel, rules: Sequence[Rule]) -> Chosen:
    """Part the rules by what the panel's settings choose."""
    choices = panel.settings.rules
    if not choices:
        return Chosen(tuple(rules))
    named = {rule.name: rule for rule in rules}
    misfits = {one: mistake for one in choices if (mistake := _unfit(one, named, panel))}
    choices = tuple(one for one in choices if one not in misfits)
    asked: list[Rule] = []
    off: list[SwitchedOff] = []
    for rule in rules:
        switch = _last(choices, rule, (OFF, ON))
        severity = _last(choices, rule, tuple(Severity))
        if switch is not None and switch.choice == OFF:
            off.append(SwitchedOff(rule.name, Place(switch.span), switch.reason))
        elif severity is not None:
            asked.append(replace(rule, severity=Severity(severity.choice)))
        else:
            asked.append(rule)
    return Chosen(tuple(asked), tuple(off), tuple(misfits.values()))


def _last(choices: Sequence[RuleChoice], rule: Rule, among: Sequence[str]) -> RuleChoice | None:
    """The choice that holds: the last of the rule's own, else the last of its family's."""
    fit = [one for one in choices if one.choice in among]
    own = [one for one in fit if not one.of_family and one.name == rule.name]
    whole = [one for one in fit if one.of_family and one.name == rule.family.value]
    held = own or whole
    return held[-1] if held else None


def _unfit(choice: RuleChoice, named: dict[str, Rule], panel: Panel) -> Mistake | None:
    if choice.of_family:
        return None
    rule = named.get(choice.name)
    place = Place(choice.span)
    if rule is None:
        hint = did_you_mean(choice.name, named, "`netcheck explain` lists them all")
        return Mistake(f"no rule is called `{choice.name}`", place, hint)
    if choice.span.path == panel.project_file:
        return None
    if choice.choice == OFF and rule.severity is Severity.DANGER:
        hint = f'accept what it finds, one by one: `accept {rule.name} on ...: "..." until ...`'
        return Mistake(f"`{rule.name}` finds dangers: no text leaves it out", place, hint)
    if not choice.reason:
        hint = 'write it after a comma: `, because "..."`'
        return Mistake("a text that chooses rules gives the reason", place, hint)
    return None
