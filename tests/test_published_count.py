"""The counts that `python -m tests.published_count` prints stand on equal tables and real tests."""

from __future__ import annotations

import pytest

from tests.published_count import arithmetic_rules, examples, fault_samples, main, tables
from tests.tables.published import worked_example
from tests.test_published_coverage import DIFFERS, reproduced

LEAST_SAMPLES = 40


def test_every_table_that_is_counted_is_equal_to_its_copy() -> None:
    assert [] == [table.name for table in tables() if not table.equal]
    assert all(0 <= table.read <= table.cells for table in tables())


def test_every_arithmetic_example_is_counted_as_reproduced() -> None:
    assert set(examples()) <= set(reproduced())


def test_every_example_that_is_marked_as_off_has_its_difference_explained() -> None:
    off = {one for one in examples() if worked_example(one).get("source_answer_off")}
    assert off <= set(DIFFERS) <= set(reproduced())


def test_the_arithmetic_s_rules_have_many_fault_samples_and_each_has_some() -> None:
    samples = fault_samples()
    assert sum(samples.values()) >= LEAST_SAMPLES
    assert [] == [rule.name for rule in arithmetic_rules() if not samples[rule.name]]


def test_the_command_prints_the_counts_and_ends_well(capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main()
    printed = capsys.readouterr().out
    assert f"{len(list(tables()))} tables, " in printed
    assert f"{len(examples())} of {len(examples())} examples reproduced" in printed
