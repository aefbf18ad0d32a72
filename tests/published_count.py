"""What of the arithmetic is held from outside, counted.

    python -m tests.published_count

Cells of the published tables that netcheck's own are equal to, worked examples that a test
reproduces, where netcheck differs and why, and fault samples of the arithmetic's rules.  It
compares and counts as it prints; nothing here is remembered from an earlier run.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator

from netcheck.finding import Family
from netcheck.record import record
from netcheck.rule import Rule, all_rules
from netcheck.text import Source
from tests.annotated import FINDING, expected_of
from tests.rule_table import texts_of
from tests.tables.published import Row, examples_of_topic, table_names, table_rows, worked_example
from tests.tables.test_published_tables import (
    CASES,
    NOT_HELD,
    colours_held,
    colours_published,
    held_rows,
    published_rows,
)
from tests.test_published_coverage import DIFFERS, NOT_REPRODUCED, reproduced

TOPICS = "abcdefghk"
"""Of the examples those that are arithmetic; i and j are sneak circuits and relay logic."""
FAMILIES = (
    Family.MISMATCHED_VOLTAGE,
    Family.UNDERSIZED_CONDUCTOR,
    Family.UNPROTECTED_BRANCH,
    Family.SUPPLY,
)
"""What the arithmetic decides: voltage, conductors, protection, supplies."""
ASIDE = {"confirmed", "source_ids", "note"}
"""Columns of a copy that say where its values are from."""


@record
class Table:
    """One published copy: its cells, how many of them were read on a page, and whether
    netcheck's table is equal to it."""

    name: str
    cells: int
    read: int
    equal: bool


def tables() -> Iterator[Table]:
    for name in table_names():
        if name in NOT_HELD:
            continue
        rows = table_rows(name)
        read = [row for row in rows if row["confirmed"] == "yes"]
        yield Table(name, sum(map(_cells, rows)), sum(map(_cells, read)), _is_equal(name))


def _cells(row: Row) -> int:
    return sum(1 for column, value in row.items() if column not in ASIDE and value)


def _is_equal(name: str) -> bool:
    if name == "conductor_colours":
        return colours_held() == colours_published()
    module, convert = CASES[name]
    return [convert(row) for row in published_rows(name)] == held_rows(module)


def examples() -> list[str]:
    return sorted(one for letter in TOPICS for one in examples_of_topic(f"{letter} "))


def arithmetic_rules() -> list[Rule]:
    return [rule for rule in all_rules() if rule.family in FAMILIES]


def fault_samples() -> Counter[str]:
    """By rule of the arithmetic how many samples it must speak in."""
    names = {rule.name for rule in arithmetic_rules()}
    return Counter(
        rule
        for path, text in texts_of("faults").items()
        for rule in {one.rule for one in expected_of([Source(path, text)]) if one.kind == FINDING}
        if rule in names
    )


def main() -> int:
    held = list(tables())
    for table in held:
        verdict = "equal" if table.equal else "DIFFERS"
        print(f"{table.name:32} {table.cells:5} cells, {table.read:5} read on a page  {verdict}")
    for name, why in NOT_HELD.items():
        print(f"{name:32}     - {why}")
    cells, read = (sum(column) for column in zip(*((t.cells, t.read) for t in held), strict=True))
    print(f"{len(held)} tables, {cells} cells, {read} of them read on a page\n")
    known = reproduced()
    shown = [one for one in examples() if one in known]
    by_topic = Counter(worked_example(one)["topic"] for one in shown)
    for topic, count in sorted(by_topic.items()):
        print(f"{topic:32} {count:5} examples")
    print(f"{len(shown)} of {len(examples())} examples reproduced by {_tests(known, shown)} tests")
    for one in sorted(set(examples()) - set(shown)):
        print(f"{one} is not: {NOT_REPRODUCED.get(one, '?')}")
    print("\nwhere netcheck differs from what is printed:")
    for one in sorted(set(DIFFERS).intersection(examples())):
        print(f"{one}  {DIFFERS[one]}")
    samples = fault_samples()
    print(f"\n{sum(samples.values())} fault samples of {len(arithmetic_rules())} rules on "
          f"{', '.join(family.value for family in FAMILIES)}")  # fmt: skip
    return 0 if all(table.equal for table in held) and len(shown) == len(examples()) else 1


def _tests(known: dict[str, list[str]], shown: list[str]) -> int:
    return len({test for one in shown for test in known[one]})


if __name__ == "__main__":
    sys.exit(main())
