"""Auxiliary contacts of breakers and disconnects, as whoever stands before the panel finds them.

In a review they move freely: they tell of trips, which nothing foresees.  At the bench a breaker
is closed until somebody, a fault or a short opens it, and its auxiliary contacts stand as its poles
do: the normally open ones are closed with it (fact of the trade, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.model.devices import Drive
from netcheck.model.panel import Assumption, Claim, Condition, Intent, Is, Not, Panel
from netcheck.record import replace


def following(panel: Panel) -> Panel:
    """The panel with such contacts moved by what moves the poles; the very panel without any."""
    leads = {
        name: one.device
        for name, one in panel.mechanisms.items()
        if one.drive is Drive.PROCESS
        and one.device != name
        and _is_closed_by_hand(panel, one.device)
    }
    if not leads:
        return panel
    parts = (
        replace(part, mechanism=leads[part.mechanism]) if part.mechanism in leads else part
        for part in panel.parts
    )
    devices = {
        name: replace(one, mechanisms=tuple(m for m in one.mechanisms if m not in leads))
        for name, one in panel.devices.items()
    }
    return replace(
        panel,
        parts=tuple(parts),
        devices=devices,
        mechanisms={name: one for name, one in panel.mechanisms.items() if name not in leads},
        intents=tuple(_meant(intent, leads) for intent in panel.intents),
        assumptions=tuple(_assumed(one, leads) for one in panel.assumptions),
    )


def _is_closed_by_hand(panel: Panel, device: str) -> bool:
    own = panel.mechanisms.get(device)
    return own is not None and own.drive is Drive.PROTECTION


def _meant(intent: Intent, leads: Mapping[str, str]) -> Intent:
    return replace(intent, claim=_claimed(intent.claim, leads))


def _assumed(one: Assumption, leads: Mapping[str, str]) -> Assumption:
    return replace(one, claim=_claimed(one.claim, leads)) if isinstance(one.claim, Claim) else one


def _claimed(claim: Claim, leads: Mapping[str, str]) -> Claim:
    given = None if claim.given is None else _said(claim.given, leads)
    return replace(claim, condition=_said(claim.condition, leads), given=given)


def _said(condition: Condition, leads: Mapping[str, str]) -> Condition:
    """At rest is open, operated is closed: the positions have the same numbers."""
    if isinstance(condition, Is):
        return replace(condition, mechanism=leads.get(condition.mechanism, condition.mechanism))
    if isinstance(condition, Not):
        return Not(_said(condition.inner, leads))
    return type(condition)(tuple(_said(part, leads) for part in condition.parts))
