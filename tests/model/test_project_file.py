"""What a project file chooses, how a panel's text overrides it, and mistakes at their lines."""

from __future__ import annotations

import pytest

from netcheck.finding import Mistake, Review
from netcheck.model.build import build_panel
from netcheck.model.defaults import AMBIENT_OUTSIDE_C, ambient_c, taken_for_granted
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.review import review
from netcheck.rule import all_rules
from tests.annotated import Texts

PANEL = """panel "Vent"
location roof: outside
source MAINS 120 V AC 60 Hz, two-wire, 10 kA available, neutral bonded here
breaker CB1 15 A, 120 V AC, 10 kA interrupting
lamp H1 120 V AC 20 W, at roof
wire kind power: 14 AWG copper MTW 90 degC black, 0.5 m
circuit "Lamp" in power
  MAINS:L --1-- CB1 --2-- H1 --N-- (14 AWG copper MTW 90 degC white, 0.5 m) MAINS:N
"""


def built(project: str, text: str = PANEL) -> tuple[Panel, list[Mistake]]:
    texts = Texts({"a.panel": text, "netcheck.toml": project})
    gathered = gather("a.panel", texts)
    panel, mistakes = build_panel("a.panel", gathered)
    return panel, [*gathered.mistakes, *mistakes]


def reviewed(project: str, text: str = PANEL) -> Review:
    return review(["a.panel"], Texts({"a.panel": text, "netcheck.toml": project}))[0]


def with_setting(setting: str) -> str:
    return PANEL.replace('"Vent"\n', f'"Vent"\n  {setting}\n', 1)


def test_every_setting_is_written_as_in_a_panels_text() -> None:
    panel, mistakes = built(
        'practice = "IEC 60204-1"\ndrop-limit = "3 %"\nambient = "35 degC, outside 20 degC"\n'
        'numbers = "one for each wire"\nterminals = "75 degC"\nbundling = "6 conductors"\n'
        'duty = "continuous"\n'
    )
    assert [] == mistakes
    settings = panel.settings
    assert settings.practice.iec
    assert (0.03, "wire", 75.0, 6, "continuous") == (
        settings.drop_limit,
        settings.numbers,
        settings.terminals_c,
        settings.bundled,
        settings.duty,
    )
    assert (35.0, 20.0) == (ambient_c(panel, "panel"), ambient_c(panel, "roof"))


def test_without_a_project_file_the_usual_defaults_hold() -> None:
    panel, _ = build_panel("a.panel", gather("a.panel", Texts({"a.panel": PANEL})))
    assert AMBIENT_OUTSIDE_C == ambient_c(panel, "roof")
    assert "" == panel.project_file


def test_what_the_project_file_chooses_is_listed_among_what_was_assumed() -> None:
    panel, _ = built('drop-limit = "3 %"')
    assert "drop limit 3 %, as netcheck.toml has it" in taken_for_granted(panel)


def test_a_text_that_says_the_same_needs_no_reason() -> None:
    _, mistakes = built('drop-limit = "3 %"', with_setting("drop limit 3 %"))
    assert [] == mistakes


def test_a_text_that_overrides_without_a_reason_is_refused_with_the_line_it_overrides() -> None:
    _, (mistake,) = built('\ndrop-limit = "3 %"', with_setting("drop limit 5 %"))
    assert "drop limit is `3 %` in netcheck.toml, line 2" == mistake.message
    assert ("a.panel", 2) == (mistake.place.span.path, mistake.place.span.line)


def test_a_text_overrides_with_a_reason_which_is_listed() -> None:
    text = with_setting('drop limit 5 %, because "a long run to the pump house"')
    panel, mistakes = built('drop-limit = "3 %"', text)
    assert [] == mistakes
    assert 0.05 == panel.settings.drop_limit
    said = "drop limit not `3 %`, as netcheck.toml has it: a long run to the pump house"
    assert said in taken_for_granted(panel)


