from netcheck.model.build import build_panel
from netcheck.model.defaults import taken_for_granted
from netcheck.reading.project import gather
from tests.annotated import Texts

TEXT = """
panel "Assumed"
battery B1 24 V DC, ungrounded
relay K1 coil 24 V DC; normally open 13-14
button S1 normally open 13-14
button S2 normally open 13-14
circuit "Pump"
  B1:+ -- S1 -- K1:A1-A2 -- B1:-
assume S1 and S2 are never pressed together
"""


def assumed(text: str) -> tuple[str, ...]:
    panel, mistakes = build_panel("p", gather("p", Texts({"p": text})))
    assert not mistakes
    return taken_for_granted(panel)


def test_an_assumption_about_a_relay_is_listed_for_it_holds_the_relay_itself() -> None:
    words = "K1 as an assumption has it, whatever the coil gets"
    assert words not in assumed(TEXT)
    assert words in assumed(f"{TEXT}assume S2 is pressed only while K1 is in\n")
