"""Who says that a load does not run, while nothing calls for it, is told what has to."""

from __future__ import annotations

import pytest

from netcheck.bench import diagnose_text
from netcheck.bench.auxiliaries import following
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.observations import observation
from tests.bench.panels import SAMPLES, VALVE, panel_of, sample


def told(name: str, *lines: str) -> Diagnosis:
    panel = following(sample(SAMPLES / f"{name}.panel"))
    return diagnose(panel, [observation(panel, line) for line in lines])


@pytest.mark.parametrize(
    ("name", "load", "withs"),
    [
        ("two_houses", "A.M1", "A.S1 on and B.FL1 operated"),
        ("fertigation", "Y1", "S2 pressed and S3 on"),
        ("boiler_pumps", "M2", "S1 PUMP2 and TS1 operated"),
        ("greenhouse", "M2", "S0 pressed and S4 pressed and FL2 operated"),
    ],
)
def test_what_has_to_be_operated_is_told_as_it_can_be_said_again(
    name: str, load: str, withs: str
) -> None:
    found = told(name, f"{load} does not run")
    assert found.sound_fits
    assert (f"{load} is on with {withs}",) == found.on_with
    said = told(name, f"{load} does not run with {withs}")
    assert said.suspects
    assert () == said.on_with
    assert told(name, f"{load} is on with {withs}").sound_fits


def test_what_was_said_already_stands_before_it() -> None:
    found = told("boiler_pumps", "M2 is off with S1 in PUMP2")
    assert ("M2 is on with S1 in PUMP2 and TS1 operated",) == found.on_with


def test_of_what_hums_while_it_is_meant_to_be_off_the_same_is_told() -> None:
    found = told("potting_shed", "M2 hums with S2 pressed")
    assert not found.suspects
    (words,) = found.on_with
    assert words.startswith("M2 is on with S2 pressed and ")
    document = DiagnoseDocument("a.panel", (), (), found)
    for text in (
        diagnose_text.render(document, colour=False, width=None),
        diagnose_text.render_round(document, colour=False, width=None),
    ):
        assert f"as drawn   {words}\n" in text
        assert "without that it is meant to be off: say with what it was seen so" in text


def test_what_nothing_can_put_on_or_what_is_on_is_not_told_so() -> None:
    panel = panel_of(VALVE, (), ("wire 208 open",))
    assert () == diagnose(panel, [observation(panel, "Y1 is off")]).on_with
    assert () == told("fertigation", "H1 is on").on_with
