"""What looks open beside a line that could not be read is not checked, and all else still is.

Source: a silent pass is no pass, and neither is a fault made up of what nobody read.
"""

from __future__ import annotations

from netcheck.finding import Review
from netcheck.review import review
from tests.annotated import Texts

HEAD = """panel "Bench"
wire kind default: 16 AWG copper MTW 90 degC blue, 600 V insulation, 1 m
edge E1 24 V DC, fused 5 A, 100 A available, 0V grounded, from "greenhouse panel"
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
switch S1 normally open 13-14 60 V DC 4 A
"""


def reviewed(text: str) -> Review:
    return review(["bench.panel"], Texts({"bench.panel": HEAD + text}))[0]


def dead(found: Review) -> list[str]:
    return [one.devices[0] for one in found.findings if one.rule == "load never energised"]


def unchecked(found: Review) -> list[str]:
    return [one.reason for one in found.not_checked if one.rule == "load never energised"]


def test_a_load_in_a_line_that_could_not_be_read_is_not_called_dead() -> None:
    found = reviewed('circuit "x"\n  E1:+ -- S1:13\n  S1:14 -- -- H1\n  H1:X2 -- E1:0V\n')
    assert [] == dead(found)
    (reason,) = unchecked(found)
    assert reason.startswith(
        "line 9 could not be read, and may join what looks open: `H1` is never"
    )


def test_a_load_behind_a_device_that_is_not_understood_is_not_called_dead() -> None:
    text = 'buton S2 normally open 13-14\ncircuit "x"\n  E1:+ -- S2 -- H1 -- E1:0V\n'
    found = reviewed(text)
    assert [] == dead(found)
    assert 1 == len(unchecked(found))


def test_a_dead_load_that_no_unread_line_names_is_still_told() -> None:
    found = reviewed('circuit "x"\n  E1:+ -- S1 -- -- H1 -- E1:0V\n  H2:X1 -- E1:0V\n')
    assert ["H2"] == dead(found)
    assert [] == unchecked(found)


def test_a_mistake_that_draws_nothing_hides_no_dead_load() -> None:
    found = reviewed('ambient 40 kg\ncircuit "x"\n  E1:+ -- S1 -- H1\n')
    assert len(found.mistakes) == 1
    assert ["H1"] == dead(found)


def test_where_a_file_could_not_be_had_nothing_is_called_open() -> None:
    found = reviewed('include "zones.panel"\ncircuit "x"\n  E1:+ -- S1 -- H1\n')
    assert [] == dead(found)
    assert ["a part of the text"] == [reason[:18] for reason in unchecked(found)]


INTENTS = 'intent "off": H1 is off whenever S1 is off\nintent "on": sometimes H1 is on\n'


def of_intents(found: Review) -> list[str]:
    return [one.reason for one in found.not_checked if one.rule == "intent not met"]


def test_an_intent_is_not_called_proved_beside_a_line_that_could_not_be_read() -> None:
    text = 'button S2 normaly open 13-14\ncircuit "x"\n  E1:+ -- S1 -- H1 -- E1:0V\n'
    found = reviewed(text + "  E1:+ -- S2 -- H1\n" + INTENTS)
    assert () == found.proved
    reason = "line 7 could not be read, and may decide whether intents `off` and `on` hold"
    assert [reason] == of_intents(found)


def test_an_intent_that_only_an_unread_line_may_fail_is_not_called_broken() -> None:
    text = 'button S2 normaly open 13-14\ncircuit "x"\n  E1:+ -- S2 -- H1 -- E1:0V\n'
    found = reviewed(text + 'intent "on": sometimes H1 is on\n')
    assert [] == [one for one in found.findings if one.rule == "intent not met"]
    (reason,) = of_intents(found)
    assert reason.startswith("line 7 could not be read, and may decide it: intent `on` is not met")


def test_a_mistake_that_draws_nothing_leaves_an_intent_proved() -> None:
    text = 'ambient 40 kg\ncircuit "x"\n  E1:+ -- S1 -- H1 -- E1:0V\n'
    found = reviewed(text + INTENTS)
    assert ["off", "on"] == [one.what for one in found.proved]
    assert [] == of_intents(found)


def test_a_source_in_a_line_that_could_not_be_read_is_not_called_left_out() -> None:
    source = 'edge E2 24 V DC, fused 5 A, 100 A available, 0V grounded, from "greenhouse panel"\n'
    found = reviewed(source + 'circuit "x"\n  E2:+ -- -- H1 -- E2:0V\n')
    assert ["E1"] == [one.devices[0] for one in found.findings if "E1" in one.devices]
    assert [] == [one for one in found.findings if "E2" in one.devices]
