"""What may be imported when, and who may open files."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "netcheck"

# Each costs more to import than netcheck's whole start; who needs one imports it where it is used.
COSTLY = frozenset(("networkx", "numpy", "pint", "pysat", "pysolvers"))

OPENERS = frozenset(
    ("open", "read_text", "read_bytes", "write_text", "write_bytes", "unlink", "mkdir")
)


def test_starting_the_command_imports_no_costly_library() -> None:
    program = "import sys, netcheck.cli.main\nprint(*sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, check=True, capture_output=True, text=True
    )
    assert "netcheck.cli.main" in run.stdout.split()
    assert set() == COSTLY & set(run.stdout.split())


# What a sound panel never runs, and so should not wait for: the words for mistakes, faults, dead
# loads and blame, and the solver.  Each is imported where it is used.
NOT_FOR_A_SOUND_PANEL = frozenset(
    f"netcheck.{name}"
    for name in (
        "facts.areas",
        "facts.break_finder",
        "facts.gaps",
        "facts.wanted_poles",
        "model.faults",
        "network.blame",
        "reading.mistakes",
        "reading.touched",
        "solve.near_loads",
        "solve.nodal",
        "solve.steady",
        "states.breakable",
        "states.directed",
        "states.ic3",
        "states.induction",
        "states.playing",
        "states.single_faults",
    )
)
LIBRARIES_FOR_ALL_BUT_A_REVIEW = frozenset(("dataclasses", "difflib", "lark", "pathlib"))


def test_the_review_of_a_sound_panel_loads_only_what_it_runs() -> None:
    program = (
        "import contextlib, io, sys\n"
        "from netcheck.cli.main import run\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n"
        "    status = run(['review', 'samples/panels/greenhouse.panel'])\n"
        "print(status, *sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, check=True, capture_output=True, text=True
    )
    status, *loaded = run.stdout.split()
    assert ("0", "netcheck.review" in loaded) == (status, True)
    unused = NOT_FOR_A_SOUND_PANEL | LIBRARIES_FOR_ALL_BUT_A_REVIEW | COSTLY
    assert set() == unused & set(loaded)


def test_what_a_sound_panel_does_not_load_is_there() -> None:
    missing = {
        name
        for name in NOT_FOR_A_SOUND_PANEL
        if not (ROOT / name.replace(".", "/")).with_suffix(".py").is_file()
    }
    assert set() == missing


def modules() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        yield name, ast.parse(path.read_text(encoding="utf-8"))


def run_on_import(node: ast.AST) -> Iterator[ast.AST]:
    """What importing a module runs: not its functions' insides, nor what only types need."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        if isinstance(child, ast.If) and ast.unparse(child.test).endswith("TYPE_CHECKING"):
            continue
        yield child
        yield from run_on_import(child)


def imported(node: ast.AST) -> set[str]:
    """The top-level names of the libraries that one statement imports."""
    match node:
        case ast.Import(names=aliases):
            return {alias.name.partition(".")[0] for alias in aliases}
        case ast.ImportFrom(module=str(module), level=0):
            return {module.partition(".")[0]}
    return set()


def test_no_module_imports_a_costly_library_before_it_is_needed() -> None:
    hits = [
        f"{name}:{node.lineno}"
        for name, tree in modules()
        for node in run_on_import(tree)
        if isinstance(node, ast.stmt) and imported(node) & (COSTLY | {"pytest"})
    ]
    assert [] == hits


def used_by_others(tree: ast.Module) -> Iterator[ast.AST]:
    """All of a module but what runs only when a developer starts it as a program by itself."""
    for statement in tree.body:
        if not (isinstance(statement, ast.If) and "__name__" in ast.unparse(statement.test)):
            yield from ast.walk(statement)


def called_name(call: ast.Call) -> str:
    match call.func:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
    return ""


def calls_that_touch_files(tree: ast.Module) -> list[int]:
    nodes = used_by_others(tree)
    return [n.lineno for n in nodes if isinstance(n, ast.Call) and called_name(n) in OPENERS]


def test_only_the_command_line_and_the_package_data_module_touch_files() -> None:
    hits = [
        f"{name}:{line}"
        for name, tree in modules()
        if name != "data.py" and not name.startswith("cli/")
        for line in calls_that_touch_files(tree)
    ]
    assert [] == hits


def test_the_searches_do_find_what_they_look_for() -> None:
    tree = ast.parse(
        "import pint.util\n"
        "from networkx import Graph\n"
        "if TYPE_CHECKING:\n"
        "    import numpy\n"
        "def f(path):\n"
        "    import pysat\n"
        "    return path.read_text() + open(path).read()\n"
    )
    assert [{"pint"}, {"networkx"}] == [
        found for n in run_on_import(tree) if (found := imported(n))
    ]
    assert [7, 7] == calls_that_touch_files(tree)
