"""More contacts drawn than the relay has.

It speaks where a relay, timer or contactor says `4 contacts in all` and more than so many
are described of it, spare ones among them.  A change-over is one contact; a contactor's
main poles are not counted.

It keeps silent where the text does not say how many there are.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Device, mark_of
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.rule import rule
from netcheck.telling import in_words


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="more contacts of a relay are drawn than it has",
    why="the last ones cannot be wired: a second relay is missing, and a place for it",
    source="common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for device in panel.devices.values():
        has = device.number("contacts_in_all")
        contacts = _contacts(panel, device) if has is not None else []
        if has is None or len(contacts) <= has:
            continue
        over = [_marks(contact) for contact in contacts[int(has) :]]
        yield Finding(
            f"`{device.name}` has {has:g} contacts, and {len(contacts)} are drawn: "
            f"{in_words(over)} {'is' if len(over) == 1 else 'are'} beyond it",
            Place(device.span, f"{has:g} contacts in all"),
            devices=(device.name,),
            help="add a relay beside it, or one with more contacts",
        )


def _contacts(panel: Panel, device: Device) -> list[list[str]]:
    """The terminals of each contact, throws of a change-over together."""
    joined: Unions[str] = Unions()
    for index in device.parts:
        part = panel.parts[index]
        if part.conducts is Conducts.CONTACT and part.role != "main pole" and not part.inside:
            joined.join(part.a, part.b)
    return joined.groups()


def _marks(contact: list[str]) -> str:
    """`13-14`."""
    return "-".join(mark_of(terminal) for terminal in contact)
