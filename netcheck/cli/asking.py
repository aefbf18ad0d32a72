"""What a panel is made of: every question put to a loader, and what it answered.

A panel reads the same wherever each of them gets the same answer: for its own text, for what it
includes, for its project's settings.  A file that was missing and is there answers otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from netcheck.loading import CannotLoad
from netcheck.text import Source

if TYPE_CHECKING:
    from netcheck.loading import Loader

Asked = Sequence[Any]
"""A question and its answer, as JSON has them: `[["load", "a.panel"], "5f70bf18..."]`."""

Answer = TypeVar("Answer")


class Noting:
    """A loader that notes what is asked of another, and its answers."""

    def __init__(self, loader: Loader) -> None:
        self._loader = loader
        self.asked: list[Asked] = []

    def load(self, path: str) -> Source:
        return self._noted(["load", path], lambda: self._loader.load(path))

    def resolve(self, included: str, from_path: str) -> str:
        words = ["resolve", included, from_path]
        return self._noted(words, lambda: self._loader.resolve(included, from_path))

    def project_file(self, path: str) -> Source | None:
        return self._noted(["project_file", path], lambda: self._loader.project_file(path))

    def _noted(self, words: Sequence[str], ask: Callable[[], Answer]) -> Answer:
        try:
            answer = ask()
        except CannotLoad as error:
            self.asked.append([words, _told(error)])
            raise
        self.asked.append([words, _told(answer)])
        return answer


def as_asked(loader: Loader, asked: Sequence[Asked]) -> dict[str, Source] | None:
    """The texts, by path, where this loader answers each question just so; None where not.

    Raises TypeError or ValueError for what are no questions.
    """
    sources: dict[str, Source] = {}
    for (what, *words), before in asked:
        try:
            answer = _ask(loader, what, *words)
        except CannotLoad as error:
            answer = error
        if _told(answer) != before:
            return None
        if isinstance(answer, Source):
            sources[answer.path] = answer
    return sources


def _ask(loader: Loader, what: str, *words: str) -> object:
    match what:
        case "load":
            return loader.load(*words)
        case "resolve":
            return loader.resolve(*words)
        case "project_file":
            return loader.project_file(*words)
    raise ValueError(what)


def _told(answer: object) -> object:
    match answer:
        case Source(path, text):
            return [path, digest(text.encode("utf-8", "surrogatepass"))]
        case CannotLoad():
            return [answer.message, answer.line, answer.column]
    return answer


def digest(data: bytes) -> str:
    import hashlib

    return hashlib.sha256(data).hexdigest()
