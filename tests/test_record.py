"""A record is what a frozen dataclass with slots is, only quicker to declare."""

from __future__ import annotations

import pickle
from dataclasses import dataclass
from functools import cached_property

import pytest

from netcheck.record import FrozenRecord, draft, fresh, record, replace


@record
class Lamp:
    """A lamp."""

    name: str
    volts: float = 24.0

    @property
    def label(self) -> str:
        return f"{self.name} {self.volts:g} V"


@dataclass(frozen=True, slots=True)
class LampAsDataclass:
    name: str
    volts: float = 24.0


def test_a_record_shows_and_hashes_as_a_dataclass_does() -> None:
    ours, theirs = Lamp("H1", volts=12.0), LampAsDataclass("H1", volts=12.0)
    assert repr(theirs) == repr(ours).replace("Lamp(", "LampAsDataclass(")
    assert hash(theirs) == hash(ours)
    assert ("A lamp.", "H1 12 V") == (Lamp.__doc__, ours.label)


def test_records_are_equal_by_their_fields_and_only_to_their_own_kind() -> None:
    assert Lamp("H1") == Lamp("H1", 24.0)
    assert Lamp("H1") != Lamp("H2")
    others: list[object] = [LampAsDataclass("H1"), ("H1", 24.0)]
    assert Lamp("H1") not in others


def test_a_field_can_neither_be_changed_nor_added() -> None:
    lamp = Lamp("H1")
    for name in ("volts", "colour"):
        with pytest.raises(FrozenRecord, match=f"cannot change {name} of a Lamp"):
            setattr(lamp, name, 12.0)
    with pytest.raises(FrozenRecord):
        del lamp.name


def test_replace_gives_a_changed_copy_and_refuses_unknown_fields() -> None:
    lamp = Lamp("H1")
    assert Lamp("H1", 12.0) == replace(lamp, volts=12.0)
    assert Lamp("H1") == lamp
    with pytest.raises(TypeError):
        replace(lamp, colour="red")


def test_a_record_needs_its_fields_like_any_call() -> None:
    with pytest.raises(TypeError):
        Lamp()  # type: ignore[call-arg]


def test_a_record_survives_a_trip_between_processes() -> None:
    assert Lamp("H1") == pickle.loads(pickle.dumps(Lamp("H1")))


def test_records_sort_by_their_fields() -> None:
    assert [Lamp("H1"), Lamp("H2")] == sorted([Lamp("H2"), Lamp("H1")], key=lambda lamp: lamp.name)
    assert Lamp("H1") < Lamp("H2")  # type: ignore[operator]


def test_a_record_matches_by_position() -> None:
    match Lamp("H1", 12.0):
        case Lamp(name, volts):
            assert ("H1", 12.0) == (name, volts)


@draft
class Basket:
    """Lamps being counted."""

    owner: str
    lamps: list[Lamp] = fresh(factory=list)


def test_a_fresh_default_is_shared_by_nobody() -> None:
    mine, yours = Basket("me"), Basket("you")
    mine.lamps.append(Lamp("H1"))
    assert ([Lamp("H1")], []) == (mine.lamps, yours.lamps)
    assert [Lamp("H2")] == Basket("me", [Lamp("H2")]).lamps


def test_a_draft_can_be_changed_but_takes_no_new_field() -> None:
    basket = Basket("me")
    basket.owner = "you"
    assert "you" == basket.owner
    with pytest.raises(AttributeError):
        setattr(basket, "colour", "red")  # noqa: B010 (no such field)


@record
class Panel:
    """Knows its lamps by name."""

    lamps: tuple[Lamp, ...]

    @cached_property
    def by_name(self) -> dict[str, Lamp]:
        return {lamp.name: lamp for lamp in self.lamps}


def test_what_a_record_works_out_it_keeps() -> None:
    panel = Panel((Lamp("H1"),))
    assert panel.by_name is panel.by_name
    assert Panel((Lamp("H1"),)) == panel
    assert Panel(()) == replace(panel, lamps=())


def test_a_field_without_default_may_not_follow_one_that_has_one() -> None:
    with pytest.raises(TypeError, match="stands behind"):

        @record
        class Odd:
            volts: float = 24.0
            name: str  # type: ignore[misc]


@record
class Nothing:
    """A record without fields."""


def test_records_of_any_number_of_fields_take_them_by_name_and_place() -> None:
    assert Nothing() == Nothing()
    assert Lamp("H1", volts=6.0) == Lamp(name="H1", volts=6.0) == Lamp("H1", 6.0)
    with pytest.raises(TypeError):
        Lamp("H1", 6.0, "red")  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="colour"):
        Lamp("H1", colour="red")  # type: ignore[call-arg]
