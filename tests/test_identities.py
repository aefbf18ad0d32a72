"""The identity of a finding, by which it is accepted and compared, is what it is about alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from netcheck.review import review
from tests.annotated import Texts

FAULTS = Path(__file__).parents[1] / "samples" / "faults"
ONE_OF_EACH_RULE = [
    sorted(folder.glob("*.panel"))[0] for folder in sorted(FAULTS.iterdir()) if folder.is_dir()
]
WIRE = "(18 AWG copper MTW 90 degC blue, 600 V insulation, 1 m)"
UNRELATED = f"""
edge EX9 24 V DC, fused 3 A, 100 A available, 0V grounded, from "another greenhouse"
switch SX9 "Apart" normally open 1-2 60 V DC 4 A
lamp HX9 "Apart" 24 V DC 20 mA LED
circuit "Apart"
  EX9:+ --X91-- {WIRE} SX9 --X92-- {WIRE} HX9 --X90-- {WIRE.replace("blue", "white/blue")} EX9:0V
"""


def identities_of(path: Path, text: str) -> set[str]:
    texts = {one.as_posix(): one.read_text(encoding="utf-8") for one in path.parent.rglob("*")
             if one.suffix == ".panel"}  # fmt: skip
    found, _ = review([path.as_posix()], Texts({**texts, path.as_posix(): text}))
    return {finding.identity for finding in found.findings}


@pytest.mark.parametrize("path", ONE_OF_EACH_RULE, ids=lambda path: path.parent.name)
def test_lines_that_move_and_a_circuit_apart_change_no_identity(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    grown = identities_of(path, "\n\n" + text.rstrip() + "\n" + UNRELATED)
    of_the_rest = {identity for identity in grown if "X9" not in identity}
    assert identities_of(path, text) == of_the_rest
