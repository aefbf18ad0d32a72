"""`--with` and `--fault` on the review of a whole panel."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from netcheck.cli.status import Status

PANEL = """\
panel "Bench fan"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
button S1 "Stop"   normally closed 11-12
button S2 "Start"  normally open 13-14
relay K1 coil 24 V DC 1 W with diode; normally open 13-14
wire kind default: 18 AWG copper MTW 90 degC blue, 0.5 m
circuit "Fan"
  E1:+ --101-- S1 --102-- S2 --103-- K1:A1-A2 --200-- E1:0V
  S1:12 --104-- K1:13-14 --105-- S2:14
intent "stop stops": K1 is out whenever S1 is pressed
intent "it runs": sometimes K1 is in
"""


def review(folder: Path, *arguments: str) -> Result:
    path = folder / "fan.panel"
    path.write_text(PANEL, encoding="utf-8")
    return CliRunner().invoke(group, ["review", str(path), *arguments])


def test_nothing_is_supposed_unless_asked_for(tmp_path: Path) -> None:
    found = review(tmp_path, "--output", "json=-")
    document = json.loads(found.stdout)
    assert Status.NOTHING == found.exit_code
    assert [] == document["supposed"]
    assert 2 == document["counts"]["intents_proved"]
    assert ["stop stops", "it runs"] == [entry["what"] for entry in document["proved"]]


def test_a_fault_is_reviewed_as_there_for_good_and_told_first(tmp_path: Path) -> None:
    found = review(tmp_path, "--fault", "S1 welded")
    first, second = found.stdout.splitlines()[:2]
    assert Status.FOUND == found.exit_code
    assert "SUPPOSED: this is not the panel as it is drawn" == first
    assert "fault: S1 welded" == second.strip()
    assert "not as drawn (fault: S1 welded): 0 danger" in found.stdout
    assert "intent `stop stops` is not met: a state breaks it" in found.stdout


def test_a_switch_is_kept_where_it_is_put_and_all_else_follows(tmp_path: Path) -> None:
    # With the stop held nothing pulls in: the intent that it can run has no state left.
    found = review(tmp_path, "--with", "S1 pressed", "--output", "json=-")
    document = json.loads(found.stdout)
    assert ["with S1 pressed"] == document["supposed"]
    assert "relay never pulls in" in {entry["rule"] for entry in document["findings"]}


def test_several_suppositions_go_together(tmp_path: Path) -> None:
    found = review(
        tmp_path, "--with", "S2 pressed", "--fault", "wire 101 open", "--fault", "wire 103 open"
    )
    head = [line.strip() for line in found.stdout.splitlines()[1:4]]
    assert ["with S2 pressed", "fault: wire 101 open", "fault: wire 103 open"] == head


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--fault", "K2 welded"], "there is no device K2; did you mean `"),
        (["--fault", "wire 999 open"], "there is no wire 999"),
        (["--with", "S1 presed"], "S1 is never `presed`; did you mean `pressed`?"),
        (["--with", "K1 in"], "K1 follows its coil"),
        (["--with", ""], "says no position"),
        (["--fault", "\x1b[2J"], "is no fault"),
    ],
)
def test_words_that_mean_nothing_here_are_wrong_use(
    tmp_path: Path, arguments: list[str], told: str
) -> None:
    found = review(tmp_path, *arguments)
    assert Status.WRONG == found.exit_code
    assert told in found.stderr
    assert "" == found.stdout
    assert "\x1b" not in found.stderr


def test_one_panel_is_supposed_about_and_no_more(tmp_path: Path) -> None:
    (tmp_path / "other.panel").write_text(PANEL, encoding="utf-8")
    found = review(tmp_path, str(tmp_path / "other.panel"), "--fault", "K1 welded")
    assert Status.WRONG == found.exit_code
    assert "name one" in found.stderr


@pytest.mark.parametrize(
    "words",
    ["S1 released and S2 pressed", "S1 released, S2 pressed", "S1 released, and S2 pressed"],
)
def test_several_positions_may_be_said_at_once(words: str, tmp_path: Path) -> None:
    found = review(tmp_path, "--with", words, "--output", "json=-")
    assert ["with S1 released", "with S2 pressed"] == json.loads(found.stdout)["supposed"]


@pytest.mark.parametrize("words", ["S1 released and", "S1 released, S9 pressed", ", "])
def test_a_position_of_nothing_is_refused_wherever_it_stands(words: str, tmp_path: Path) -> None:
    assert Status.WRONG == review(tmp_path, "--with", words).exit_code
