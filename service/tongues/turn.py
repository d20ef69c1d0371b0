"""A sentence in another language, by a table of patterns with slots."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache, lru_cache
from importlib import resources
from typing import NamedTuple

_SLOT = re.compile(r"\{([a-z]+)\d*\}")
_FIRST = re.compile(r"[^\s{]+")
_SENTENCES = re.compile(r"(?<=[.!?])\s+(?=\S)")
_SAID_LIKE_I = re.compile(r"h?[ií](?![aeo])", re.IGNORECASE)
_JOINTS = ("; ", ": ", " · ", ", ")
_SIGNS = ".:,;!?"
_QUOTED = re.compile(r"'([^']*)'|\"([^\"]*)\"")
_MARKED = re.compile(r"((?:(?!\. |; ).)+) \((the lighter way|\d+(?: of \d+)?)\)", re.DOTALL)
_A_NAME = r"(?:(?!\. |; |\d\): |:\d\d: ).)*?(?!; |\d\): )[^.]"
"""A name ends no sentence, and holds none of the joints between a booking and what is said of it."""
SMALL = "small.json"
LONGEST = 400
MOST_JOINTS = 12
"""No sentence of ours is longer or of more pieces; what is must be a family's own, and is not looked at."""


class Pattern(NamedTuple):
    """One entry of a table: what is looked for, and what is said instead."""

    english: str
    said: str
    kinds: Mapping[str, str]
    """Each slot's name, and what may stand in it (``Tongue._ways``)."""
    found: re.Pattern[str]


def slots_of(text: str) -> dict[str, str]:
    """The names of a pattern's slots and their kinds: ``{n2}`` is a number."""
    return {found[0][1:-1]: found[1] for found in _SLOT.finditer(text)}


def _pattern(english: str, said: str, shapes: Mapping[str, str]) -> Pattern:
    kinds = slots_of(english)
    looked_for, at = "", 0
    seen: set[str] = set()
    for slot in _SLOT.finditer(english):
        looked_for += re.escape(english[at : slot.start()])
        name, kind = slot[0][1:-1], slot[1]
        looked_for += f"(?P={name})" if name in seen else f"(?P<{name}>{shapes.get(kind, '.+?')})"
        seen.add(name)
        at = slot.end()
    return Pattern(english, said, kinds, re.compile(looked_for + re.escape(english[at:]), re.DOTALL))


