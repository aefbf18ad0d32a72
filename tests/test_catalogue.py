"""Everything the trade looks for is found in a sample that says so, or has its reason."""

from __future__ import annotations

from netcheck.text import Source
from tests.annotated import FINDING, expected_of
from tests.catalogue import NOT_A_RULE, entries
from tests.rule_table import texts_of

FAULTS = texts_of("faults")


def test_every_entry_is_found_by_its_rule_in_its_sample() -> None:
    lost = []
    for entry in entries():
        path = f"faults/{entry.rule.replace(' ', '-')}/{entry.sample}.panel"
        rules = {one.rule for one in expected_of([Source(path, FAULTS.get(path, ""))])
                 if one.kind == FINDING}  # fmt: skip
        if entry.rule not in rules:
            lost.append(f"{entry.looked_for}: {path}")
    assert [] == lost


def test_no_entry_stands_twice() -> None:
    names = [entry.looked_for for entry in entries()] + list(NOT_A_RULE)
    assert sorted(set(names)) == sorted(names)
