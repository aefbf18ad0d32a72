"""`Everything is off`: every load that should be on is, so that what feeds all is suspected."""

from __future__ import annotations

import pytest

from netcheck.bench import diagnose_text
from netcheck.bench.as_found import as_found
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.observations import Everything, observation
from netcheck.model.names import NameMistake
from netcheck.model.panel import Panel
from tests.bench.panels import CONTROLLER, SAMPLES, VALVE, panel_of, sample


def told(panel: Panel, *lines: str) -> Diagnosis:
    return diagnose(panel, [observation(panel, line) for line in lines])


def faults(found: Diagnosis) -> list[str]:
    return [one.fault for one in found.suspects]


@pytest.mark.parametrize(
    "line",
    [
        "everything is off",
        "Everything is dead",
        "everything went dark",
        "all is dead",
        "all loads are off",
        "all of it is dark",
        "it all stops",
        "nothing works",
        "Nothing is on",
        "nothing comes on",
        "no load runs",
        "no loads are on",
        "none of it works",
        "the whole panel is dead",
        "the panel has no power",
        "no power",
        "there is no power at all",
        "nothing works when S2 is pressed",
        "everything is off with S2 pressed",
    ],
)
def test_everything_is_off_in_the_words_that_people_use(line: str) -> None:
    withs = ("S2 pressed",) if "S2" in line else ()
    assert Everything(line, withs) == observation(panel_of(VALVE), line)


@pytest.mark.parametrize(
    ("line", "message", "help"),
    [
        ("everything works", "`everything works` tells of no load", "name what is wrong, as in"),
        ("nothing is off", "`nothing is off` tells of no load", "name what is wrong, as in"),
        ("nothing wroks", "`nothing wroks` is no symptom", "did you mean `works`"),
        ("everything is dim", "`everything is dim` tells of no load", "name what is wrong, as in"),
    ],
)
def test_what_says_no_such_thing_of_everything_is_refused(
    line: str, message: str, help: str
) -> None:
    with pytest.raises(NameMistake) as refused:
        observation(panel_of(VALVE), line)
    assert message == refused.value.message
    assert help in refused.value.help


def test_what_feeds_all_is_suspected_and_nothing_that_feeds_one_load() -> None:
    """Both valves and the relay hang on FU1 and E1 only."""
    found = told(panel_of(VALVE), "nothing works")
    assert {"FU1 blown", "E1 gives nothing"} <= set(faults(found))
    assert found.everything
    for one in faults(found):
        assert "Y1" not in one


@pytest.mark.parametrize("name", ["greenhouse", "boiler_pumps", "dosing", "fertigation"])
def test_main_protection_and_the_source_come_among_the_first(name: str) -> None:
    """Common practice: with everything out look at the supply and the main first."""
    found = told(as_found(sample(SAMPLES / f"{name}.panel")), "everything is off")
    assert any(one.endswith("gives nothing") for one in faults(found)[:6])
    assert any(one.endswith(("tripped", "blown")) for one in faults(found)[:2])


def test_what_it_is_taken_to_mean_is_said_with_what_has_to_be_operated_for_it() -> None:
    found = told(panel_of(VALVE), "nothing works")
    assert all("is off with S2 pressed" in one for one in found.everything)
    for render in (diagnose_text.render, diagnose_text.render_round):
        document = DiagnoseDocument("a", (), ("nothing works",), found)
        text = render(document, colour=False, width=None)
        assert f"taken as   {'; '.join(found.everything)}; if not, name what is off\n" in text


def test_of_what_else_is_said_of_a_load_everything_says_nothing() -> None:
    """That the relay is in tells that its way is whole."""
    found = told(panel_of(VALVE), "nothing works with S2 pressed", "K1 is in with S2 pressed")
    assert not any(one.startswith("K1 ") for one in found.everything)
    assert faults(found)
    assert "FU1 blown" not in faults(found)


def test_all_of_one_kind_are_off_is_said_of_that_kind_alone() -> None:
    panel = panel_of(VALVE)
    for line in ("all valves are off with S2 pressed", "no valve opens with S2 pressed"):
        assert "valve" == getattr(observation(panel, line), "kind", "")
    found = told(panel, "all valves are off with S2 pressed", "K1 is in with S2 pressed")
    assert ("Y1 is off with S2 pressed", "Y2 is off with S2 pressed") == found.everything
    assert "wire 207 open" in faults(found)
    with pytest.raises(NameMistake) as refused:
        observation(panel, "all lamps are off")
    assert "`all lamps are off`: there is no lamp here" == refused.value.message


def test_an_input_of_a_controller_or_a_supply_is_nothing_that_is_seen_to_be_off() -> None:
    found = told(panel_of(CONTROLLER), "everything is off with FL1 operated")
    assert any(one.startswith("PLC1 is off") for one in found.everything)
    shed = told(sample(SAMPLES / "potting_shed.panel"), "everything is off")
    assert not any(one.startswith("PS1 ") for one in shed.everything)
