"""What an installer gets: version, requirements, and a wheel that holds all it needs."""

import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from email.parser import Parser
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

import netcheck
from netcheck.data import package_text

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
GRAMMARS = sorted(path.name for path in (ROOT / "grammar").iterdir() if path.is_file())


def test_the_version_is_written_in_one_place_only() -> None:
    assert "version" not in PROJECT["project"]
    assert "netcheck/__init__.py" == PROJECT["tool"]["hatch"]["version"]["path"]
    assert str(Version(netcheck.__version__)) == netcheck.__version__


def test_the_source_tree_s_grammar_is_the_one_that_is_read() -> None:
    assert any(name.endswith(".lark") for name in GRAMMARS)
    for name in GRAMMARS:
        written = (ROOT / "grammar" / name).read_text(encoding="utf-8")
        assert written == package_text("grammar", name)


def locked() -> dict[str, list[Version]]:
    """Name to the versions the lock pins it at (several where Python versions differ)."""
    pins: dict[str, list[Version]] = {}
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    for name, version in re.findall(r"^([\w.-]+)==([^\s;]+)", text, re.MULTILINE):
        pins.setdefault(canonicalize_name(name), []).append(Version(version))
    return pins


def wanted() -> list[Requirement]:
    project = PROJECT["project"]
    lists = [
        PROJECT["build-system"]["requires"],
        project["dependencies"],
        *project["optional-dependencies"].values(),
        *PROJECT["dependency-groups"].values(),
    ]
    return [Requirement(text) for texts in lists for text in texts]


def test_the_lock_pins_everything_the_project_asks_for() -> None:
    pins = locked()
    unmet = [
        str(requirement)
        for requirement in wanted()
        if not any(
            requirement.specifier.contains(version, prereleases=True)
            for version in pins.get(canonicalize_name(requirement.name), [])
        )
    ]
    assert [] == unmet


def test_the_lock_holds_digests_and_names_no_host() -> None:
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert "://" not in text
    assert [] == re.findall(r"^-.*$", text, re.MULTILINE)
    entries = re.split(r"^(?=[\w.-]+==)", text, flags=re.MULTILINE)[1:]
    assert entries
    assert [] == [entry.split()[0] for entry in entries if "--hash=sha256:" not in entry]


def hatch(folder: Path, target: str, into: Path) -> Path:
    """Build `target` (sdist or wheel) of the project in `folder` and return the file."""
    command = [sys.executable, "-m", "hatchling", "build", "--target", target]
    subprocess.run(
        [*command, "--directory", str(into)], cwd=folder, check=True, capture_output=True
    )
    (built,) = into.iterdir()
    return built


@pytest.fixture(scope="module")
def sdist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return hatch(ROOT, "sdist", tmp_path_factory.mktemp("sdist"))


@pytest.fixture(scope="module")
def wheel(sdist: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel built from the sdist, as an installer without the repository would."""
    unpacked = tmp_path_factory.mktemp("unpacked")
    with tarfile.open(sdist) as archive:
        archive.extractall(unpacked, filter="data")
    (folder,) = unpacked.iterdir()
    return hatch(folder, "wheel", tmp_path_factory.mktemp("wheel"))


@pytest.mark.slow
def test_the_sdist_brings_grammar_samples_and_tests_along(sdist: Path) -> None:
    with tarfile.open(sdist) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    expected = {f"grammar/{name}" for name in GRAMMARS}
    expected |= {"LICENSE", "README.md", "requirements.lock", "tests/published/SHA256SUMS"}
    for folder, pattern in (("samples", "*.panel"), ("tests", "*.py")):
        paths = (ROOT / folder).rglob(pattern)
        expected |= {path.relative_to(ROOT).as_posix() for path in paths}
    assert set() == expected - names


@pytest.mark.slow
def test_the_wheel_built_from_the_sdist_holds_the_grammar_the_samples_and_its_types(
    wheel: Path,
) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
        for name in GRAMMARS:
            written = (ROOT / "grammar" / name).read_bytes()
            assert written == archive.read(f"netcheck/grammar/{name}")
        for path in (ROOT / "samples" / "faults").rglob("*.panel"):
            inside = f"netcheck/{path.relative_to(ROOT).as_posix()}"
            assert path.read_bytes() == archive.read(inside)
    assert "netcheck/py.typed" in names
    assert len(set(names)) == len(names)
    tops = {name.split("/")[0] for name in names}
    assert {"netcheck", f"panel_netcheck-{netcheck.__version__}.dist-info"} == tops


@pytest.mark.slow
def test_the_wheel_says_its_name_version_licence_and_command(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        information = f"panel_netcheck-{netcheck.__version__}.dist-info"
        about = Parser().parsestr(archive.read(f"{information}/METADATA").decode())
        commands = archive.read(f"{information}/entry_points.txt").decode()
        licence = archive.read(f"{information}/licenses/LICENSE").decode()
    assert ("panel-netcheck", netcheck.__version__) == (about["Name"], about["Version"])
    assert "MIT" == about["License-Expression"]
    assert "The netcheck authors" in licence
    assert "netcheck = netcheck.__main__:main" in commands
