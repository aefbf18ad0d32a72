"""Reads the published copies: rows of a table, and worked examples."""

import csv
import json
from functools import cache
from pathlib import Path
from typing import Any

PUBLISHED = Path(__file__).parents[1] / "published"

Row = dict[str, str]


def table_names() -> list[str]:
    return sorted(path.stem for path in (PUBLISHED / "tables").glob("*.csv"))


def table_rows(name: str) -> list[Row]:
    """The rows of one published table, without its header of sources."""
    text = (PUBLISHED / "tables" / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@cache
def _examples() -> dict[str, dict[str, Any]]:
    text = (PUBLISHED / "examples" / "examples.jsonl").read_text(encoding="utf-8")
    return {example["id"]: example for example in map(json.loads, text.splitlines())}


def worked_example(identity: str) -> dict[str, Any]:
    """One worked example by its identity: topic, source, inputs, answer, recheck values."""
    return _examples()[identity]


def examples_of_topic(letter: str) -> set[str]:
    """Identities of the examples whose topic begins with this letter."""
    return {key for key, example in _examples().items() if example["topic"].startswith(letter)}
