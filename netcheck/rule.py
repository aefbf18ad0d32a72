"""What a rule is.  A file in `netcheck/rules` is a rule, and its name the fault's name."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from functools import cache

from netcheck.case import Case, View
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Proved,
    Reference,
    ReferenceKind,
    Severity,
)
from netcheck.record import record, replace

Check = Callable[[View], Iterator[Outcome]]


@record
class Rule:
    """One rule: what it finds, why it matters, on whose word, and the function that looks."""

    name: str
    family: Family
    severity: Severity
    summary: str
    why: str
    reference: Reference
    doc: str
    requires: tuple[type, ...]
    check: Check

    def outcomes(self, case: Case) -> Iterator[Outcome]:
        """All that the rule has to say of a case, stamped with its name."""
        for outcome in self.check(case.view(self.requires)):
            if isinstance(outcome, (NotChecked, NotDecided, Proved)):
                yield replace(outcome, rule=self.name)
            else:
                yield self._stamped(outcome)

    def _stamped(self, finding: Finding) -> Finding:
        reference = finding.reference if finding.reference.text else self.reference
        return replace(
            finding,
            rule=self.name,
            family=self.family,
            severity=self.severity,
            reference=reference,
        )


def rule(
    *,
    family: Family,
    severity: Severity,
    summary: str,
    why: str,
    source: str,
    kind: ReferenceKind,
    requires: tuple[type, ...] = (),
) -> Callable[[Check], Rule]:
    """Declares a rule; its name is the name of the file it stands in."""

    def declare(check: Check) -> Rule:
        module = check.__module__
        return Rule(
            module.rpartition(".")[2].replace("_", " "),
            family,
            severity,
            summary,
            why,
            Reference(source, kind),
            importlib.import_module(module).__doc__ or "",
            requires,
            check,
        )

    return declare


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, by family and name."""
    package = importlib.import_module("netcheck.rules")
    found = []
    for module in pkgutil.iter_modules(package.__path__):
        loaded = importlib.import_module(f"netcheck.rules.{module.name}")
        found.append(loaded.find)
    families = list(Family)
    return tuple(sorted(found, key=lambda rule: (families.index(rule.family), rule.name)))
