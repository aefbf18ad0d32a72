"""Metal off ground, and texts that draw no grounding conductor at all."""

from __future__ import annotations

from netcheck.finding import Review
from netcheck.review import review
from tests.annotated import Texts

RULE = "missing grounding conductor"
FAN = """panel "Fan"
wire kind branch: 14 AWG copper MTW 90 degC black, 600 V insulation, 1 m
wire N: white
edge E1 {volts} 60 Hz, fused 15 A, 5 kA available, N grounded, from "lighting panel"
fan EV1 {volts} 18 W, not hazardous, always on
grounding bar GB1 terminals 1 to 2
circuit "Fan" in branch
  E1:L --1-- EV1 --N-- E1:N
{ground}"""


def reviewed(ground: str = "", volts: str = "120 V AC") -> Review:
    text = FAN.format(ground=ground, volts=volts)
    return review(["fan.panel"], Texts({"fan.panel": text}))[0]


def said(outcome: Review) -> tuple[list[str], list[str]]:
    findings = [one.message for one in outcome.findings if one.rule == RULE]
    return findings, [one.reason for one in outcome.not_checked if one.rule == RULE]


def test_a_text_without_any_grounding_conductor_is_asked_once_and_not_passed() -> None:
    question = "no grounding conductor is drawn: whether `EV1` is grounded"
    assert ([], [question]) == said(reviewed())


def test_a_fan_beside_a_bar_that_is_drawn_is_found() -> None:
    ground = "  E1:PE --PE-- (green) GB1:1\n"
    assert (["`EV1` has no grounding conductor"], []) == said(reviewed(ground))


def test_a_bar_that_leads_to_no_source_grounds_nothing() -> None:
    ground = "  GB1:1 --PE-- (green) EV1:PE\n"
    message = "the grounding conductor of `EV1` leads to no ground of a source"
    assert ([message], []) == said(reviewed(ground))


def test_a_fan_on_the_bar_is_grounded() -> None:
    ground = "  E1:PE --PE-- (green) GB1:1 --PE-- (green) EV1:PE\n"
    assert ([], []) == said(reviewed(ground))


def test_up_to_fifty_volts_nothing_is_asked() -> None:
    assert ([], []) == said(reviewed(volts="24 V AC"))