class Tongue:
    """One language besides English.

    The kinds of slot: ``n`` a number, ``time`` hours and minutes, ``iso`` a date of figures, ``date`` one
    with its month, ``day`` and ``days`` weekdays, ``count`` a small number in words, ``code`` and (one word)
    ``key`` what stays as it is typed, ``name`` and ``names`` what is called so (by the table if it is ours,
    else as the family wrote it), ``text`` likewise or a whole sentence, ``clause`` and ``clauses`` what must
    be in the table itself.
    """

    def __init__(self, code: str) -> None:
        self.code = code
        folder = resources.files("service") / "tongues" / code
        self.turned = lru_cache(maxsize=20_000)(self._turned)
        self._small: dict[str, dict[str, str]] = json.loads((folder / SMALL).read_text(encoding="utf-8"))
        words = self._small
        a_day = "(?i:" + "|".join(words["day"]) + ")"
        a_month = "(?:" + "|".join(words["month"]) + ")"
        shapes = {
            "n": r"\d+(?:[.,]\d+)?",
            "time": r"\d\d?:\d\d",
            "iso": r"\d{4}-\d\d-\d\d",
            "date": rf"\d\d? {a_month}(?: \d{{4}})?",
            "day": a_day,
            "days": rf"{a_day}(?:(?:, | and ){a_day})*",
            "count": r"(?:\d+|" + "|".join(words["count"]) + ")",
            "key": "[a-z_]+",
            "code": _A_NAME,
            "name": _A_NAME,
            "names": _A_NAME,
        }
        self._ways: dict[str, Callable[[str], str | None]] = {
            "n": lambda text: text.replace(".", words["sign"]["."]),
            "time": lambda text: text,
            "iso": lambda text: text,
            "date": self._date,
            "day": lambda text: words["day"][text.lower()],
            "days": lambda text: self._listed(text, lambda one: words["day"][one.lower()]),
            "count": lambda text: words["count"].get(text, text),
            "key": lambda text: text,
            "code": lambda text: text,
            "name": self.called,
            "names": lambda text: self._known(text) or self._listed(text, self.called),
            "text": lambda text: self.turned(text) or text,
            "clause": self.turned,
            "clauses": self._clauses,
        }
        self._whole: dict[str, str] = {}
        self._begun: dict[str, list[Pattern]] = defaultdict(list)
        self._read(folder, shapes)

    def _read(self, folder: resources.abc.Traversable, shapes: Mapping[str, str]) -> None:
        for english, said in self._entries(folder):
            if not slots_of(english):
                self._whole[english] = said
                if english.endswith(".") and said.endswith("."):
                    # A sentence may be all that stands in a slot, and its last stop behind the slot.
                    self._whole.setdefault(english[:-1], said[:-1])
                continue
            first = _FIRST.match(english)
            # What runs on into a slot, as a bracket does, is no whole word to look for.
            begun = first[0] if first and english[first.end()] != "{" else ""
            self._begun[begun].append(_pattern(english, said, shapes))
        for patterns in self._begun.values():
            patterns.sort(key=lambda one: -len(_SLOT.sub("", one.english)))

    @staticmethod
    def _entries(folder: resources.abc.Traversable) -> Iterator[tuple[str, str]]:
        for file in sorted(folder.iterdir(), key=lambda one: one.name):
            if file.name.endswith(".json") and file.name != SMALL:
                yield from json.loads(file.read_text(encoding="utf-8")).items()

    def told(self, text: str) -> str:
        """The text in this language; a sentence that no pattern fits stays as it is."""
        said = self.turned(text)
        if said is None:
            said = " ".join(self.turned(one) or one for one in _SENTENCES.split(text))
        return said

    def called(self, name: str) -> str:
        """The name in this language if it is one of ours, with what marks a step or a copy of it."""
        return self._known(name) or self._marked(name) or name

    def _known(self, name: str) -> str | None:
        quoted = _QUOTED.fullmatch(name)
        if quoted is not None:
            return f"«{self.called(quoted[1] or quoted[2] or '')}»"
        return self._as_it_stands(name)

    def _as_it_stands(self, text: str) -> str | None:
        # A capital may be one language's own way, as in the names of languages: then the table is right.
        return self._whole.get(text) or self._in_either_case(text, self._whole.get)

    def _marked(self, name: str) -> str | None:
        found = _MARKED.fullmatch(name)
        if found is None:
            return None
        title, mark = found[1], found[2].replace(" of ", f" {self._small['sign']['of']} ")
        before, colon, step = title.rpartition(": ")
        if not any(self._known(one) for one in (title, before, step, mark)):
            return None
        said = self._known(title) or self.called(before) + colon + self.called(step)
        return f"{said} ({self._known(mark) or mark})"

    def _in_either_case(self, text: str, way: Callable[[str], str | None]) -> str | None:
        """However the table begins it; the answer begins as the text does."""
        for first in dict.fromkeys((text[:1], text[:1].lower(), text[:1].upper())):
            said = way(first + text[1:])
            if said is not None:
                return said[:1].upper() + said[1:] if text[:1].isupper() else said
        return None

    def _turned(self, text: str) -> str | None:
        """None when the table does not hold all of it."""
        if not text.strip():
            return text
        if len(text) > LONGEST:
            return self._all_of(_SENTENCES.split(text))
        said = self._as_it_stands(text) or self._marked(text)
        if said is None:
            # A pattern that begins with a slot would take the sentence before its own for what fills it.
            said = self._all_of(_SENTENCES.split(text))
        if said is None and len(text) > 1 and text[-1] in _SIGNS:
            said = self.turned(text[:-1])
            said = None if said is None else said.rstrip(text[-1]) + text[-1]
        if said is None:
            said = self._in_either_case(text, self._by_first_word) or self._in_either_case(
                text, self._by_slot
            )
        return self._in_pieces(text) if said is None else said

    def _by_first_word(self, text: str) -> str | None:
        first = _FIRST.match(text)
        return self._by_pattern(text, self._begun.get(first[0], ())) if first else None

    def _by_slot(self, text: str) -> str | None:
        return self._by_pattern(text, self._begun.get("", ()))

    def _by_pattern(self, text: str, patterns: Iterable[Pattern]) -> str | None:
        for pattern in patterns:
            found = pattern.found.fullmatch(text)
            if found is not None and (said := self._filled(pattern, found.groupdict())) is not None:
                return said
        return None

    def _filled(self, pattern: Pattern, parts: Mapping[str, str]) -> str | None:
        said = {name: self._ways[kind](parts[name]) for name, kind in pattern.kinds.items()}
        if None in said.values():
            return None
        return _SLOT.sub(lambda slot: str(said[slot[0][1:-1]]), pattern.said)

    def _in_pieces(self, text: str) -> str | None:
        if sum(text.count(joint) for joint in _JOINTS) > MOST_JOINTS:
            return None
        return self._first_of(self._cut(text, joint, joint, self.turned) for joint in _JOINTS)

    def _cut(self, text: str, joint: str, ours: str, rest: Callable[[str], str | None]) -> str | None:
        """Both sides of the first joint at which both can be said."""
        at = text.find(joint)
        while at > 0:
            head, tail = self.turned(text[:at]), rest(text[at + len(joint) :])
            if head is not None and tail is not None:
                return head + ours + tail
            at = text.find(joint, at + 1)
        return None

    @staticmethod
    def _first_of(ways: Iterable[str | None]) -> str | None:
        return next((said for said in ways if said is not None), None)

    def _all_of(self, sentences: list[str]) -> str | None:
        if len(sentences) == 1:
            return None
        said = [self.turned(sentence) for sentence in sentences]
        return None if None in said else " ".join(str(one) for one in said)

    def _clauses(self, text: str) -> str | None:
        said = self.turned(text)
        if said is not None or text.count(" and ") + text.count(" or ") > MOST_JOINTS:
            return said
        sign = self._small["sign"]
        joints = {", ": ", ", " and ": f" {sign['and']} ", " or ": f" {sign['or']} "}
        return self._first_of(self._cut(text, joint, ours, self._clauses) for joint, ours in joints.items())

    def _listed(self, text: str, each: Callable[[str], str]) -> str:
        ends = [found.start() for found in re.finditer(" and ", text)]
        if not ends:
            return self._by_commas(text, each)
        # A title of ours may hold an "and" itself.
        at = next((end for end in ends if self._known(text[end + 5 :])), ends[-1])
        said = each(text[at + 5 :])
        joint = self._small["sign"]["and before i" if _SAID_LIKE_I.match(said) else "and"]
        return f"{self._by_commas(text[:at], each)} {joint} {said}"

    def _by_commas(self, text: str, each: Callable[[str], str]) -> str:
        said, parts = [], text.split(", ")
        while parts:
            ours = (count for count in range(len(parts), 1, -1) if self._known(", ".join(parts[:count])))
            count = next(ours, 1)
            said.append(each(", ".join(parts[:count])))
            parts = parts[count:]
        return ", ".join(said)

    def _date(self, text: str) -> str:
        day, month, *year = text.split(" ")
        of = f" {self._small['sign']['of']} "
        return of.join((day, self._small["month"][month], *year))


TONGUES = ("es",)
"""What can be spoken besides English."""


@cache
def tongue_of(code: str) -> Tongue:
    """The language of that code, read once."""
    return Tongue(code)
