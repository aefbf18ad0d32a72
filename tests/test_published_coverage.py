"""Every published example is reproduced by a test, or it is said here why it is not.

A test reproduces an example that its name names, or a remark that begins with it inside
the test (`# b09: ...`).  What the tests of an example show is theirs to say; that there is
one for each is held here.  `python -m tests.test_published_coverage` lists them.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

from tests.tables.published import examples_of_topic

TESTS = Path(__file__).parent
TOPICS = "abcdefghijk"
NOT_REPRODUCED = {
    "i02": "the accident's order of unplugging is told, its relays' circuit is not: there is "
    "nothing to rebuild (what a lost common makes run is `load run by a lost common`)",
}
DIFFERS = {
    "c01": "at 20 degC 2/0 AWG, as printed; netcheck takes conductors at 75 degC, and 3/0 AWG",
    "c02": "takes pure copper, 20.35 A; by chapter 9 table 8 the same line draws 19.8 A",
    "c04": "2.525 ohm/kft is table 8 at 20 degC, solid; the rule takes stranded at 75 degC, 3.14",
    "c05": "marked as off: the index picks 4 AWG, which loses 2.07 % of the 2 % it may",
    "c08": "marked as off: 26 V less 20.4 V is 5.6 V, not 6.6 V, and the way home counts",
    "c11": "pure aluminium, reproduced; conductors are of an alloy that resists more",
    "d01": "marked as off: it stops at the ambient; four together carry a fifth less",
    "f01": "printed at the nameplate's impedance; netcheck allows it to be a tenth less",
    "f04": "behind wire: its constant for 3/0 AWG has less reactance than table 9, and netcheck "
    "takes the worst angle; with all in step within 6 %, with its constants to a thousandth",
    "f05": "marked as off: it applies the factor for half a winding twice, 45 % too much",
    "f06": "as f04",
    "f07": "as f04",
    "h05": "marked as off: its first answer takes the secondary for 9 A or more; 167 % holds",
    "k04": "marked as off: it rounds 26,273 cmil down to 6 AWG, which has 26,240",
}
"""Where netcheck's figure is another than the one that is printed, and why; the test of the
example shows both."""
NAMED = re.compile(r"(?<![a-z0-9])([a-k]\d\d)(?![a-z0-9])")
REMARK = re.compile(r"# ([a-k]\d\d):")


def examples() -> set[str]:
    return {identity for letter in TOPICS for identity in examples_of_topic(f"{letter} ")}


def reproduced() -> dict[str, list[str]]:
    """By example the tests that reproduce it, as `file: test`."""
    found: dict[str, list[str]] = {}
    for path in sorted(TESTS.rglob("test_*.py")):
        text = path.read_text("utf-8")
        for test in ast.parse(text).body:
            if isinstance(test, ast.FunctionDef) and test.name.startswith("test_"):
                inside = ast.get_source_segment(text, test) or ""
                names = NAMED.findall(test.name.replace("_", " ")) + REMARK.findall(inside)
                for identity in names:
                    found.setdefault(identity, []).append(f"{path.name}: {test.name}")
    return found


def test_every_example_is_reproduced_or_it_is_said_why_not() -> None:
    assert [] == sorted(examples() - set(reproduced()) - set(NOT_REPRODUCED))


def test_nothing_is_explained_away_that_a_test_reproduces() -> None:
    assert set() == set(NOT_REPRODUCED) & set(reproduced())
    assert set(NOT_REPRODUCED) <= examples()


def test_no_test_claims_an_example_that_there_is_not() -> None:
    assert set() == set(reproduced()) - examples()


if __name__ == "__main__":
    known = reproduced()
    for identity in sorted(examples()):
        print(identity, "; ".join(known.get(identity, [])) or NOT_REPRODUCED.get(identity, "?"))
    done = examples() & set(known)
    print(f"{len(done)} of {len(examples())} reproduced, {len(NOT_REPRODUCED)} explained")
