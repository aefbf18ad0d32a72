"""The table of rules says what is so: counted here in another way."""

from __future__ import annotations

from netcheck.finding import Reference, ReferenceKind
from netcheck.rule import all_rules
from tests.rule_table import SAMPLES, Row, false_alarms, rows, source_kind, table, texts_of


def test_every_rule_stands_in_the_table_once() -> None:
    assert [rule.name for rule in all_rules()] == [row.rule for row in rows()]


def test_the_faults_of_a_rule_are_the_files_of_its_folder_that_expect_a_finding_of_it() -> None:
    for row in rows():
        folder = SAMPLES / "faults" / row.rule.replace(" ", "-")
        texts = [path.read_text(encoding="utf-8") for path in folder.rglob("*.panel")]
        assert sum(f"# expect: {row.rule}," in text for text in texts) == row.faults, row.rule


def test_every_rule_has_a_fault_and_a_sound_panel() -> None:
    assert [] == [row.rule for row in rows() if not (row.faults and row.sound)]


def test_a_finding_in_a_panel_that_is_called_sound_is_a_false_alarm() -> None:
    texts = texts_of("faults/missing-load")
    assert [] != list(false_alarms(texts))


def test_a_sound_panel_gives_no_false_alarm() -> None:
    path = "sound/batteries-in-series.panel"
    assert [] == list(false_alarms({path: texts_of("sound")[path]}))


def test_a_standard_read_by_others_is_told_from_one_that_was_read() -> None:
    read = Reference("NEC 430.32", ReferenceKind.STANDARD)
    told = Reference("NEC 110.14(A); read second-hand", ReferenceKind.STANDARD)
    assert ("standard", "standard, second-hand") == (source_kind(read), source_kind(told))


def test_the_table_adds_up_family_by_family() -> None:
    shown = table([Row("supply", "a", "standard", 2, 1), Row("supply", "b", "from memory", 3, 1)])
    assert ["supply", "(2)", "5", "2"] == shown.splitlines()[2].split()
