"""The laws of a formatter: twice is once, not a word or remark changes, layout alone counts."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.reading.syntax import read_statements
from netcheck.record import replace
from netcheck.revisions import tidy as module
from netcheck.revisions.drawing import changes
from netcheck.revisions.pairs import pair
from netcheck.revisions.tidy import ChangedMeaning, NotTidied, meaning, remarks, tidy
from netcheck.text import Source
from tests.annotated import Texts

SAMPLES = Path(__file__).parents[2] / "samples"
TEXTS = {
    path.relative_to(SAMPLES).as_posix(): path.read_text(encoding="utf-8")
    for folder in ("panels", "sound", "faults/open-path", "faults/missing-load")
    for path in sorted((SAMPLES / folder).rglob("*.panel"))
}


def tidied(text: str) -> str:
    return tidy(Source("a.panel", text))


@pytest.mark.parametrize("path", TEXTS)
def test_samples_say_the_same_when_tidied_and_twice_is_once(path: str) -> None:
    once = tidied(TEXTS[path])
    assert once == tidied(once)
    assert meaning(Source("a", TEXTS[path])) == meaning(Source("a", once))
    assert remarks(Source("a", TEXTS[path])) == remarks(Source("a", once))


@pytest.mark.parametrize("path", [path for path in TEXTS if path.startswith("panels/")])
def test_a_tidied_panel_compares_as_the_same_panel(path: str) -> None:
    panels = []
    for texts in (TEXTS, {**TEXTS, path: tidied(TEXTS[path])}):
        gathered = gather(path, Texts(texts))
        panels.append((build_panel(path, gathered)[0], gathered.sources))
    (old, before), (new, after) = panels
    assert () == changes(pair(old, new), before, after)


def disturbed(text: str, seed: int) -> str:
    """The same text in another layout: blanks, tabs, empty lines, line ends."""
    dice = random.Random(seed)

    def blanks(found: re.Match[str]) -> str:
        return found[0] if found[0].startswith(('"', "#")) else dice.choice(["  ", "\t", "   "])

    lines = []
    for line in text.splitlines():
        line = re.sub(r'"[^"]*"|#.*|[ \t]+', blanks, line.strip())
        lines.append(dice.choice(["", " ", "\t", "      "]) + line + dice.choice(["", "  ", "\t"]))
        if not line:
            lines += [""] * dice.randint(0, 3)
    return dice.choice(["\n", "\r\n"]).join(lines) + "\n" * dice.randint(0, 3)


@given(st.sampled_from(sorted(TEXTS)), st.integers())
@settings(max_examples=60, deadline=None)
def test_layout_is_decided_by_words_alone(path: str, seed: int) -> None:
    assert tidied(TEXTS[path]) == tidied(disturbed(TEXTS[path], seed))


WORDS = st.sampled_from(
    ['"', "#", "--", "--201--", ",", ";", ":", "(", ")", "K1", "S1:13-14", "panel", "relay", "24 V",
     "circuit", "wire 2", "wire kind", "assembly", "end", "practice", " ", "\t", "\n", "\r\n", "é",
     "coil", "\x1b", "\u202e", "\ufeff", "in", "control", "normally open 13-14", "lamp H1"]
)  # fmt: skip


@given(st.lists(WORDS, max_size=40).map(" ".join) | st.text())
@settings(max_examples=300, deadline=None)
def test_any_text_is_tidied_for_good_or_refused_with_its_mistakes(text: str) -> None:
    try:
        once = tidied(text)
    except NotTidied as refused:
        said = refused.mistakes
    else:
        said = ()
        assert once == tidied(once)
    assert said == tuple(read_statements(Source("a.panel", text)).mistakes)


def test_a_text_with_a_mistake_is_left_as_it_is() -> None:
    with pytest.raises(NotTidied) as refused:
        tidied("lamp H1 24 V DC 2 W\nrelai K1\n")
    assert [2] == [mistake.place.span.line for mistake in refused.value.mistakes]


@pytest.mark.parametrize(("word", "other"), [("24", "12"), ("H1", "H2"), ("V DC", "V  AC")])
def test_a_fault_that_would_change_a_word_is_caught_by_the_reading_again(
    monkeypatch: pytest.MonkeyPatch, word: str, other: str
) -> None:
    monkeypatch.setattr(module, "evened", lambda code: code.replace(word, other))
    with pytest.raises(ChangedMeaning):
        tidied("lamp H1 24 V DC 2 W\n")


def test_a_remark_that_got_lost_is_caught_too(monkeypatch: pytest.MonkeyPatch) -> None:
    split = module._split
    monkeypatch.setattr(
        module, "_written", lambda source, _: "".join(split(x)[0] + "\n" for x in source.lines)
    )
    with pytest.raises(ChangedMeaning):
        tidied("lamp H1 24 V DC 2 W # by the door\n")


def test_lines_are_indented_by_what_they_belong_to() -> None:
    once = tidied(
        """\
panel "A"
practice NEC 2023

assembly ZONE
connections FEED
valve Y1 24 V DC 8 W,
spare
circuit "In" in control
# by hand
FEED --1-- Y1
end
"""
    )
    assert "  practice" in once
    assert "\n  valve Y1 24 V DC 8 W,\n    spare\n" in once
    assert "\n    # by hand\n    FEED --1-- Y1\nend\n" in once


def test_an_edit_of_one_line_touches_no_other_within_its_column() -> None:
    block = "wire kind bus: 14 AWG copper, 1 m\nwire kind control: 18 AWG copper, 1 m\n"
    longer = block.replace("kind bus", "kind buses")
    before, after = tidied(block).splitlines(), tidied(longer).splitlines()
    assert before[1] == after[1]
    assert before[0].index("14 AWG") == after[0].index("14 AWG") == after[1].index("18 AWG")


def test_remarks_of_a_block_stand_in_one_column_and_alone_two_blanks_off() -> None:
    text = "lamp H1 24 V DC 2 W # a\nlamp H12 24 V DC 2 W # b\n\nlamp H3 24 V DC 2 W # c\n"
    lines = tidied(text).splitlines()
    assert lines[0].index("#") == lines[1].index("#") == 24
    assert "lamp H3 24 V DC 2 W  # c" == lines[3]


def test_a_hash_between_quotes_is_no_remark() -> None:
    text = 'lamp H1 "bay  # 3"   24 V DC 2 W #  x\n'
    assert 'lamp H1 "bay  # 3" 24 V DC 2 W  #  x\n' == tidied(text)


def test_meaning_is_told_apart_by_every_word() -> None:
    source = Source("a", "lamp H1 24 V DC 2 W\n")
    for other in ("lamp H2 24 V DC 2 W\n", "lamp H1 24 V DC 3 W\n", "horn H1 24 V DC 2 W\n", ""):
        assert meaning(source) != meaning(replace(source, text=other))
