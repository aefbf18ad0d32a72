"""How many faults put into sound panels are found, by family.

    python -m tests.benchmarks.seeded_faults [--each 20] [--seed 1] [--missed]

Each fault is one edit of the text of a sound sample, of the kind the family is about: a wire
across a load, a wire taken out, a load made for another voltage, a wire far too thin, a
fuse or breaker bridged.  Found means a finding of the right family; what another family
says of it is counted apart; what the right family does not say is printed with `--missed`.
An edit that
changes nothing a panel would notice (one of two wires side by side) is no fault and counts
as missed all the same.
"""

from __future__ import annotations

import argparse
import difflib
import re
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.review import judge
from tests.annotated import Texts

SAMPLES = Path(__file__).parents[2] / "samples"
SOUND = sorted([*(SAMPLES / "panels").glob("*.panel"), *(SAMPLES / "sound").glob("*.panel")])
HOP = re.compile(r" --[^ -]*-- (?:\([^)]*\) )?")

Edit = Callable[[str, Panel, Random], str | None]


def wire_across_a_load(text: str, panel: Panel, random: Random) -> str | None:
    loads = [part for part in panel.parts if part.load is not None and part.load.phases == 1
             and part.a in panel.wires_at and part.b in panel.wires_at]  # fmt: skip
    loads = [part for part in loads if "." not in part.a and "(" not in part.a + part.b]
    if not loads:
        return None
    load = random.choice(loads)
    return f'{text}\ncircuit "Mistake"\n  {load.a} -- (14 AWG copper MTW 90 degC, 1 m) {load.b}\n'


def wire_taken_out(text: str, panel: Panel, random: Random) -> str | None:
    lines = text.splitlines()
    places = [
        (number, hop)
        for number, line in enumerate(lines)
        if line.startswith("  ") and "PE" not in line
        for hop in HOP.finditer(line.split("#")[0])
    ]
    if not places:
        return None
    number, hop = random.choice(places)
    line = lines[number]
    before, after = line[: hop.start()], line[hop.end() :]
    kept = [part for part in (before, f"  {after}") if HOP.search(part)]
    lines[number : number + 1] = kept
    return "\n".join(lines) + "\n"


def another_voltage(text: str, panel: Panel, random: Random) -> str | None:
    lines = text.splitlines()
    kinds = ("lamp", "valve", "heater", "horn", "relay", "contactor")
    places = [n for n, line in enumerate(lines) if line.startswith(kinds) and " V " in line]
    if not places:
        return None
    number = random.choice(places)
    lines[number] = re.sub(
        r"\b(\d+) V (AC|DC)",
        lambda rated: "480 V AC" if int(rated[1]) < 200 else "24 V DC",
        lines[number],
        count=1,
    )
    return "\n".join(lines) + "\n"


def wire_far_too_thin(text: str, panel: Panel, random: Random) -> str | None:
    lines = text.splitlines()
    places = [
        (number, hop)
        for number, line in enumerate(lines)
        if line.startswith("  ")
        for hop in HOP.finditer(line.split("#")[0])
        if "PE" not in line
    ]
    if not places:
        return None
    number, hop = random.choice(places)
    word = hop[0].split("(")[0].strip()
    lines[number] = f"{lines[number][: hop.start()]} {word} (30 AWG) {lines[number][hop.end() :]}"
    return "\n".join(lines) + "\n"


def fuse_bridged(text: str, panel: Panel, random: Random) -> str | None:
    poles = [
        part
        for part in panel.parts
        if panel.devices[part.device].kind in ("fuse", "breaker")
        and "." not in part.a
        and part.a in panel.wires_at
        and part.b in panel.wires_at
    ]
    if not poles:
        return None
    pole = random.choice(poles)
    return f'{text}\ncircuit "Mistake"\n  {pole.a} -- (14 AWG copper MTW 90 degC, 1 m) {pole.b}\n'


FAMILIES: dict[str, Edit] = {
    "missing load": wire_across_a_load,
    "open path": wire_taken_out,
    "mismatched voltage": another_voltage,
    "undersized conductor": wire_far_too_thin,
    "unprotected branch": fuse_bridged,
}


def files() -> dict[str, str]:
    folder = SAMPLES / "panels"
    return {
        str(path.relative_to(folder)): path.read_text("utf-8") for path in folder.rglob("*.panel")
    }


def seeded(each: int, seed: int) -> Iterator[tuple[str, str, str, str]]:
    """Family, name of the panel, what was found of it (`right`, `other`, `open`, `silent`,
    `unreadable`), and the edit with what was said of it."""
    parts = files()
    for path in SOUND:
        text = path.read_text("utf-8")
        known = {**parts, path.name: text}
        panel, _ = build_panel(path.name, gather(path.name, Texts(known)))
        for family, edit in FAMILIES.items():
            for number in range(each):
                edited = edit(text, panel, Random(f"{seed} {path.name} {family} {number}"))
                if edited is None or edited == text:
                    continue
                broken, mistakes = build_panel(
                    path.name, gather(path.name, Texts({**known, path.name: edited}))
                )
                if mistakes:
                    yield family, path.name, "unreadable", ""
                    continue
                review = judge(broken)
                families = {str(finding.family) for finding in review.findings}
                if family in families:
                    how = "right"
                elif families:
                    how = "other"
                else:
                    how = "open" if review.not_checked or review.not_decided else "silent"
                said = [f"    {finding.rule}: {finding.message}" for finding in review.findings]
                yield family, path.name, how, "\n".join([*changed(text, edited), *said])


def changed(before: str, after: str) -> list[str]:
    """The lines that an edit took out and put in."""
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", type=int, default=2)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--missed", action="store_true")
    asked = parser.parse_args()
    counts: dict[str, Counter[str]] = {family: Counter() for family in FAMILIES}
    for family, name, how, text in seeded(asked.each, asked.seed):
        counts[family][how] += 1
        if asked.missed and how in ("silent", "open", "other"):
            print(f"--- {family}: {how} in {name}\n{text}")
    for family, found in counts.items():
        judged = sum(found.values()) - found["unreadable"]
        right, other = found["right"], found["other"]
        share = right / judged if judged else 0.0
        print(
            f"{family:22} {judged:5} faults: {share:6.1%} by the right family, "
            f"{other} by another, {found['open']} left open, {found['silent']} silent, "
            f"{found['unreadable']} could not be read"
        )


if __name__ == "__main__":
    main()
