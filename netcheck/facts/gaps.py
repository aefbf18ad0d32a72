"""The two sides of a gap in a load's path: where each ends, and what should join them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from netcheck.facts.areas import Areas, Pole
from netcheck.facts.open_ends import OpenEnd
from netcheck.model.devices import Conducts, Part, device_of
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, walk
from netcheck.record import record


@record
class Gap:
    """`here` ends the load's side, `there` the pole's.

    `number` is a wire number both sides bear, if they do; `identified` says whether the
    pole's side has one end that leads nowhere, so that the gap is there and nowhere else;
    `grounded` whether the load's side stands on a grounding conductor.
    """

    here: str
    there: str
    number: str
    identified: bool
    grounded: bool


class Gaps:
    """Finds gaps between areas.

    `bare` are the ends that lead nowhere, by terminal, `outputs` those of unused outputs.
    """

    def __init__(
        self, areas: Areas, bare: Mapping[str, OpenEnd], outputs: Mapping[str, OpenEnd]
    ) -> None:
        self._areas = areas
        self._panel = areas.panel
        self._bare = bare
        self._outputs = outputs

    def between(self, cut: str, missed: Pole) -> Gap:
        """The gap between a load's end that is cut off and the pole it misses."""
        here, there = (self._areas.around(end) for end in (cut, missed.terminal))
        bare = self._one_bare(here, there, self._bare)
        if not bare:
            bare = self._one_bare(here, there, self._outputs)
        grounded = self._on_ground(here)
        if not bare and not any(end in self._bare for end in here):
            number = self._shared_number(here, there)
            if number:
                near, far = (self._bearing(end, number) for end in (cut, missed.terminal))
                return Gap(near, far, number, True, grounded)
        return Gap(
            self._end_of_line(cut, here), bare or missed.terminal, "", bool(bare), grounded
        )  # fmt: skip

    def point_at(
        self, gap: Gap, inner: Sequence[Passed], outer: Sequence[Passed], part: Part
    ) -> Wire | Part:
        """The wire before the gap where that is known, else the one nearest the load."""
        for passed in (*reversed(outer if gap.identified else ()), *inner):
            if isinstance(passed.by, Wire):
                return passed.by
        return part

    def _end_of_line(self, cut: str, here: Sequence[str]) -> str:
        """Where a walk from the load stops: at an end that leads nowhere, or where a line ends."""
        if not self._wires(cut):
            return cut
        bare = [end for end in here if end in self._bare]
        found = walk(self._panel, [cut], bare, self._areas.either_way) if bare else None
        if found:
            return found[-1].end
        ends = [end for end in here if end != cut and self._ends_a_line(end)]
        return ends[0] if len(ends) == 1 else cut

    def _ends_a_line(self, terminal: str) -> bool:
        """Whether one wire comes to it and nothing that conducts leads on."""
        onwards = self._panel.parts_at.get(terminal, ())
        leads_on = any(self._areas.passable(part, True) for part in onwards)
        return len(self._wires(terminal)) == 1 and not leads_on

    def bare_near(self, cut: str, missed: Pole) -> bool:
        """Whether some end about the load leads nowhere, or in its circuit one by the pole."""
        here, there = (self._areas.around(end) for end in (cut, missed.terminal))
        if any(end in self._bare for end in here):
            return True
        return any(end in self._bare for end in self._of_one_circuit(here, there, self._bare))

    def _one_bare(
        self, here: Sequence[str], there: Sequence[str], ends: Mapping[str, OpenEnd]
    ) -> str:
        """The one end on the pole's side that leads nowhere; of several, that of this circuit."""
        bare = [end for end in there if end in ends]
        if len(bare) > 1:
            bare = self._of_one_circuit(here, bare, ends)
        return bare[0] if len(bare) == 1 else ""

    def _of_one_circuit(
        self, here: Sequence[str], there: Sequence[str], ends: Mapping[str, OpenEnd]
    ) -> list[str]:
        """Of the ends `there`, those wired in a circuit that the load's side is wired in too."""
        circuits = {wire.circuit for end in here for wire in self._wires(end)}
        return [
            end
            for end in there
            if end in ends
            and any(wire.circuit in circuits for wire in self._wires(ends[end].wired))
        ]

    def _shared_number(self, here: Sequence[str], there: Sequence[str]) -> str:
        if self._panel.settings.numbers == "wire":
            return ""
        numbers = {wire.number for end in there for wire in self._wires(end) if wire.number}
        mine = (wire.number for end in here for wire in self._wires(end))
        return next((number for number in mine if number in numbers), "")

    def _bearing(self, start: str, number: str) -> str:
        """A terminal with a wire of that number: where a strip ends the line, else the nearest."""
        bearing = [
            end
            for end in self._areas.in_order(start)
            if any(wire.number == number for wire in self._wires(end))
        ]
        strips = [end for end in bearing if self._is_on_a_strip(end) and self._ends_a_line(end)]
        return strips[-1] if strips else bearing[0]

    def _is_on_a_strip(self, terminal: str) -> bool:
        return bool(self._panel.devices[device_of(terminal)].values.get("terminal"))

    def _on_ground(self, here: Sequence[str]) -> bool:
        return any(
            end.endswith(":PE")
            or any(part.conducts is Conducts.BOND for part in self._panel.parts_at.get(end, ()))
            for end in here
        )

    def _wires(self, terminal: str) -> tuple[Wire, ...]:
        return self._panel.wires_at.get(terminal, ())
