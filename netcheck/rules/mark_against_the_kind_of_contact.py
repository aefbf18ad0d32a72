"""A contact whose terminal marks belong to the other kind.

By EN 50005 and EN 50011 the second figure of a mark says what a contact is: 1-2 closed at
rest, 3-4 open; 5-6 closed and 7-8 open for contacts that wait or trip; change-over 1-2-4
and 5-6-8.  It speaks where both marks have two figures, the first alike, and the second
figures are those of the other kind.  The contacts of a device are one finding.

It keeps silent on plug-in sockets (`11-pin socket`), whose marks are pins, on main poles,
selectors and outputs, and on marks of any other make.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Drive, Part, mark_of
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import in_words

OPEN, CLOSED = "open", "closed"
KIND = {"12": CLOSED, "56": CLOSED, "34": OPEN, "78": OPEN, "14": OPEN, "58": OPEN}
ASIDE = frozenset((Drive.SOURCE, Drive.OUTPUT, Drive.PROTECTION))


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="the marks of a contact belong to the other kind: open for closed, or the reverse",
    why="whoever lands the wire goes by the mark, and gets the wrong throw",
    source="EN 50005, EN 50011: function figures of contacts",
    kind=ReferenceKind.FROM_MEMORY,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    by_device: dict[str, list[Part]] = {}
    for part in panel.parts:
        if part.conducts is Conducts.CONTACT and _marked_otherwise(panel, part):
            by_device.setdefault(part.device, []).append(part)
    for name, parts in by_device.items():
        are = _at_rest(parts[0])
        marks = in_words([f"{mark_of(part.a)}-{mark_of(part.b)}" for part in parts])
        is_said = f"{'is' if len(parts) == 1 else 'are'} normally {are}"
        yield Finding(
            f"{marks} of `{name}` {is_said}, and marked as if normally {_other(are)}",
            Place(panel.devices[name].span, f"says {marks} normally {are}"),
            devices=(name,),
            condition=marks,
            related=tuple(
                Place(panel.chain_spans[part.index], "passed here")
                for part in parts[:4]
                if part.index in panel.chain_spans
            ),
            help="look at the device: either the mark or the kind of contact is mistaken",
        )


def _marked_otherwise(panel: Panel, part: Part) -> bool:
    if part.inside or part.role in ("main pole", "pole", "transistor", "output"):
        return False
    device = panel.devices[part.device]
    mechanism = panel.mechanisms.get(part.mechanism)
    if device.values.get("socket_pins") or device.kind == "selector" or mechanism is None:
        return False
    if mechanism.drive in ASIDE:
        return False
    one, other = sorted((mark_of(part.a), mark_of(part.b)))
    if not (one + other).isdecimal() or len(one) != 2 or len(other) != 2 or one[0] != other[0]:
        return False
    said = KIND.get(one[1] + other[1])
    return said is not None and said != _at_rest(part)


def _at_rest(part: Part) -> str:
    return CLOSED if 0 in part.closed else OPEN


def _other(kind: str) -> str:
    return OPEN if kind == CLOSED else CLOSED
