"""Files under other names, by what stands in them."""

from __future__ import annotations

from netcheck.revisions.renamed_files import MOST_TRIED, renamed_files

ONE = "relay K1\nlamp H1\nlamp H2\n"
OTHER = "motor M1\nfuse FU1\n"


def test_a_text_under_another_name_is_renamed_whatever_the_order() -> None:
    assert {"x": "b", "y": "a"} == renamed_files({"a": ONE, "b": OTHER}, {"x": OTHER, "y": ONE})


def test_half_the_lines_are_enough_and_less_are_not() -> None:
    # 2 lines of 3 in common: 2 * 2 / (3 + 3); 1 line: 2 * 1 / (3 + 3)
    assert {"x": "a"} == renamed_files({"a": ONE}, {"x": "relay K1\nlamp H1\nhorn BZ1\n"})
    assert {} == renamed_files({"a": ONE}, {"x": "relay K1\nhorn BZ1\nhorn BZ2\n"})


def test_the_likest_are_paired_and_each_only_once() -> None:
    near = ONE + "horn BZ1\n"
    assert {"x": "a"} == renamed_files({"a": ONE}, {"near": near, "x": ONE})
    assert {"near": "b", "x": "a"} == renamed_files({"a": ONE, "b": ONE}, {"near": near, "x": ONE})


def test_empty_texts_are_like_nothing_and_too_many_are_not_tried() -> None:
    assert {} == renamed_files({"a": ""}, {"x": "\n"})
    many = {f"{number}": ONE for number in range(MOST_TRIED)}
    assert {} == renamed_files(many, {"x": ONE, "y": ONE})
