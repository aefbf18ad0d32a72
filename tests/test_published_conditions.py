"""Conditions of published circuits, as their sources say them.

`published/circuits/` holds a panel for each, its source on its first line; what a circuit does
is the answer of `published/examples/examples.jsonl`.  The words are ours.
"""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest

from netcheck.report.condition_sheet import sheet_of
from netcheck.report.conditions_json import document
from tests.report.condition_panels import conditions_of_text, told

PUBLISHED = Path(__file__).parent / "published"
EXAMPLES = {
    example["id"]: example
    for line in (PUBLISHED / "examples" / "examples.jsonl").read_text("utf-8").splitlines()
    for example in [json.loads(line)]
}

Products = list[dict[str, list[str]]]


def text_of(name: str) -> str:
    return (PUBLISHED / "circuits" / f"{name}.panel").read_text(encoding="utf-8")


def lines_of(name: str) -> dict[str, list[str]]:
    return told(conditions_of_text(text_of(name)))


def full(name: str, load: str) -> Products:
    """When a load is energised in full, surely: the products, power apart."""
    read = document(sheet_of(conditions_of_text(text_of(name)), [load]))
    found = next(entry for entry in read["loads"] if entry["load"] == load)
    assert found["full"]["decided"]
    return [
        {what: held for what, held in product.items() if what not in ("MAINS", "B1")}
        for product in found["full"]["sure"]["any_of"]
    ]


def is_on(products: Products, **positions: str) -> bool:
    return any(
        all(positions[what] in held for what, held in product.items()) for product in products
    )


def test_j01_all_permissives_light_green_and_any_one_bad_lights_red() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04057."""
    assert {"all good": "CR1+green", "any one bad": "red only"} == EXAMPLES["j01"]["answer"]
    good = {"PR1": "operated", "PR2": "at rest", "FS1": "operated", "LS1": "operated"}
    assert [{what: [held] for what, held in good.items()}] == full("j01-permissives", "GREEN")
    bad = {"operated": "at rest", "at rest": "operated"}
    red = full("j01-permissives", "RED")
    assert sorted(map(str, red)) == sorted(str({w: [bad[held]]}) for w, held in good.items())
    assert lines_of("j01-permissives")["RED"][0] == (
        "is lit: while MAINS is on, and either PR2 is operated, or PR1, FS1 or LS1 is at rest"
    )


def test_j03_each_contactor_needs_the_other_out() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04060."""
    lines = lines_of("j03-interlock")
    assert "M2 blocked while M1 in, and vice versa" == EXAMPLES["j03"]["answer"]["result"]
    assert lines["M1"] == [
        "in: while FWD is pressed, M2 is out, MAINS is on and OL1 has not tripped"
    ]
    assert lines["M2"] == [
        "in: while REV is pressed, M1 is out, MAINS is on and OL1 has not tripped"
    ]


def test_j04_without_a_stop_only_the_loss_of_power_or_the_overload_drops_it() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04061."""
    said = "M1 stays in; only loss of power or OL drops it"
    assert said == EXAMPLES["j04"]["answer"]["result"]
    assert (
        "stays in: until OL1 trips or MAINS is lost" in lines_of("j04-seal-in-without-stop")["M1"]
    )


def test_j08_the_switch_with_the_broken_wire_is_missing_from_the_condition() -> None:
    """Lessons In Electric Circuits, Vol. IV, figs 04065-66."""
    assert "silent (undetected)" == EXAMPLES["j08"]["answer"]["switch 2 pressed"]
    assert lines_of("j08-parallel-alarm")["SIREN"] == [
        "sounds: while S1, S3 or S4 is pressed, and MAINS is on"
    ]


def test_j09_any_switch_sounds_the_alarm() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04067."""
    assert EXAMPLES["j09"]["answer"]["any switch or rung-1 break"] == "siren"
    assert lines_of("j09-fail-safe-alarm")["SIREN"][0] == (
        "sounds: while S1, S2, S3 or S4 is pressed, and MAINS is on"
    )


@pytest.mark.parametrize("name", ["j10-either-but-not-both", "j11-and-by-relay"])
def test_j10_j11_the_condition_has_the_published_truth_table(name: str) -> None:
    """Lessons In Electric Circuits, Vol. IV, figs 04014 and 04056."""
    lamp = full(name, "H1")
    table = [is_on(lamp, A=a, B=b) for a, b in itertools.product(("off", "on"), repeat=2)]
    assert EXAMPLES[name[:3]]["answer"]["lamp"] == ",".join(str(int(lit)) for lit in table)


def test_j13_two_or_more_of_three() -> None:
    """Lessons In Electric Circuits, Vol. IV, fig. 04337."""
    assert "on when two or more pressed" == EXAMPLES["j13"]["answer"]["lamp"]
    pairs = itertools.combinations(("X1", "X2", "X3"), 2)
    assert full("j13-majority", "H1") == [{name: ["pressed"] for name in pair} for pair in pairs]


def test_j18_with_both_buttons_pressed_neither_energises() -> None:
    """Electric Motor Control, a study answer."""
    assert "neither contactor energises" == EXAMPLES["j18"]["answer"]["result"]
    forwards, reverse = (full("j18-button-interlock", name) for name in ("M1", "M2"))
    assert forwards == [{"FWD": ["pressed"], "REV": ["released"]}]
    assert reverse == [{"FWD": ["released"], "REV": ["pressed"]}]


def test_j19_the_first_relay_in_locks_out_the_others_and_stays() -> None:
    """Common practice, from memory."""
    for first, others in (("1", "23"), ("2", "13"), ("3", "12")):
        lines = lines_of("j19-first-out")[f"K{first}"]
        out = " and ".join(f"K{other}" for other in others)
        assert lines == [
            f"pulls in: when P{first} is operated and {out} are out, while B1 is on",
            "stays in: until B1 is lost",
        ]
