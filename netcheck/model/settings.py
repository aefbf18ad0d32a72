"""A setting as it is said, in a panel's text or in a project file, put among the others."""

from __future__ import annotations

from netcheck.model.maker import said_of
from netcheck.model.panel import Practice, RuleChoice, Settings
from netcheck.model.vocabulary import LEAVE_OUT, LOOK_FOR, REASON, SETTINGS
from netcheck.reading import statements as say
from netcheck.reading.phrases import Said
from netcheck.reading.understanding import understand
from netcheck.reading.values import PhraseMistake
from netcheck.record import replace

KNOWN_PRACTICES = {"NEC": "2023", "IEC": "60204-1"}
"""Each practice with the edition whose tables are held here."""

CHOICES = {LEAVE_OUT: "off", LOOK_FOR: "on"}
"""Settings that choose rules; a text may hold several."""


def with_setting(settings: Settings, statement: say.Setting) -> tuple[Settings, str]:
    """The settings with one more, and the reason it gives.  PhraseMistake where it says nothing."""
    word = str(statement.keyword)
    said = understand((statement.items,), SETTINGS[word], word)[0]
    reason = str(said.value(REASON.key) or "")
    key = next((key for key in said.properties if key != REASON.key), None)
    if key is None:
        raise PhraseMistake(
            said.tokens[REASON.key],
            f"{word} gives a reason, and says nothing",
            f"write what it is before it: `{word} {SETTINGS[word][0].properties[0].example}`",
        )
    if word in CHOICES:
        span = statement.origin.span(said.tokens[key])
        choice = RuleChoice(str(said.value(key)), CHOICES[word], span, reason=reason)
        return replace(settings, rules=(*settings.rules, choice)), reason
    if word == "practice":
        return replace(settings, practice=_practice(said), practice_said=True), reason
    if word == "nameplate":
        span = statement.origin.span(statement.keyword)
        plate = said_of(said, but=frozenset((REASON.key,)))
        return replace(settings, nameplate=plate, span=span), reason
    if word == "bundling":
        return replace(settings, bundled=int(said.number(key) or 0)), reason
    if word in ("numbers", "duty"):
        return replace(settings, **{word: str(said.value(key))}), reason
    numbers = {key: said.number(key) for key in said.properties if key != REASON.key}
    return replace(settings, **numbers), reason


def _practice(said: Said) -> Practice:
    name = next(key for key in said.properties if key != REASON.key)
    known = KNOWN_PRACTICES[name]
    written = said.value(name)
    edition = known if written in (None, "yes") else str(written)
    if edition != known:
        raise PhraseMistake(
            said.tokens[name],
            f"{name} {edition} is not known here",
            f"write `{name} {known}`: its tables are the ones used",
        )
    return Practice(name, edition)
