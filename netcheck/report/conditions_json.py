"""Conditions as a JSON document, described field by field in conditions.schema.json.

A product is an object: what moves, and in which of its positions (any of those named).  A
condition holds where one of its products does.  Every field is always present; the bytes are
ASCII, and the same for the same panel.
"""

from __future__ import annotations

import json
from typing import Any

from netcheck import __version__
from netcheck.finding import Place
from netcheck.model.panel import Panel
from netcheck.report.closing import CAUTION
from netcheck.report.condition_sheet import Accounts, Sheet
from netcheck.report.condition_words import ConditionWords, Said
from netcheck.report.json import mistake_in_json, place_in_json
from netcheck.states.conditions import Held, LoadCondition, Range, Relay, Sum, Told, TooLarge
from netcheck.states.terms import Product

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(sheet: Sheet) -> str:
    """Return the document as text that ends with a line end."""
    return json.dumps(document(sheet), indent=2, allow_nan=False) + "\n"


def document(sheet: Sheet) -> dict[str, Any]:
    """Return the document as plain dictionaries and lists."""
    panel = sheet.panel
    form = _Form(sheet, panel) if panel is not None else None
    return {
        "schema": SCHEMA,
        "netcheck": __version__,
        "panel": sheet.path,
        "supposed": list(sheet.supposed),
        "counts": {
            "loads": len(sheet.loads),
            "not_decided": sheet.not_decided,
            "too_large": sheet.too_large,
            "mistakes": len(sheet.mistakes),
        },
        "loads": [form.load(load) for load in sheet.loads] if form else [],
        "relays": [form.relay(relay) for relay in sheet.relays] if form else [],
        "open": list(sheet.open),
        "mistakes": [mistake_in_json(mistake) for mistake in sheet.mistakes],
        "assumed": list(sheet.assumed),
        "caution": " ".join(CAUTION),
    }


class _Form:
    """The form of what one panel's sheet holds."""

    def __init__(self, sheet: Sheet, panel: Panel) -> None:
        self._panel = panel
        self._words = ConditionWords(panel)
        self._accounts = Accounts(sheet, panel)

    def load(self, load: LoadCondition) -> dict[str, Any]:
        device = self._panel.devices[load.device]
        parts = [self._panel.parts[index] for index in load.parts]
        return {
            "load": self._accounts.label(load),
            "device": load.device,
            "kind": device.kind,
            "description": device.description,
            "works": parts[0].load.works if parts[0].load else "",
            "terminals": [[part.a, part.b] for part in parts],
            "place": place_in_json(Place(device.span)),
            "relay": self._words.name(load.relay),
            "drawn": self._range(load.drawn),
            "full": self._range(load.full),
            "words": [self._line(line.name, line.said) for line in self._accounts.of(load)],
        }

    def relay(self, relay: Relay) -> dict[str, Any]:
        return {
            "relay": self._words.name(relay.name),
            "device": self._panel.mechanisms[relay.name].device,
            "way": relay.way,
            "when": self._range(relay.when),
            "reset": self._range(relay.reset) if relay.reset is not None else None,
            "held": self._held(relay.held) if relay.held is not None else None,
            "chatters": self._told(relay.chatters),
        }

    def _line(self, name: str, said: Said) -> str:
        alternatives = "; ".join(said.alternatives)
        return " ".join(part for part in (name, said.lead, alternatives) if part)

    def _held(self, held: Held) -> dict[str, Any]:
        return {
            "started": self._told(held.started),
            "kept": self._told(held.kept),
            "stopped": self._told(held.stopped),
            "let_go": [
                {
                    "switch": self._words.name(moved.name),
                    "between": [self._positions(moved.name)[k] for k in (moved.start, moved.end)],
                }
                for moved in held.let_go
            ],
        }

    def _range(self, told: Range) -> dict[str, Any]:
        return {
            "decided": told.decided,
            "sure": self._told(told.sure),
            "possible": self._told(told.possible),
        }

    def _told(self, told: Told) -> dict[str, Any]:
        products = told.products if isinstance(told, Sum) else ()
        return {
            "any_of": [self._product(product) for product in products],
            "too_large": isinstance(told, TooLarge),
            "depends_on": told.things if isinstance(told, TooLarge) else None,
            "words": self._line("", self._words.told(told)),
        }

    def _product(self, product: Product) -> dict[str, list[str]]:
        return {
            self._words.name(term.name): [
                self._positions(term.name)[index] for index in sorted(term.positions)
            ]
            for term in product
        }

    def _positions(self, name: str) -> tuple[str, ...]:
        return self._panel.mechanisms[name].positions
