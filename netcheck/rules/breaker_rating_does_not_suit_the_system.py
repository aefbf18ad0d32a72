"""A breaker with a slash rating where one of its poles may stand at more than the lower volts.

`120/240 V` clears 240 V between lines as long as no line stands at more than 120 V to
ground.  The rule speaks of a breaker, fuse or disconnect with such a rating that is fed from
a line with more volts to ground than the lower number, from lines with more between them
than the higher one, or from a system that nothing grounds: its first ground fault puts a
line's whole voltage on one pole.  Volts are nominal, a tenth is let pass.

Where the text does not say how the system is grounded, that is *not checked*.  It keeps
silent on single ratings (`contact beyond its rated voltage`) and on DC (`protection for the
other kind of current`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.slash_ratings import Slash, SlashRatings
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import span_of


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DANGER,
    summary="a breaker's slash rating does not suit the grounding of its system",
    why="one pole alone has to clear more than it is made for, and fails to",
    source="NEC 240.85: slash ratings belong on solidly grounded systems within both voltages",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(SlashRatings,),
)
def find(view: View) -> Iterator[Outcome]:
    for slash in view[SlashRatings].found:
        if slash.grounding_said:
            yield _finding(view.panel, slash)
        else:
            yield NotChecked(
                f"whether `{slash.pole.device}`, rated {slash.rating}, suits `{slash.source}`: "
                "how it is grounded is not said",
                Place(view.panel.devices[slash.pole.device].span),
                (slash.pole.device,),
            )


def _finding(panel: Panel, slash: Slash) -> Finding:
    name, volts = slash.pole.device, f"{figure(slash.volts, 'V')} AC"
    if not slash.to_ground:
        meets = f"meets {volts} between its lines"
    elif slash.grounded:
        meets = f"meets {volts} to ground"
    else:
        meets = f"may have {volts} on one pole, for nothing grounds `{slash.source}`"
    return Finding(
        f"`{name}`, rated {slash.rating}, {meets}",
        Place(span_of(panel, slash.pole), "this is not rated for it"),
        devices=(name,),
        condition=f"on {slash.source}",
        related=(Place(panel.devices[slash.source].span, "this feeds it"),),
        live=f"{volts} from {slash.source}",
        working=(
            Working("rated to ground", slash.least_v, "V", "as described"),
            Working("rated between lines", slash.most_v, "V", "as described"),
            Working("met", slash.volts, "V", "nominal volts"),
        ),
        help="fit one rated for the full line voltage on each pole",
    )
