"""What a review says: findings, and what it could not check or decide.

A finding proves itself: its place, the state that shows it, the path traced,
the arithmetic with the table row each figure came from, and on whose word.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from netcheck.record import fresh, record, replace
from netcheck.text import Span


class Severity(StrEnum):
    """How bad, worst first: people or fire; will not work or breaks a rule; look at it."""

    DANGER = "danger"
    DEFECT = "defect"
    QUERY = "query"


SEVERITY_ORDER = tuple(Severity)


class Family(StrEnum):
    """The five families of the product's promise, and the rest of a plan check."""

    MISSING_LOAD = "missing load"
    OPEN_PATH = "open path"
    MISMATCHED_VOLTAGE = "mismatched voltage"
    UNDERSIZED_CONDUCTOR = "undersized conductor"
    UNPROTECTED_BRANCH = "unprotected branch"
    GROUNDING = "grounding"
    CONTROL_SAFETY = "control safety"
    SNEAK_PATH = "sneak path"
    SUPPLY = "supply"
    DEVICE = "device"
    DRAWING = "drawing"
    INTENT = "intent"


class ReferenceKind(StrEnum):
    """Whose word a rule or a figure rests on."""

    STANDARD = "standard"
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"


@record
class Reference:
    """The source of a rule: standard and section, or plainly that there is none."""

    text: str
    kind: ReferenceKind


@record
class Place:
    """Words in the text, and what they have to do with the finding."""

    span: Span
    label: str = ""


@record
class PathStep:
    """One terminal of a traced path, and what leads on from it.

    `at` is a terminal (`PS1:+`), `by` what is passed next (`wire 201`, `S1 11-12`,
    empty at the end); `here` marks the spot the reader should look at.
    """

    at: str
    by: str = ""
    here: bool = False


@record
class Working:
    """One step of arithmetic: what, its value and unit, and the table row or rule it came from."""

    what: str
    value: float | str
    unit: str
    source: str
    confirmed: bool = True


@record
class Finding:
    """One fault.  A rule fills it in; the runner stamps rule, family, severity and reference.

    `condition` is the part of the identity that tells two findings of one rule on
    the same devices apart in words; `ordinal` tells them apart when even that is equal.
    """

    message: str
    place: Place
    devices: tuple[str, ...] = ()
    wires: tuple[str, ...] = ()
    condition: str = ""
    related: tuple[Place, ...] = ()
    live: str = ""
    state: Mapping[str, str] = fresh(factory=dict)
    steps: tuple[str, ...] = ()
    path: tuple[PathStep, ...] = ()
    working: tuple[Working, ...] = ()
    assumed: tuple[str, ...] = ()
    help: str = ""
    rule: str = ""
    family: Family = Family.DRAWING
    severity: Severity = Severity.QUERY
    reference: Reference = Reference("", ReferenceKind.COMMON_PRACTICE)
    ordinal: int = 1

    @property
    def identity(self) -> str:
        """Rule, devices, condition, ordinal; never line, message or computed number."""
        parts = [self.rule, " ".join(sorted(set(self.devices + self.wires)))]
        if self.condition:
            parts.append(self.condition)
        if self.ordinal > 1:
            parts.append(str(self.ordinal))
        return " | ".join(parts)

    def with_ordinal(self, ordinal: int) -> Finding:
        return replace(self, ordinal=ordinal)


@record
class NotChecked:
    """A check that lacked data.  Never a pass.

    `cause` says in words what all of `wires` lack (`no size said`): whatever rules lack the
    same, and whatever lacks the same wires, becomes one outcome (`one_cause.py`), and `also`
    are the rules beside the first.
    """

    reason: str
    place: Place
    devices: tuple[str, ...] = ()
    rule: str = ""
    wires: tuple[str, ...] = ()
    cause: str = ""
    also: tuple[str, ...] = ()

    @property
    def rules(self) -> tuple[str, ...]:
        """Every rule that could not be checked."""
        return (self.rule, *self.also)


@record
class NotDecided:
    """A proof that did not finish, or a question the engine cannot answer yet.  Never a pass."""

    reason: str
    place: Place
    devices: tuple[str, ...] = ()
    path: tuple[PathStep, ...] = ()
    rule: str = ""


@record
class Mistake:
    """Text that could not be understood: what was met, what would fit, a near name."""

    message: str
    place: Place
    help: str = ""
    related: tuple[Place, ...] = ()


@record
class Proved:
    """An intent of the text that was proved to hold, and under what proviso."""

    what: str
    place: Place
    rule: str = ""


@record
class Calculation:
    """One line of a calculation sheet, whether it holds or not: `needed` against `allowed`.

    `about` is the heading it belongs under; `holds` is None where one of the two is not known,
    or more was asked for than was looked at, and `why` then says so.
    """

    about: str
    what: str
    needed: float | None
    allowed: float | None
    unit: str
    holds: bool | None
    working: tuple[Working, ...] = ()
    why: str = ""


Outcome = Finding | NotChecked | NotDecided | Proved


@record
class Accepted:
    """A finding the panel's text accepts, with the reason given there."""

    finding: Finding
    reason: str
    until: str = ""


@record
class SwitchedOff:
    """A rule that was not asked, for a project file or the text chose so; where, and why."""

    rule: str
    place: Place
    reason: str = ""


@record
class Review:
    """Everything one run has to say, in its final order."""

    findings: tuple[Finding, ...] = ()
    not_checked: tuple[NotChecked, ...] = ()
    not_decided: tuple[NotDecided, ...] = ()
    accepted: tuple[Accepted, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    assumed: tuple[str, ...] = ()
    panels: tuple[str, ...] = ()
    checks: int = 0
    proved: tuple[Proved, ...] = ()
    supposed: tuple[str, ...] = ()
    """What was supposed beside the text: with it, this is not the panel as drawn."""
    failures: tuple[str, ...] = ()
    """Rules that broke, in the program's own words; each is also not decided."""
    clean: tuple[str, ...] = ()
    """The panels of which nothing at all was said, not even that something was left open."""
    calculations: tuple[tuple[str, tuple[Calculation, ...]], ...] = ()
    """By panel the calculation sheet, where one was asked for."""
    passed_over: tuple[str, ...] = ()
    """Panels that were asked for and not reviewed, for they read as they did before."""
    switched_off: tuple[SwitchedOff, ...] = ()
    """Rules that were not asked of a panel.  Never a pass."""
