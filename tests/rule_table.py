"""The rules by family: on whose word each speaks, and how many samples hold it.

    python -m tests.rule_table      prints the table, then reviews every sound panel

Faults are samples in which the rule must speak, sound ones panels in which a naive check in its
place would.  A false alarm is any finding in a sound panel, and the command then ends with 1.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from netcheck.cli.explain import sound_for
from netcheck.finding import Reference, ReferenceKind
from netcheck.review import review
from netcheck.rule import all_rules
from netcheck.text import Source
from tests.annotated import FINDING, Texts, expected_of

SAMPLES = Path(__file__).parents[1] / "samples"
SECOND_HAND = "second-hand"


@dataclass(frozen=True, slots=True)
class Row:
    """One rule: its family, its source's kind, and the number of its samples of either sort."""

    family: str
    rule: str
    source: str
    faults: int
    sound: int


def texts_of(folder: str) -> dict[str, str]:
    """Path below `samples/` to text, of every panel below a folder."""
    return {
        path.relative_to(SAMPLES).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted((SAMPLES / folder).rglob("*.panel"))
    }


def source_kind(reference: Reference) -> str:
    """Whether the words or the table of a standard were read on a page that reproduces them, or
    somebody else's word about it, or none: nobody here read a standard itself."""
    read_by_others = reference.kind is ReferenceKind.STANDARD and SECOND_HAND in reference.text
    return f"standard, {SECOND_HAND}" if read_by_others else reference.kind.value


def rows() -> list[Row]:
    """Every rule, family by family."""
    faults = Counter(
        rule
        for path, text in texts_of("faults").items()
        for rule in {one.rule for one in expected_of([Source(path, text)]) if one.kind == FINDING}
    )
    sound = Counter(rule for text in texts_of("sound").values() for rule in sound_for(text))
    return [
        Row(
            rule.family.value,
            rule.name,
            source_kind(rule.reference),
            faults[rule.name],
            sound[rule.name],
        )
        for rule in all_rules()
    ]


def false_alarms(texts: Mapping[str, str]) -> Iterator[str]:
    """Every finding in panels that are sound, as `file:line: rule`."""
    for path in texts:
        found, _ = review([path], Texts(texts))
        for finding in found.findings:
            yield f"{finding.place.span.path}:{finding.place.span.line}: {finding.rule}"


def table(told: Iterable[Row]) -> str:
    """The rows as lines, with the sums of each family and of all."""
    told = list(told)
    lines = [f"{'':48}{'faults':>6}  {'sound':>5}  source"]
    for family, of_family in groupby(told, key=lambda row: row.family):
        members = list(of_family)
        lines += ["", _line(f"{family} ({len(members)})", members, "")]
        lines += [_line(f"  {row.rule}", [row], row.source) for row in members]
    kinds = Counter(row.source for row in told)
    lines += ["", _line(f"all ({len(told)})", told, "")]
    lines += [f"  {count:3} {kind}" for kind, count in kinds.most_common()]
    return "\n".join(lines)


def _line(name: str, members: Iterable[Row], source: str) -> str:
    members = list(members)
    faults, sound = sum(row.faults for row in members), sum(row.sound for row in members)
    return f"{name:48}{faults:6}  {sound:5}  {source}".rstrip()


def main() -> int:
    print(table(rows()), flush=True)
    texts = texts_of("sound") | texts_of("panels")
    alarms = list(false_alarms(texts))
    print(f"\nfalse alarms in {len(texts)} sound panels: {len(alarms)}")
    for alarm in alarms:
        print(f"  {alarm}")
    return 1 if alarms else 0


if __name__ == "__main__":
    sys.exit(main())
