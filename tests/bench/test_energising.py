"""The steps that turn a load on, done one after the other by other hands: they are looked for on a
panel that settles at once, and are done here on one whose relays move one by one."""

from __future__ import annotations

from pathlib import Path

import pytest

from netcheck.bench.energising import energise
from netcheck.bench.standing import stand
from netcheck.bench.trial import Trial
from netcheck.model.let_go import let_go
from netcheck.model.panel import Panel
from tests.bench.panels import SAMPLES, TWO_HANDS, panel_of, sample

SOUND = SAMPLES.parent / "sound"
PANELS = [
    *sorted(SAMPLES.glob("*.panel")),
    *(SOUND / f"{name}.panel" for name in ("fan-in-star-and-delta", "safety-relay", "jog-button")),
]


def do(panel: Panel, trial: Trial, steps: tuple[str, ...]) -> None:
    """As whoever reads them does; then every timer runs out."""
    known = {
        words: (mechanism, position)
        for mechanism in panel.mechanisms.values()
        for position, words in enumerate(mechanism.steps)
    }
    for step in steps:
        words, _, then = step.partition(", ")
        mechanism, position = known[words]
        trial.put(mechanism.name, position)
        if then == "let go":
            rest = let_go(panel, mechanism)
            assert rest is not None
            trial.put(mechanism.name, rest)
    while trial.running():
        trial.put(name := trial.running()[0], 1 - trial.position(name))


@pytest.mark.parametrize("path", [None, *PANELS], ids=lambda path: path.stem if path else "hands")
def test_a_load_is_on_once_the_steps_to_it_are_done(path: Path | None) -> None:
    panel = panel_of(TWO_HANDS) if path is None else sample(path)
    standing = stand(panel)
    told = 0
    for load in (part for part in panel.parts if part.load is not None):
        found = energise(standing, load)
        if found.steps and found.from_here:
            trial = Trial(panel)
            trial.powered()
            do(panel, trial, found.steps)
            assert trial.is_on(load), (load.label, found.steps)
            told += 1
    assert told
