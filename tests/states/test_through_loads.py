"""When coils may be fed through other loads: told from their only source, beside all ways."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.states.behaviour import Behaviour
from netcheck.states.solver import satisfiable
from netcheck.states.through_loads import ThroughLoads
from netcheck.states.ways import HeldApart
from tests.annotated import Texts
from tests.benchmarks.ladders import ladder
from tests.second_opinion.random_panels import Drawn, panels

SOME = settings(max_examples=60, suppress_health_check=list(HealthCheck))


class ByAllWays(ThroughLoads):
    def _held_by_only_source(self, p: int, q: int) -> list[HeldApart]:
        return []


def agree(panel: Panel) -> int:
    """How many loads were asked about and are fed through others."""
    behaviour, fed = Behaviour(panel, find_nodes(panel)), 0
    logic = behaviour.logic
    ours = ThroughLoads(behaviour.grid, behaviour.live)
    others = ByAllWays(behaviour.grid, behaviour.live)
    for part in panel.parts:
        if part.load is not None:
            one, other = ours.feeds(part), others.feeds(part)
            for differs in ([one, other ^ 1], [one ^ 1, other]):
                assert satisfiable(logic, differs) is False
            fed += satisfiable(logic, [one]) is True
    return fed


@SOME
@given(panels())
def test_loads_of_made_up_panels_are_fed_through_others_as_all_ways_say(drawn: Drawn) -> None:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": drawn.text})))
    assert not mistakes
    agree(panel)


def test_motors_of_a_ladder_are_fed_through_their_own_windings_as_all_ways_say() -> None:
    assert agree(ladder(60).panel()) > 10
