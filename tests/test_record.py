"""A record is what a frozen dataclass with slots is, only quicker to declare."""

from __future__ import annotations

import pickle
from dataclasses import dataclass

import pytest

from netcheck.record import FrozenRecord, record, replace


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
