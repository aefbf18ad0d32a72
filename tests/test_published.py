"""The published tables and examples are the bytes they were when their sources were noted."""

import hashlib
from pathlib import Path

PUBLISHED = Path(__file__).parent / "published"
FOLDERS = ("tables", "examples", "schemas")


def listed_digests() -> dict[str, str]:
    """File name below `published/` to its SHA-256, as `sha256sum` writes them."""
    lines = (PUBLISHED / "SHA256SUMS").read_text(encoding="utf-8").splitlines()
    return {name: digest for digest, name in (line.split("  ", 1) for line in lines)}


def actual_digests() -> dict[str, str]:
    files = (path for folder in FOLDERS for path in (PUBLISHED / folder).rglob("*"))
    return {
        path.relative_to(PUBLISHED).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in files
        if path.is_file()
    }


def test_every_published_copy_is_listed_and_unchanged() -> None:
    assert listed_digests() == actual_digests()


def test_every_published_table_begins_with_its_source() -> None:
    unsourced = [
        path.name
        for path in sorted((PUBLISHED / "tables").glob("*.csv"))
        if not path.read_text(encoding="utf-8").startswith("#")
    ]
    assert [] == unsourced
