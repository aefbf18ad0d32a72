"""The tasks of an exercise as plain lists, as the page takes them: everything by its place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from netcheck.bench.drills import LEVELS, Task
from netcheck.bench.troubles import Edit, Trouble
from netcheck.model.panel import Panel

Plain = dict[str, Any]


def exercise_data(panel: Panel, tasks: Sequence[Task]) -> Plain:
    """Each fault once, each task with the places of its own."""
    terminals = {name: at for at, name in enumerate(panel.terminals)}
    mechanisms = {name: at for at, name in enumerate(panel.mechanisms)}
    numbered: dict[Trouble, int] = {}
    found = []
    for task in tasks:
        levels = {
            level: [numbered.setdefault(one, len(numbered)) for one in task.troubles(level)]
            for level in LEVELS
        }
        found.append(
            {
                "load": task.load.index,
                "name": name_of(panel, task),
                "moves": [[mechanisms[name], position] for name, position in task.moves],
                "steps": steps_of(panel, task),
                "pairs": [[terminals[red], terminals[black]] for red, black in task.pairs],
                **levels,
            }
        )
    troubles = [
        {"sort": one.sort, "words": one.words, "edit": _edit(one.edit, terminals)}
        for one in numbered
    ]
    return {"tasks": found, "troubles": troubles}


def name_of(panel: Panel, task: Task) -> str:
    device = panel.devices[task.load.device]
    return f"{device.name} {device.description}".strip()


def steps_of(panel: Panel, task: Task) -> list[str]:
    """In words, what should make the load work."""
    words = []
    for name, position in task.moves:
        mechanism = panel.mechanisms[name]
        words.append(f"{name} runs out" if mechanism.moved_by_coil else mechanism.steps[position])
    return words


def _edit(edit: Edit, terminals: dict[str, int]) -> Plain:
    return {
        "wiresOut": list(edit.wires_out),
        "opened": list(edit.opened),
        "dead": list(edit.dead),
        "joints": [[terminals[a], terminals[b], ohm] for a, b, ohm in edit.joints],
        "moved": [[index, terminals[leaves], terminals[to]] for index, leaves, to in edit.moved],
        "volts": [list(pair) for pair in edit.volts],
    }