@pytest.mark.parametrize(
    ("project", "line", "message", "near"),
    [
        ('x = 1\n\npratice = "NEC 2023"', 3, "no key is called `pratice`", "practice"),
        ('duty = "continuos"', 1, "duty: `continuos` is not understood here", "continuous"),
        ("drop-limit = 3", 1, "`drop-limit` takes a text", 'drop-limit = "5 %"'),
        ('drop-limit = "3 V"', 1, "drop limit: `3 V`", "5 %"),
        ('practice = "NEC 1999"', 1, "NEC 1999 is not known here", "NEC 2023"),
        ('practice = "NEC\\nlamp H9"', 1, "`practice` takes a text", "NEC 2023"),
        ('duty = "continuous, because \\"x\\""', 1, "a project file gives no reasons", "remark"),
        ('[rules]\n"a" = "of"', 2, "`of` is no choice for rules", "off"),
        ('[rules]\n"a" = 1', 2, "this is no choice for rules", "off"),
        ('rules = "off"', 1, "`rules` is a table", "[rules]"),
        ('[families]\ndrawings = "off"', 2, "no family is called `drawings`", "drawing"),
        ('[colours]\ngrounding = ["gren"]', 2, "`gren` is no colour", "green"),
        ("[colours]\ngrounding = 1", 2, "this is no list of colours", "black"),
        ('[colours]\n"grounded" = "red"', 2, "no duty of a conductor is called", "grounded"),
        ('a = "b"\nc = [1,', 2, "this is no TOML", ""),
    ],
)
def test_what_does_not_fit_is_told_at_its_line_with_a_near_name(
    project: str, line: int, message: str, near: str
) -> None:
    _, mistakes = built(project)
    mistake = next(one for one in mistakes if one.message.startswith(message))
    assert ("netcheck.toml", line) == (mistake.place.span.path, mistake.place.span.line)
    assert near in mistake.help


def test_a_rule_that_there_is_not_is_told_at_its_line_with_a_near_name() -> None:
    (mistake,) = reviewed('[rules]\n"node with two numbes" = "off"').mistakes
    assert "no rule is called `node with two numbes`" == mistake.message
    assert ("netcheck.toml", 2) == (mistake.place.span.path, mistake.place.span.line)
    assert "did you mean `node with two numbers`?" == mistake.help


def test_rules_and_families_switched_off_are_counted_and_never_look_clean() -> None:
    off = reviewed('[rules]\n"node with two numbers" = "off"\n[families]\nintent = "off"\n')
    intents = [rule.name for rule in all_rules() if rule.family.value == "intent"]
    assert sorted(["node with two numbers", *intents]) == sorted(o.rule for o in off.switched_off)
    assert len(all_rules()) - 1 - len(intents) == off.checks
    assert () == off.clean


def test_a_rule_of_a_family_that_is_off_can_be_switched_on() -> None:
    project = '[families]\ndrawing = "off"\n[rules]\n"number used twice" = "on"\n'
    off = [one.rule for one in reviewed(project).switched_off]
    assert "node with two numbers" in off
    assert "number used twice" not in off


BLUE = PANEL.replace("90 degC black", "90 degC blue")


def test_severities_go_by_the_rules_own_entry_before_its_familys() -> None:
    (usual,) = reviewed("", BLUE).findings
    assert "query" == usual.severity
    (family,) = reviewed('[families]\ndrawing = "defect"', BLUE).findings
    assert "defect" == family.severity
    project = '[families]\ndrawing = "defect"\n[rules]\n"colour against its duty" = "danger"'
    (own,) = reviewed(project, BLUE).findings
    assert "danger" == own.severity


def test_a_scheme_of_colours_of_the_plant_takes_the_place_of_the_standards() -> None:
    assert () == reviewed('[colours]\n"ungrounded AC" = ["black", "blue"]', BLUE).findings
    (found,) = reviewed('[colours]\n"ungrounded AC" = ["red"]').findings
    assert "another circuit's colour: they are ungrounded AC" in found.message
    assert "red" == found.working[0].value


def test_a_text_leaves_out_a_rule_with_a_reason_only() -> None:
    (mistake,) = reviewed("", with_setting("leave out colour against its duty")).mistakes
    assert "a text that chooses rules gives the reason" == mistake.message
    text = with_setting('leave out colour against its duty, because "an old panel"')
    found = reviewed("", text)
    assert () == found.mistakes
    assert ["an old panel"] == [off.reason for off in found.switched_off]


def test_a_text_looks_for_what_the_project_file_has_off() -> None:
    text = with_setting('look for colour against its duty, because "new wiring"')
    assert () == reviewed('[rules]\n"colour against its duty" = "off"', text).switched_off


def test_no_text_leaves_out_a_rule_that_finds_dangers() -> None:
    text = with_setting('leave out missing load, because "it is in the way"')
    found = reviewed("", text)
    assert ["`missing load` finds dangers: no text leaves it out"] == [
        one.message for one in found.mistakes
    ]
    assert () == found.switched_off


def test_loads_that_say_nothing_run_continuously_where_the_project_says_so() -> None:
    """NEC 210.19(A)(1): 125 % of a continuous load; 13 A x 1.25 = 16.25 A is more than 15 A."""
    text = PANEL.replace("lamp H1 120 V AC 20 W", "lamp H1 120 V AC 13 A")
    assert () == reviewed("", text).findings
    found = reviewed('duty = "continuous"', text).findings
    assert {"undersized conductor"} == {finding.rule for finding in found}
