"""The language's reference: every example in it is read, and its made parts are up to date."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest

from netcheck.data import package_text
from netcheck.finding import Mistake
from netcheck.model.build import build_panel
from netcheck.model.kinds import KINDS
from netcheck.model.make_reference import PLACES, SHARED, with_parts
from netcheck.model.maker import MARKS
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.reading.words import kind_words, statement_words
from netcheck.review import review
from netcheck.rule import all_rules
from tests.annotated import Texts, actual_of

REFERENCE = package_text("grammar", "reference.md")
FENCED = re.compile(r"^```(.*)\n((?:.*\n)*?)```$", re.MULTILINE)


@dataclass(frozen=True)
class Block:
    """One fenced block.  `panel` marks a panel's text, a further word what it is read with.

    A block that begins with a `panel` line is complete; one marked `kind` needs only the
    places of the kinds' examples; one marked with a file's name is that file, to be
    included; any other is read after the first block.
    """

    label: str
    text: str

    @property
    def file(self) -> str:
        word = self.label.removeprefix("panel").strip()
        return word if word.endswith(".panel") else ""


FOUND = [Block(label.strip(), text) for label, text in FENCED.findall(REFERENCE)]
PROJECT_FILES = [block.text for block in FOUND if block.label == "toml"]
BLOCKS = [block for block in FOUND if block.label != "toml"]
FILES = {block.file: block.text for block in BLOCKS if block.file}


def whole_text(block: Block) -> str:
    if block.text.startswith("panel ") or block.file:
        return block.text
    return (PLACES if block.label == "panel kind" else BLOCKS[0].text) + block.text


def read(text: str) -> tuple[Panel, list[Mistake]]:
    gathered = gather("example.panel", Texts({**FILES, "example.panel": text}))
    panel, mistakes = build_panel("example.panel", gathered)
    return panel, [*gathered.mistakes, *mistakes]


def test_every_fenced_block_is_the_text_of_a_panel() -> None:
    assert len(BLOCKS) > len(KINDS)
    assert [] == [block.label for block in BLOCKS if block.label.split()[:1] != ["panel"]]
    assert REFERENCE.count("```") == 2 * len(FOUND)


def test_a_project_file_is_read_without_a_mistake_and_names_rules_there_are() -> None:
    (project,) = PROJECT_FILES
    texts = Texts({"a.panel": BLOCKS[0].text, "netcheck.toml": project})
    found, _ = review(["a.panel"], texts)
    assert () == found.mistakes
    assert ["node with two numbers"] == [off.rule for off in found.switched_off]


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block.text.split("\n")[0][:40])
def test_every_example_is_read_without_a_mistake(block: Block) -> None:
    _, mistakes = read(whole_text(block))
    assert [] == [f"{m.place.span.line}: {m.message}" for m in mistakes]


def test_the_first_example_is_a_sound_panel_with_nothing_left_open() -> None:
    found, _ = review(["a.panel"], Texts({"a.panel": BLOCKS[0].text}))
    assert [] == [str(outcome) for outcome in actual_of(found)]


def test_every_finding_that_an_example_accepts_is_of_a_rule_there_is() -> None:
    accepted = {one.rule for block in BLOCKS for one in read(whole_text(block))[0].acceptances}
    assert accepted
    assert set() == accepted - {rule.name for rule in all_rules()}


def test_an_example_with_a_mistake_would_be_found() -> None:
    _, mistakes = read(whole_text(Block("panel", "lamp H9 24 V\n")))
    assert ["`24 V` is AC or DC?"] == [mistake.message for mistake in mistakes]


def test_the_made_parts_are_up_to_date() -> None:
    """Where this fails: python -m netcheck.model.make_reference"""
    assert with_parts(REFERENCE) == REFERENCE


def test_the_reference_names_every_kind_statement_and_mark() -> None:
    explained = set(re.findall(r"(?:^|`)([a-z][a-z -]*[a-z])", REFERENCE, re.MULTILINE))
    named = " ".join(f"<{words}" for words in explained)
    assert [] == [word for word in (*statement_words(), *MARKS) if f"<{word}" not in named]
    headings = set(re.findall(r"^#### (.+)$", REFERENCE, re.MULTILINE))
    assert set(kind_words()) == headings


def test_every_property_says_what_it_means_and_how_it_is_said() -> None:
    silent = {
        phrase.key
        for kind in KINDS.values()
        for group in kind.groups
        for phrase in (*group.properties, *([group.head] if group.head else []))
        if not phrase.note or not phrase.example
    }
    assert set() == silent
    assert all(len(properties) > 3 for _, properties in SHARED)
