"""The schemas of what is written as JSON: each valid, whole, and described field by field."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import netcheck

SCHEMAS = sorted(Path(netcheck.__path__[0]).rglob("*.schema.json"))

each = pytest.mark.parametrize("path", SCHEMAS, ids=lambda path: path.name)


def schema_in(path: Path) -> dict[str, Any]:
    schema: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return schema


def objects(schema: Any) -> Iterator[dict[str, Any]]:
    """Every part of the schema that describes an object with named fields."""
    if isinstance(schema, dict):
        if "properties" in schema:
            yield schema
        for part in schema.values():
            yield from objects(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from objects(part)


@each
def test_the_schema_is_itself_valid(path: Path) -> None:
    jsonschema.Draft202012Validator.check_schema(schema_in(path))


@each
def test_every_field_is_required_described_and_no_other_is_allowed(path: Path) -> None:
    schema = schema_in(path)
    described = list(objects(schema))
    assert described
    for one in described:
        assert list(one["properties"]) == one["required"]
        assert one["additionalProperties"] is False
        for name, field in one["properties"].items():
            of = schema["$defs"][field["$ref"].rpartition("/")[2]] if "$ref" in field else {}
            assert field.get("description") or of.get("description"), name
