"""The command `netcheck spare`: another device in the place of one that is drawn."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

import netcheck.bench
from netcheck.cli.main import group
from netcheck.report.terminal import columns
from tests.bench.panels import SAMPLES, VALVE, WINDINGS

GREENHOUSE = str(SAMPLES / "greenhouse.panel")
AUXILIARY = "auxiliary normally open 13-14 23-24 60 V DC 4 A"
SCHEMA = json.loads(
    Path(netcheck.bench.__path__[0], "spare.schema.json").read_text(encoding="utf-8")
)
ZONES = """\
panel "Zones"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
assembly ZONE
  connections FEED HOME
  fuse F1 1 A
  lamp H1 24 V DC 1 W
  circuit "Zone"
    FEED --1-- F1 --2-- H1 --3-- HOME
end
use ZONE as Z1
use ZONE as Z2
circuit "Zones"
  E1:+ --10-- Z1.FEED
  E1:+ --11-- Z2.FEED
  Z1.HOME --12-- E1:0V
  Z2.HOME --13-- E1:0V
"""


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "valve.panel").write_text(VALVE, encoding="utf-8")
    (tmp_path / "bad.panel").write_text(f"{VALVE}  what is this\n", encoding="utf-8")
    (tmp_path / "main.panel").write_text('include "valve.panel"\n', encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def spare(*arguments: str) -> Result:
    result = CliRunner().invoke(group, ["spare", *arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def told(panel: str, line: str) -> dict[str, Any]:
    document = json.loads(spare(panel, line, "--output", "json=-").stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    found: dict[str, Any] = document["spare"]
    return found


def figures(found: dict[str, Any]) -> dict[str, tuple[str, str]]:
    return {f"{one['of']} {one['verb']}": (one["before"], one["now"]) for one in found["figures"]}


def new(found: dict[str, Any]) -> list[str]:
    return [one["rule"] for one in found["findings"] if one["kind"] != "gone"]


def test_the_same_device_again_changes_nothing() -> None:
    line = "relay K1 coil 24 V DC 3 W with diode; normally open 13-14 23-24"
    found = told("valve.panel", line)
    assert ([], [], [], []) == (
        found["figures"], found["findings"], found["changes"], found["lacking"],
    )  # fmt: skip
    assert 0 == spare("valve.panel", line).exit_code


def test_a_stronger_coil_is_seen_in_its_fuse_and_its_supply() -> None:
    """5 W at 24 V is 5/24 A; it was 3/24 A."""
    line = f"contactor K1 coil 24 V DC 5 W with diode; 2 main poles 600 V AC 25 A; {AUXILIARY}"
    found = told(GREENHOUSE, line)
    assert [] == new(found)
    assert found["fits"]
    assert ("0.125 A of 4 A", "0.208 A of 4 A") == figures(found)["OL1 95-96 carries at most"]
    was, now = (float(word.split()[0]) for word in figures(found)["PS1 gives at most"])
    assert pytest.approx(2 / 24, abs=0.01) == now - was  # three figures are printed


def test_a_coil_for_another_voltage_is_a_fault_at_the_coil() -> None:
    """A 120 V AC coil on 24 V DC does not pull in: fact of the trade."""
    line = "relay K1 coil 120 V AC 3 W; normally open 13-14 23-24"
    found = told("valve.panel", line)
    assert "mismatched voltage" in new(found)
    assert 1 == spare("valve.panel", line).exit_code


def test_terminals_that_it_lacks_are_told_with_their_wires() -> None:
    found = told("valve.panel", "relay K1 coil 24 V DC 3 W with diode; normally open 13-14")
    assert not found["fits"]
    assert {"K1:23": ["wire 207"], "K1:24": ["wire 208"]} == {
        one["terminal"]: one["wires"] for one in found["lacking"]
    }
    assert [] == found["unwired"]


def test_a_bigger_motor_is_held_to_its_breaker_its_contactor_and_its_wires() -> None:
    """3 hp on 230 V is 17 A, and its wires must be good for 125 % of it: NEC table 430.248 and
    430.22 (the table's copy stands in tests/published)."""
    found = told(GREENHOUSE, "motor M1 3 hp 230 V AC single-phase, 17 A full load")
    assert ("10 A of 25 A", "17 A of 25 A") == figures(found)["K1 1-2 carries at most"]
    wires, overload = (one for one in found["findings"] if one["kind"] == "new")
    assert "must be good for 21.2 A" in wires["message"]
    assert "`OL1` is set to 9.6 A, and `M1` draws 17 A" in overload["message"]
    assert ["at pump house", "restart allowed"] == found["taken_over"]


def test_a_stronger_motor_behind_the_protector_of_the_old_one_is_told() -> None:
    """1.5 kW draw 3.4 A, 131 % of what the protector is set to: nothing was said to get worse."""
    boiler = str(GREENHOUSE).replace("greenhouse", "boiler_pumps")
    line = "motor M1 1.5 kW 400 V AC 50 Hz three-phase, 3.4 A full load"
    assert ["overload set below its motor"] == new(told(boiler, line))
    alike = "motor M1 1.1 kW 400 V AC 50 Hz three-phase, 2.9 A full load"
    assert [] == new(told(boiler, alike))


def test_a_contact_of_which_the_spare_says_no_rating_is_not_told_to_carry_nothing() -> None:
    skid = GREENHOUSE.replace("greenhouse", "fertigation")
    result = spare(skid, "overload OL1 set 12 A, range 12 A to 18 A, class 10")
    line = "OL1 95-96 carries at most 66.7 mA of 5 A as it was; no figure with the spare"
    assert line in " ".join(result.stdout.split())
    assert "at most nothing" not in result.stdout


def test_a_weaker_contact_is_said_before_it_burns() -> None:
    line = f"contactor K1 coil 24 V DC 3 W with diode; 2 main poles 600 V AC 9 A; {AUXILIARY}"
    found = told(GREENHOUSE, line)
    assert ["contact beyond its rated current"] == new(found)


def test_a_larger_fuse_does_not_protect_its_wires() -> None:
    assert "oversized protection" in new(told(GREENHOUSE, "fuse FU3 10 A"))


def test_a_larger_fuse_is_looked_at_first_even_where_no_check_speaks() -> None:
    """Never fit a larger fuse (common practice, no source); where a text says no sizes of wire no
    check can tell."""
    larger = spare("valve.panel", "fuse FU1 5 A")
    assert 1 == larger.exit_code
    assert "LOOK BEFORE FITTING IT: it opens above 5 A, what stands there 2 A" in larger.stdout
    assert "never to end a fault" in larger.stdout
    same = spare("valve.panel", "fuse FU1 2 A")
    assert "larger" not in same.stdout.replace("nor fit a larger fuse", "")
    assert "NOTHING GETS WORSE" in spare("valve.panel", "fuse FU1 1 A").stdout


def test_a_smaller_supply_is_overloaded() -> None:
    """The panel's worst state takes 5.88 A: a supply of 5 A gives less."""
    found = told(GREENHOUSE, "supply PS1 120 V AC to 24 V DC, 5 A, isolated, 0V grounded")
    assert "supply overloaded" in new(found)


def test_a_breaker_that_says_less_leaves_more_open() -> None:
    result = spare(GREENHOUSE, "fuse FU3 2 A, 300 V DC")
    assert 3 == result.exit_code
    assert result.stdout.startswith("NOT KNOWN")
    assert "does not say what it can interrupt" in result.stdout


def test_where_it_stands_is_taken_over_and_what_it_may_be_trusted_with_is_not() -> None:
    found = told("valve.panel", "valve Y1 24 V DC 8 W")
    assert ["at benches"] == found["taken_over"]
    assert [] == told("valve.panel", "valve Y1 24 V DC 8 W, at benches")["taken_over"]


def test_words_that_say_when_it_rests_say_not_where_it_stands(tmp_path: Path) -> None:
    panel = VALVE.replace('button S1 "Stop" normally closed', "float switch S1 normally closed")
    (tmp_path / "float.panel").write_text(panel, encoding="utf-8")
    line = 'float switch S1 normally closed 11-12, at rest while "the tank is full"'
    assert ["on door"] == told("float.panel", line)["taken_over"]


@pytest.mark.parametrize("says", ["restart allowed, 24 V DC 8 W", "24 V DC 8 W, restart   allowed"])
def test_a_mark_is_taken_over_once_wherever_the_line_says_it(tmp_path: Path, says: str) -> None:
    panel = VALVE.replace('valve Y1 "Mist" 24 V DC 8 W', "valve Y1 24 V DC 8 W, restart allowed")
    (tmp_path / "mist.panel").write_text(panel, encoding="utf-8")
    assert ["at benches"] == told("mist.panel", f"valve Y1 {says}")["taken_over"]


def test_a_mark_that_the_line_contradicts_is_not_taken_over(tmp_path: Path) -> None:
    panel = VALVE.replace('valve Y1 "Mist" 24 V DC 8 W', "valve Y1 24 V DC 8 W, hazardous")
    (tmp_path / "mist.panel").write_text(panel, encoding="utf-8")
    found = told("mist.panel", "valve Y1 24 V DC 8 W, not hazardous, at benches")
    assert [] == found["taken_over"]


def test_a_device_of_an_included_text_can_be_replaced() -> None:
    found = told("main.panel", "fuse FU1 1 A")
    assert ["FU1"] == [one["name"] for one in found["changes"] if one["of"] == "device"]


@pytest.mark.parametrize(
    ("line", "words", "column"),
    [
        ("relay K1 coil 24V DC", "write `24 V` with a blank", 15),
        ("rely K1 coil 24 V DC", "did you mean `relay`?", 1),
        ("relay K9 coil 24 V DC", "there is no `K9`", 7),
        ("wire 201: 16 AWG", "this is no device", 1),
        ("relay K1 coil 24 V DC 3 W,", "CANNOT READ", 1),
        ("", "this is no device", 1),
        ("# relay K1", "this is no device", 1),
        ("relay K1 coil 24 V DC 3 ohm ohm", "CANNOT READ", 29),
    ],
)
def test_a_line_that_cannot_be_read_is_shown_at_its_spot(
    line: str, words: str, column: int
) -> None:
    result = spare("valve.panel", line)
    assert 2 == result.exit_code
    assert words in result.stdout
    place = json.loads(spare("valve.panel", line, "--output", "json=-").stdout)["mistakes"][0]
    assert ("the spare", 1) == (place["place"]["file"], place["place"]["line"])
    if column > 1:
        assert column == place["place"]["column"]


def test_in_an_assembly_the_spare_stands_in_that_one_use_of_it() -> None:
    Path("zones.panel").write_text(ZONES, encoding="utf-8")
    found = told("zones.panel", "lamp Z1.H1 120 V AC 1 W")
    assert ["mismatched voltage"] == new(found)
    assert ["Z1.H1"] == [one["name"] for one in found["changes"] if one["of"] == "device"]
    assert [] == found["lacking"]
    assert "only in    Z1: " in spare("zones.panel", "lamp Z1.H1 120 V AC 1 W").stdout
    same = told("zones.panel", "lamp Z2.H1 24 V DC 1 W")
    assert ([], [], []) == (same["findings"], same["changes"], same["figures"])
    wider = told("zones.panel", "lamp Z2.H1 24 V DC 5 W")
    assert {"Z2.F1 1-2 carries at most", "E1 gives at most"} >= set(figures(wider))
    assert "Z2.F1 1-2 carries at most" in figures(wider)


def test_a_spare_in_an_assembly_that_lacks_a_terminal_is_told_with_that_use_s_wires() -> None:
    found = told(GREENHOUSE, "relay Z4.KZ coil 24 V DC 1 W with diode; normally open 11-14")
    assert not found["fits"]
    assert {"Z4.KZ:13"} <= {one["terminal"] for one in found["lacking"]}


def test_a_device_of_one_panel_of_several_can_be_replaced() -> None:
    house = str(SAMPLES / "two_houses.panel")
    found = told(house, "fuse B.FU1 10 A, 300 V DC, class CC, 20 kA interrupting")
    assert ["B.FU1"] == [one["name"] for one in found["changes"] if one["of"] == "device"]


def test_a_setting_of_an_assembly_is_none_of_the_spare_s_line() -> None:
    Path("zones.panel").write_text(ZONES, encoding="utf-8")
    result = spare("zones.panel", "lamp Z1.H1 24 V DC <POWER>")
    assert 2 == result.exit_code
    assert "there is no setting `<POWER>` here" in result.stdout


def test_wrong_use_and_texts_that_cannot_be_read_are_said() -> None:
    assert 2 == spare("bad.panel", "fuse FU1 1 A").exit_code
    assert 2 == spare("none.panel", "fuse FU1 1 A").exit_code
    result = spare("valve.panel", "fuse FU1 1 A", "--with", "S2 pressed")
    assert 2 == result.exit_code
    assert "leave --with and --fault" in result.stderr


def test_no_line_is_wider_than_a_telephone(monkeypatch: pytest.MonkeyPatch) -> None:
    from netcheck.bench import spare_text
    from netcheck.bench.spare_document import SpareDocument
    from netcheck.bench.sparing import spared
    from netcheck.cli.loader import FileLoader

    loader = FileLoader({"valve.panel": "."})
    document = SpareDocument("valve.panel", spared("valve.panel", loader, "relay K1 coil 24 V DC"))
    text = spare_text.render(document, colour=False, width=40)
    assert [] == [line for line in text.splitlines() if columns(line) > 40]


def test_a_motors_inrush_is_told_by_its_code_letter(tmp_path: Path) -> None:
    """NEMA MG 1 10.37.2: L is 9 to 10 kVA for each hp, N 11.2 to 12.5; of 1/4 hp at 115 V."""
    text = WINDINGS.replace("single-phase", "single-phase, code letter L")
    (tmp_path / "windings.panel").write_text(text, encoding="utf-8")
    found = told("windings.panel", "motor M1 1/4 hp 115 V AC single-phase, code letter N")
    takes = [one for one in found["figures"] if one["verb"] == "takes as it goes on"]
    assert [("19.6 A to 21.7 A", "24.3 A to 27.2 A")] == [(o["before"], o["now"]) for o in takes]


def test_a_motor_that_says_no_letter_says_no_inrush(tmp_path: Path) -> None:
    (tmp_path / "windings.panel").write_text(WINDINGS, encoding="utf-8")
    found = told("windings.panel", "motor M1 1/4 hp 115 V AC single-phase, 5 A full load")
    assert not [one for one in found["figures"] if one["verb"] == "takes as it goes on"]


@pytest.mark.parametrize(
    "arguments", [("valve.panel", "fuse FU1 2 Amps"), ("bad.panel", "fuse FU1 2 A")]
)
def test_where_nothing_of_the_panel_is_told_nothing_is_left_out_of_it(
    arguments: tuple[str, str],
) -> None:
    result = spare(*arguments)
    assert 2 == result.exit_code
    assert "CANNOT READ" in result.stdout
    assert "left out below" not in result.stdout
