"""What switches a load off, and series that never close.

Sources: circuit theory; that a disconnect or a lone breaker is a load's switch is common
practice, no source.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.series_contacts import SeriesContacts
from netcheck.facts.ways_off import WaysOff
from netcheck.review import judge
from tests.facts.panels import panel_of

HEAD = """panel "Bench"
edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded, from "main panel"
edge E2 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
heater HTR1 500 W 120 V AC
"""


def always_on(text: str) -> list[str]:
    case = Case(panel_of(HEAD + text))
    return [one.load.name for one in case.conclude(WaysOff).always_on]


def told(text: str) -> list[str]:
    return [
        one.message
        for one in judge(panel_of(HEAD + text)).findings
        if one.rule == "load that nothing switches off"
    ]


DIRECT = 'circuit "Bench"\n  E1:L -- HTR1 -- E1:N\n'


def test_a_heater_on_its_source_is_always_on() -> None:
    assert ["HTR1"] == always_on(DIRECT)
    assert ["`HTR1` is on whenever its source is present: nothing switches it off"] == told(DIRECT)


@pytest.mark.parametrize(
    "kind", ["switch S1 normally open 1-2", "temperature switch S1 normally closed 1-2"]
)
def test_a_switch_of_hand_or_process_is_a_way_off(kind: str) -> None:
    assert [] == always_on(f'{kind}\ncircuit "Bench"\n  E1:L -- S1 -- HTR1 -- E1:N\n')


@pytest.mark.parametrize("kind", ["breaker CB1 15 A", "disconnect CB1 30 A"])
def test_a_lone_handle_is_the_loads_switch(kind: str) -> None:
    text = f'{kind}\ncircuit "Bench"\n  E1:L -- CB1 -- HTR1 -- E1:N\n'
    assert ["HTR1"] == always_on(text)
    assert [] == told(text)


def test_a_fuse_is_no_switch() -> None:
    text = 'fuse FU1 15 A\ncircuit "Bench"\n  E1:L -- FU1 -- HTR1 -- E1:N\n'
    assert ["`HTR1` is on whenever its source is present: nothing switches it off"] == told(text)


@pytest.mark.parametrize(
    ("kind", "words"),
    [("breaker CB1 15 A", ["nothing but `CB1` switches it off"]), ("disconnect CB1 30 A", [])],
)
def test_a_bridged_contact_was_meant_to_switch_and_only_a_disconnect_makes_up_for_it(
    kind: str, words: list[str]
) -> None:
    text = f"{kind}\nswitch S1 normally open 1-2\n"
    text += 'circuit "Bench"\n  E1:L -- CB1 -- S1 -- HTR1 -- E1:N\n  CB1:2 -- S1:2\n'
    assert words == [message.partition(": ")[2] for message in told(text)]


def test_tripping_is_no_way_of_switching_off() -> None:
    text = """contactor K1 coil 24 V DC 3 W; 1 main pole 25 A
overload OL1 1-pole, set 4 A; trip contact normally closed 95-96
circuit "Bench"
  E1:L -- K1:1-2 -- OL1:1-2 -- HTR1 -- E1:N
  E2:+ -- OL1:95-96 -- K1:A1-A2 -- E2:0V
"""
    assert ["HTR1"] == always_on(text)


def test_a_load_marked_always_on_is_meant_to_be() -> None:
    assert [] == told(DIRECT.replace("circuit", "heater HTR2 500 W 120 V AC, always on\ncircuit", 1)
                      .replace("HTR1 --", "HTR2 --"))  # fmt: skip


SWITCHES = """switch S1 normally open 1-2
switch S2 normally open 1-2
relay K1 coil 24 V DC 1 W; normally open 13-14; normally closed 21-22
lamp H1 24 V DC 2 W
circuit "Bench"
  E2:+ -- S1 -- K1:A1-A2 -- E2:0V
  E2:+ -- S2 -- H1 -- E2:0V
"""


def series(text: str) -> list[list[str]]:
    found = Case(panel_of(HEAD + SWITCHES + text)).conclude(SeriesContacts).never_closed
    return [[part.label for part in one.excluded] for one in found]


def test_contacts_in_series_that_exclude_one_another_are_found() -> None:
    assert [["K1 13-14", "K1 21-22"]] == series("  E2:+ -- K1:13-14 -- K1:21-22 -- H1\n")


def test_contacts_with_a_branch_between_them_are_not_in_series() -> None:
    assert [] == series("  E2:+ -- K1:13-14 -- K1:21-22 -- H1\n  K1:14 -- H1:X1\n")


def test_contacts_that_would_short_a_source_are_meant_to_exclude_one_another() -> None:
    assert [] == series("  E2:+ -- K1:13-14 -- K1:21-22 -- E2:0V\n")
