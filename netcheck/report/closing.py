"""The counts and the caution that end every report."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.finding import SEVERITY_ORDER, Review, Severity

CAUTION = (
    "A check of a description is no permission to work: lock out, test dead.",
    "Local codes and a licensed electrician or engineer decide.",
)


def counts(review: Review) -> dict[str, int]:
    """Return how many there are of each severity and of everything left open."""
    severities = [finding.severity for finding in review.findings]
    return {severity.value: severities.count(severity) for severity in SEVERITY_ORDER} | {
        "not_checked": len(review.not_checked),
        "not_decided": len(review.not_decided),
        "accepted": len(review.accepted),
        "mistakes": len(review.mistakes),
        "intents_proved": len(review.proved),
        "switched_off": len(review.switched_off),
    }


def closing_line(review: Review) -> str:
    """Return the counts in words: what was found, what was left open, what was not readable.

    Never a word like "safe": a description without findings is only that.
    """
    number = counts(review)
    parts = [_found(review, number), _left_open(review, number)]
    if review.mistakes:
        places = "1 place" if number["mistakes"] == 1 else f"{number['mistakes']} places"
        parts.insert(0, f"cannot read {places}")
    if review.proved:
        intents = "1 intent" if len(review.proved) == 1 else f"{len(review.proved)} intents"
        parts.append(f"{intents} proved")
    if review.passed_over:
        many = len(review.passed_over)
        parts.append(f"{'1 panel' if many == 1 else f'{many} panels'} unchanged and not reviewed")
    parts += switched_off(review)
    line = "; ".join(part for part in parts if part)
    return f"not as drawn ({'; '.join(review.supposed)}): {line}" if review.supposed else line


def switched_off(review: Review) -> Iterator[str]:
    """How many rules were not asked, and by whose choice: `3 rules are switched off by ...`."""
    by: dict[str, int] = {}
    for off in review.switched_off:
        by[off.place.span.path] = by.get(off.place.span.path, 0) + 1
    for path, number in by.items():
        are = "1 rule is" if number == 1 else f"{number} rules are"
        yield f"{are} switched off by {path}"


def _found(review: Review, number: dict[str, int]) -> str:
    if not review.findings:
        checks = "1 check" if review.checks == 1 else f"{review.checks} checks"
        return f"nothing found by {checks}, {number['not_checked']} not checked"
    return ", ".join(counted(number[word], word) for word in SEVERITY_ORDER)


def counted(number: int, severity: Severity) -> str:
    """`1 danger`, `2 queries`."""
    several = {"query": "queries"}.get(severity.value, f"{severity.value}s")
    return f"{number} {severity.value if number == 1 else several}"


def _left_open(review: Review, number: dict[str, int]) -> str:
    shown = [f"{number[key]} {key.replace('_', ' ')}" for key in ("not_decided", "accepted")]
    if review.findings:
        shown.insert(0, f"{number['not_checked']} not checked")
    elif not review.not_decided and not review.accepted:
        return ""
    return ", ".join(shown)
