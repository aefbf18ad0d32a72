"""Two channels of a safety relay are fed from one pole, and nothing tells them apart.

Asked of a safety relay with two channels or more: a short between their wires, from a pinched
cable say, feeds both from either, and one closed contact then holds both in.

It keeps silent where the channels are fed from different poles (`channel B S21-S22 from 0V`),
for the short is then one across the supply and is cleared; where the relay is `cross-monitored`,
as one with test pulses is; and where only one channel is wired.
"""

from collections.abc import Iterator
from itertools import combinations

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device, mark_of
from netcheck.rule import rule

CHANNEL = "channel input"


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="a short between two safety channels would go unnoticed",
    why="from then on one contact holds both channels, and its weld is the last fault it takes",
    source="cross-circuit detection: makers' notes on dual-channel stops, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(CurrentPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths = view.panel, view[CurrentPaths]
    wired = {part.index for number in paths.fed for part in paths.loads[number].parts}
    for device in panel.devices.values():
        if device.kind != "safety relay" or "cross_monitored" in device.values:
            continue
        channels = [panel.parts[index] for index in device.parts if index in wired]
        inputs = [part for part in channels if part.role == CHANNEL]
        for one, other in combinations(inputs, 2):
            home = {one.a, one.b} & {other.a, other.b}
            if home:  # both go home to one pole, so that both are fed from the other
                listening = ({part.a, part.b} - home for part in (one, other))
                yield _finding(device, [end for ends in listening for end in ends])


def _finding(device: Device, listening: list[str]) -> Finding:
    first, second = listening
    return Finding(
        f"nothing notices a short between the channels of `{device.name}`, `{first}` and "
        f"`{second}`: both are fed from one pole",
        Place(device.span, "channels fed alike"),
        devices=(device.name,),
        condition=" ".join(mark_of(end) for end in listening),
        help="feed the second channel `from 0V`, or use a relay that is `cross-monitored`",
    )
