"""`netcheck explain`: the rules and the language in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click

from netcheck.cli.screen import note, say
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.rule import Rule

LANGUAGE = "language"


@click.command("explain")
@click.argument("words", nargs=-1, metavar="[RULE|language]")
@click.pass_context
def command(ctx: click.Context, words: tuple[str, ...]) -> None:
    """Say what RULE finds, why it matters, on whose word and what moves it, with examples.

    Without RULE: all rules, a line each.  With "language": how a panel is described.
    """
    name = " ".join(" ".join(words).lower().replace("-", " ").replace("_", " ").split())
    if name == LANGUAGE:
        say(language())
        return
    rules = {rule.name: rule for rule in all_rules()}
    if not name:
        say(listing(rules.values()))
    elif name in rules:
        say(explanation(rules[name]))
    else:
        note(unknown(name, [*rules, LANGUAGE]))
        ctx.exit(Status.WRONG)


def all_rules() -> Sequence[Rule]:
    """The rules, imported only when one is explained."""
    from netcheck.rule import all_rules as rules

    return rules()


def listing(rules: Iterable[Rule]) -> str:
    """Return every rule with its summary, family by family."""
    families: dict[str, list[Rule]] = {}
    for rule in rules:
        families.setdefault(rule.family.value, []).append(rule)
    lines: list[str] = []
    for family, members in families.items():
        many = "1 rule" if len(members) == 1 else f"{len(members)} rules"
        lines += [f"{family} ({many})"]
        lines += [*(f"  {rule.name}: {rule.summary}" for rule in members), ""]
    lines.append("`netcheck explain RULE` says more, `netcheck explain language` how to write.")
    return "\n".join(lines) + "\n"


def language() -> str:
    """Return the reference of the language, without the marks of what was made by a program."""
    from netcheck.data import package_text

    text = package_text("grammar", "reference.md")
    return re.sub(r"^<!--.*-->\n\n?", "", text, flags=re.MULTILINE)


def explanation(rule: Rule) -> str:
    """Return what one rule finds, in full."""
    from netcheck.report.text import reference_in_words

    parts = [
        f"{rule.name} ({rule.severity.value}, {rule.family.value})",
        f"{rule.summary}",
        rule.doc.strip(),
        f"why     {rule.why}",
        f"source  {reference_in_words(rule.reference)}",
        moved_by(rule),
        example(rule.name),
        sound_example(rule.name),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def moved_by(rule: Rule) -> str:
    """Return which settings move a rule: its own entry, and those it was seen to read."""
    from netcheck.report.moving import PANELS_OWN, settings_read

    entry = f'`"{rule.name}" = "off"`, or a severity, under `[rules]`'
    lines = [f"moved   by {entry} of a project file"]
    words = settings_read(rule, _samples(rule.name))
    own = [word for word in words if word in PANELS_OWN]
    shared = [word for word in words if word not in PANELS_OWN]
    if shared:
        lines.append(f"        by {', '.join(shared)}: in a project file or the panel's text")
    if own:
        lines.append(f"        by {', '.join(own)}: in the panel's text")
    return "\n".join(lines)


EXPECTED = re.compile(r'# expect: ([^,]+), "(.*)"$', re.MULTILINE)
"""The remark on a line of a sample that says which rule speaks there, in what words."""
LEFT_OPEN = re.compile(r'# expect (not checked|not decided): [^,]+, "(.*)"$', re.MULTILINE)


def example(rule: str) -> str:
    """Return the shortest sample that this rule finds something in, what is sound beside it."""
    whole = [text for text in _samples(rule) if _spoken_of(text, rule)]
    if not whole:
        return ""
    text = EXPECTED.sub(r"# found: \2", min(whole, key=len).rstrip())
    text = LEFT_OPEN.sub(r"# \1: \2", text)
    lines = [f"  {line}".rstrip() for line in text.splitlines()]
    return "\n".join(["example, where only the lines with `# found` are at fault", "", *lines])


SOUND_FOR = re.compile(r"^# sound for: (.*)\n", re.MULTILINE)
"""The remark of a sound sample that says which rules a naive reader would hold against it."""


def sound_example(rule: str) -> str:
    """Return the shortest sound sample that looks like this rule's fault and is none."""
    from netcheck.data import package_names, package_text

    texts = [
        SOUND_FOR.sub("", text).rstrip()
        for name in package_names("samples", "sound")
        if rule in sound_for(text := package_text("samples", "sound", name))
    ]
    if not texts:
        return ""
    lines = [f"  {line}".rstrip() for line in min(texts, key=len).splitlines()]
    return "\n".join(["sound, and silent", "", *lines])


def sound_for(text: str) -> tuple[str, ...]:
    """Return the rules that a sound sample is told to be sound for."""
    found = SOUND_FOR.search(text)
    return tuple(name.strip() for name in found[1].split(",")) if found else ()


def _samples(rule: str) -> Iterator[str]:
    """The texts of the rule's samples that stand in one file each."""
    from netcheck.data import package_names, package_text

    folder = "samples", "faults", rule.replace(" ", "-")
    for name in package_names(*folder):
        text = package_text(*folder, name)
        if "\ninclude " not in text:
            yield text


def _spoken_of(text: str, rule: str) -> bool:
    return any(found[1] == rule for found in EXPECTED.finditer(text))


def unknown(name: str, known: Sequence[str]) -> str:
    """Return the sentence for a name that is no rule, with the names near it."""
    from netcheck.reading.words import kind_words

    if name in kind_words():
        return f"netcheck: {name} is a kind of device; `netcheck explain language` describes it"
    near = get_close_matches(name, known, n=3)
    meant = f"; did you mean {' or '.join(f'`{other}`' for other in near)}?" if near else ""
    return f"netcheck: no rule is called {name!r}{meant}\n`netcheck explain` lists them all."
