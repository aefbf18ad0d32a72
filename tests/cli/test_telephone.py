"""What is asked at the panel fits a terminal of 40 columns, as a telephone shows it."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

import netcheck.cli.asking_readings
import netcheck.cli.one_panel
from netcheck.cli.main import group
from netcheck.report.terminal import columns
from tests.bench.panels import ALL, SAMPLES

WIDTH = 40
GREENHOUSE = str(SAMPLES / "greenhouse.panel")
M1 = "M1 does not run with S0 pressed, SS1 in HAND, FL1 operated and S2 pressed"
LINES = {
    "trace, a motor": ["trace", GREENHOUSE, "M1"],
    "trace, a valve held on": ["trace", GREENHOUSE, "Z4.Y1", "--with", "PLC1:Q4 on"],
    "trace, with a fault": ["trace", GREENHOUSE, "H0", "--fault", "FU3 blown"],
    "meter, every terminal": ["meter", GREENHOUSE],
    "meter, two terminals": ["meter", GREENHOUSE, "K1:A1", "K1:A2", "--with", "S0 pressed"],
    "meter, amperes": ["meter", GREENHOUSE, "--clamp"],
    "meter, ohms": ["meter", GREENHOUSE, "--off"],
    "meter, ohms of two": ["meter", GREENHOUSE, "M1:T1", "M1:T2", "--off"],
    "diagnose, a motor": ["diagnose", GREENHOUSE, "--saw", M1],
    "diagnose, a trip": ["diagnose", GREENHOUSE, "--saw", "FU3 blows"],
    "diagnose, readings that cannot be": [
        "diagnose", GREENHOUSE, "--saw", "H0 is lit", "--saw", "H0:X1 to H0:X2 480 V AC",
    ],
    "isolate, one": ["isolate", GREENHOUSE, "M1"],
    "isolate, all": ["isolate", GREENHOUSE],
    "lamps": ["lamps", GREENHOUSE, "--step", "S0 pressed", "--step", "PLC1:Q4 on"],
    "spare": ["spare", GREENHOUSE, "motor M1 3 hp 230 V AC single-phase, 17 A full load"],
    "spare that lacks terminals": ["spare", GREENHOUSE, "contactor K1 coil 24 V DC 5 W"],
}  # fmt: skip


def shown(monkeypatch: pytest.MonkeyPatch, *arguments: str, given: str | None = None) -> list[str]:
    for module in (netcheck.cli.one_panel, netcheck.cli.asking_readings):
        monkeypatch.setattr(module, "screen_width", lambda: WIDTH)
    result = CliRunner().invoke(group, list(arguments), input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert not result.stderr, result.stderr
    assert result.stdout
    return result.stdout.splitlines()


def too_wide(lines: list[str]) -> list[str]:
    """Lines over the width, but for such as hold one word that nothing can break."""
    return [line for line in lines if columns(line) > WIDTH and len(line.split()) > 1]


@pytest.mark.parametrize("name", LINES)
def test_no_line_is_wider_than_a_telephone(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    assert [] == too_wide(shown(monkeypatch, *LINES[name]))


def test_the_dialogue_is_no_wider_than_a_telephone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "valve.panel"
    path.write_text(ALL["valve"], encoding="utf-8")
    asked = ["diagnose", str(path), "--ask", "--saw", "Y1 does not open with S2 pressed"]
    answers = "help\n24 V DC\nlist\nY1 opens itself as it likes\nquit\n"
    assert [] == too_wide(shown(monkeypatch, *asked, given=answers))


def test_on_a_telephone_each_place_is_one_line_below_where_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lines = shown(monkeypatch, *LINES["trace, a valve held on"])
    at = lines.index("  benches:")
    assert lines[at - 1].startswith("  X3:4 ")
    assert lines[at + 1].startswith("  XJ:4 ")
    assert 1 == sum(line.startswith("> ") for line in lines)
