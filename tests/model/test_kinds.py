"""Kinds of device: one list of them, examples that build, nothing dropped of what is said."""

from __future__ import annotations

import pytest

from netcheck.model.kinds import KINDS
from netcheck.model.make_reference import SORTS, example_panel
from netcheck.model.maker import Kind, Made, Maker
from netcheck.reading import statements as say
from netcheck.reading.phrases import REPEATABLE, Group, Phrase
from netcheck.reading.syntax import read_statements
from netcheck.reading.understanding import understand
from netcheck.reading.words import kind_words
from netcheck.text import Source, Span
from tests.model.build import panel_of

SOMEWHERE = Span("x.panel", 1, 1, 2)


def items(phrase: Phrase) -> say.Facets:
    (statement,) = read_statements(Source("x.panel", f"device X1 {phrase.example}")).statements
    assert isinstance(statement, say.Device)
    return statement.facets


def test_the_grammar_and_the_model_know_the_same_kinds() -> None:
    assert sorted(kind_words()) == sorted(KINDS)


def test_the_reference_goes_through_every_kind_once() -> None:
    assert list(KINDS) == [kind.words for _, module in SORTS for kind in module.KINDS]


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.words)
def test_a_kinds_example_builds_one_device_of_that_kind(kind: Kind) -> None:
    panel = example_panel(kind)
    (device,) = panel.devices.values()
    assert kind.words == device.kind
    assert kind.note
    assert device.terminals


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.words)
def test_a_kinds_parts_stand_between_its_own_terminals(kind: Kind) -> None:
    panel = example_panel(kind)
    (device,) = panel.devices.values()
    assert all({part.a, part.b} <= set(device.terminals) for part in panel.parts)
    assert all(part.a != part.b for part in panel.parts)
    assert len(panel.parts) == len(device.parts)
    for source in panel.sources:
        assert {f"{device.name}:{pole}" for pole in source.poles} <= set(device.terminals)


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.words)
def test_an_example_of_a_property_says_that_property(kind: Kind) -> None:
    for group in kind.groups:
        for phrase in group.properties:
            said = understand(items(phrase), (Group("", None, group.properties),), "it")[0]
            assert any(key.startswith(phrase.key.rstrip(REPEATABLE)) for key in said.properties)


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.words)
def test_an_example_of_a_part_opens_that_part(kind: Kind) -> None:
    for group in kind.groups[1:]:
        assert group.head is not None
        said = understand(items(group.head), kind.groups, "it")
        assert group.key in [part.key for part in said]


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.words)
def test_what_is_said_of_a_device_as_a_whole_is_kept(kind: Kind) -> None:
    """Every property of the device's own, said after its example, leaves a value or a mark."""
    for phrase in kind.groups[0].properties:
        said = understand(items(phrase), kind.groups[:1], "it")[0]
        maker = Maker("X1", [said], Made(), iec=False)
        device = maker.finish("it", "", SOMEWHERE, SOMEWHERE, "panel", frozenset())
        assert device.values, phrase.key


def test_another_device_that_a_device_names_is_kept_by_its_full_name() -> None:
    text = """
assembly BAY
  connections FEED
  breaker CB1 15 A, handle-tied with CB2
  breaker CB2 15 A, handle-tied with CB1
  lamp H1 24 V DC 1 W, shows CB3
end
breaker CB3 15 A
use BAY as B1
"""
    devices = panel_of(text).devices
    assert ("B1.CB2", "B1.CB1", "CB3") == (
        devices["B1.CB1"].values["tied"],
        devices["B1.CB2"].values["tied"],
        devices["B1.H1"].values["shows"],
    )
