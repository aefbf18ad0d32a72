"""README says what is so."""

from __future__ import annotations

from tests.readme import BLOCK, README, refreshed


def test_every_output_in_the_readme_is_what_its_command_prints_now() -> None:
    text = README.read_text(encoding="utf-8")
    assert len(BLOCK.findall(text)) >= 3
    assert refreshed(text) == text


def test_the_readme_names_the_two_commands_first() -> None:
    text = README.read_text(encoding="utf-8")
    first = text.index("netcheck review samples/panels/greenhouse.panel")
    second = text.index("pytest")
    assert first < second < text.index("```console")
