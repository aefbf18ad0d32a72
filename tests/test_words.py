"""The project keeps to its own scenario and names no folder outside itself."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# Written with a bar inside, so that this file does not hold what it looks for.
UNWANTED = re.compile(
    "|".join(
        pattern.replace("|", "")
        for pattern in (
            "tran|script",
            "seed[ -]docu|ment",
            "video-|01",
            "brew|ery",
            "brew|eries",
            "brew|house",
            "brew|ing",
            r"(?<!\w)/wo|rk/",
            r"(?<!\w)sha|red/",
        )
    ),
    re.IGNORECASE,
)


def tracked_files() -> list[Path]:
    """Every file of the repository, published copies apart: those are other people's words."""
    if not (ROOT / ".git").exists():
        pytest.skip("only a clone knows which files are the project's own")
    listing = ["git", "ls-files", "-z", "--", ".", ":!tests/published/tables/*"]
    listing.append(":!tests/published/examples/*")
    answer = subprocess.run(listing, cwd=ROOT, check=True, capture_output=True, text=True)
    names = [name for name in answer.stdout.split("\0") if name]
    assert names
    return [ROOT / name for name in names if (ROOT / name).is_file()]


def unwanted_lines(text: str) -> list[str]:
    return [line for line in text.splitlines() if UNWANTED.search(line)]


def test_no_file_speaks_of_another_scenario_or_of_a_folder_outside() -> None:
    hits = [
        f"{path.relative_to(ROOT)}: {line.strip()[:100]}"
        for path in tracked_files()
        for line in [path.name, *unwanted_lines(path.read_text("utf-8", errors="replace"))]
        if UNWANTED.search(line)
    ]
    assert [] == hits


@pytest.mark.parametrize(
    "line",
    ["see the Tran|script", "a Brew|ery's pump", "open(/wo|rk/x)", "`sha|red/tables`", "video-|01"],
)
def test_the_search_does_find_what_it_looks_for(line: str) -> None:
    assert [line.replace("|", "")] == unwanted_lines(line.replace("|", ""))


@pytest.mark.parametrize("line", ["a shared neutral", "does it work/fail", "unshared/shared poles"])
def test_the_search_leaves_ordinary_words_alone(line: str) -> None:
    assert [] == unwanted_lines(line)
