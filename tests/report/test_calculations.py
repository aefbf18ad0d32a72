"""The calculation sheet as text and as JSON."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from netcheck.cli.main import group
from netcheck.finding import Calculation, Review, Working
from netcheck.report import json as as_json
from netcheck.report.calculations import lines
from netcheck.review import review
from tests.annotated import Texts

HOLDS = Calculation(
    "conductors", "wire 5, 10 AWG", 12.5, 30.0, "A", True,
    (Working("required", 12.5, "A", "at most"), Working("it may carry", 30.0, "A", "terminals")),
)  # fmt: skip
FAILS = Calculation("conductors", "wire 6", 30.04, 30.0, "A", False)
UNKNOWN = Calculation("supplies", "T1", None, None, "A", None, (), "it does not say")
PLAIN = Calculation("loads", "M1", 8.0, None, "A", None, (Working("M1", 8.0, "A", "a table"),))


def told(*found: Calculation) -> list[str]:
    return list(lines([("bench.panel", found)]))


def test_a_line_says_what_is_required_what_is_allowed_and_whether_it_holds() -> None:
    assert [
        "CALCULATIONS: bench.panel",
        "",
        "  conductors",
        "    wire 5, 10 AWG: 12.5 A, allowed 30 A: holds",
        "      required      12.5 A  at most",
        "      it may carry  30 A    terminals",
        "    wire 6: 30.04 A, allowed 30 A: DOES NOT HOLD",
        "",
        "  supplies",
        "    T1: not known (it does not say)",
        "",
        "  loads",
        "    M1: 8 A, a table",
        "",
    ] == told(HOLDS, FAILS, UNKNOWN, PLAIN)


def test_a_name_cannot_steer_the_terminal() -> None:
    assert not any("\x1b" in line for line in told(Calculation("a", "\x1b[2J", 1, 2, "A", True)))


def test_json_has_every_field_of_a_line() -> None:
    document = as_json.document(Review(calculations=(("bench.panel", (HOLDS,)),)))
    (line,) = json.loads(json.dumps(document))["calculations"]
    assert ["bench.panel", "conductors", 12.5, 30.0, True] == [
        line[key] for key in ("panel", "about", "needed", "allowed", "holds")
    ]
    assert 2 == len(line["working"])


def test_a_review_has_no_sheet_unless_it_is_asked_for() -> None:
    text = 'panel "Bench"\nbattery B1 24 V DC, ungrounded\nlamp H1 24 V DC 1 A\ncircuit "Lamp"\n'
    texts = Texts({"p": f"{text}  B1:+ -- H1 -- B1:-\n"})
    assert () == review(["p"], texts)[0].calculations
    assert 1 == len(review(["p"], texts, working=True)[0].calculations)


def test_working_adds_the_sheet_and_changes_nothing_else() -> None:
    path = str(Path(__file__).parents[2] / "samples" / "panels" / "potting_shed.panel")
    plain, shown = (
        CliRunner().invoke(group, ["review", path, *more]) for more in ((), ("--working",))
    )
    assert (0, 0) == (plain.exit_code, shown.exit_code)
    assert "CALCULATIONS: " not in plain.stdout
    before, _, after = shown.stdout.partition("CALCULATIONS: ")
    assert plain.stdout.startswith(before)
    assert ": holds" in after
