"""Sentences that must hold: what binds closest, and the plain ways of saying them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.reading import statements as say
from netcheck.reading.mistakes import SAID_OTHERWISE
from netcheck.reading.syntax import DEEPEST_CONDITION, read_statements
from netcheck.text import Source


def claim(sentence: str) -> say.Claim | say.Apart:
    reading = read_statements(Source("x.panel", f'intent "it": {sentence}'))
    assert [] == [mistake.message for mistake in reading.mistakes]
    (intent,) = reading.statements
    assert isinstance(intent, say.Intent)
    return intent.claim


def told(condition: say.Condition) -> str:
    """The condition with every bracket written."""
    if isinstance(condition, say.IsSo):
        return f"{condition.name}{'!' if condition.denied else ''}={condition.state}"
    if isinstance(condition, say.Deny):
        return f"not {told(condition.inner)}"
    word = " and " if isinstance(condition, say.Both) else " or "
    return f"({word.join(told(part) for part in condition.parts)})"


def said(sentence: str) -> str:
    found = claim(sentence)
    if isinstance(found, say.Apart):
        return f"apart {' '.join(found.names)} {found.state}"
    given_words = f" given {told(found.given)}" if found.given is not None else ""
    return f"{found.form} {told(found.condition)}{given_words}"


@pytest.mark.parametrize(
    ("sentence", "meant"),
    [
        ("M1 is off whenever S1 is pressed", "whenever M1=off given S1=pressed"),
        ("M2 is on only while M1 is on", "only while M1=on given M2=on"),
        ("never M1 is on", "never M1=on"),
        ("M1 is never on", "never M1=on"),
        ("H1 is always on", "always H1=on"),
        ("M1 can be on", "sometimes M1=on"),
        ("sometimes M1 is on", "sometimes M1=on"),
        ("M1 is not on whenever OL1 has tripped", "whenever M1!=on given OL1=tripped"),
        ("K1 and K2 are never in together", "apart K1 K2 in"),
        ("K1, K2".replace(",", " and") + " and K3 are never in together", "apart K1 K2 K3 in"),
        ("always FL1 is at rest", "always FL1=at rest"),
        ('always SS1 is "between HAND and OFF"', 'always SS1="between HAND and OFF"'),
        ("never PLC1:Q0 is on", "never PLC1:Q0=on"),
        ("M1 and M2 are off whenever S1 or S2 is pressed",
         "whenever (M1=off and M2=off) given (S1=pressed or S2=pressed)"),
    ],
)  # fmt: skip
def test_a_sentence_means_what_it_says(sentence: str, meant: str) -> None:
    assert meant == said(sentence)


@pytest.mark.parametrize(
    ("condition", "meant"),
    [
        ("A is in or B is in and C is in", "(A=in or (B=in and C=in))"),
        ("(A is in or B is in) and C is in", "((A=in or B=in) and C=in)"),
        ("not A is in and B is in", "(not A=in and B=in)"),
        ("not (A is in and B is in)", "not (A=in and B=in)"),
        ("A is in and B and C are out", "(A=in and (B=out and C=out))"),
        ("A is in and B is in and C is in", "(A=in and B=in and C=in)"),
        ("((A is in))", "A=in"),
    ],
)
def test_not_binds_closer_than_and_and_and_closer_than_or(condition: str, meant: str) -> None:
    assert f"never {meant}" == said(f"never {condition}")


@pytest.mark.parametrize(
    "proviso", ["even if any one wire opens", "even if any one contact welds", "at every instant"]
)
@pytest.mark.parametrize("comma", [", ", " "])
def test_a_proviso_stands_behind_with_or_without_a_comma(proviso: str, comma: str) -> None:
    text = f'intent "it": M1 is off whenever S1 is pressed{comma}{proviso}'
    (intent,) = read_statements(Source("x.panel", text)).statements
    assert isinstance(intent, say.Intent)
    assert proviso == intent.proviso


@given(st.integers(1, 4 * DEEPEST_CONDITION))
def test_denials_inside_one_another_are_bounded(deep: int) -> None:
    text = f'intent "it": never {"not " * deep}A is in'
    reading = read_statements(Source("x.panel", text))
    assert (deep < DEEPEST_CONDITION) == bool(reading.statements)
    assert (deep >= DEEPEST_CONDITION) == bool(reading.mistakes)


@pytest.mark.parametrize(
    ("sentence", "help"),
    [
        ("M1 is off when S1 is pressed", "did you mean `whenever`?"),
        ("M1 is off if S1 is pressed", "did you mean `whenever`?"),
        ("if S1 is pressed M1 is off", "`M1 is off whenever S1 is pressed`"),
        ("M1 is off unless S1 is pressed", "`M1 is off whenever S2 is not pressed`"),
        ("M1 is off 2 s after S1 is pressed", "leave the time out"),
        ("M1 is off after S1 is pressed", "leave the time out"),
        ("S1 and S2 are not pressed together", "`are never ... together`"),
        ("K1 is never in when S1 is pressed", "`M1 is not on whenever S1 is pressed`"),
        ("K1 is never in whenever S1 is pressed", "`M1 is not on whenever S1 is pressed`"),
        ("K1 and K2 are never in if S1 is pressed", "`M1 is not on whenever S1 is pressed`"),
        ("K1 is always in once S1 is pressed", "`M1 is on whenever S1 is pressed`"),
        ("sometimes K1 is in when S1 is pressed", "`sometimes M1 is on and S1 is pressed`"),
        ("K1 can be in while S1 is pressed", "`sometimes M1 is on and S1 is pressed`"),
        ("K1 is in whenever S1 is pressed if S2 is in", "S1 is pressed and S2 is pressed`"),
        ("K1 is in only while S1 is pressed if S2 is in", "S1 is pressed and S2 is pressed`"),
        ("K1 is in wenever S1 is pressed", "did you mean `whenever`?"),
    ],
)
def test_a_word_that_joins_otherwise_is_answered_with_ours(sentence: str, help: str) -> None:
    (mistake,) = read_statements(Source("x.panel", f'intent "it": {sentence}')).mistakes
    assert help in mistake.help


@pytest.mark.parametrize("made", ["never K1 is in", "K1 is never in", "K1 is always in"])
@pytest.mark.parametrize("word", ["when", "wenever", "nevr", "alway", "sometime"])
def test_no_word_is_offered_that_does_not_fit_after_what_was_said(made: str, word: str) -> None:
    sentence = f'intent "it may be whenever": {made} {word} S1 is pressed'
    (mistake,) = read_statements(Source("x.panel", sentence)).mistakes
    assert "did you mean" not in mistake.help


@pytest.mark.parametrize("instead", SAID_OTHERWISE.values())
def test_what_is_offered_instead_is_a_sentence(instead: str) -> None:
    assert claim(instead.strip("`"))


def test_only_while_without_its_condition_is_told_as_an_end() -> None:
    (mistake,) = read_statements(Source("x.panel", 'intent "it": K1 is in only while')).mistakes
    assert "the line ends after `while`" == mistake.message
