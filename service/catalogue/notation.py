"""Sittings, waits, prep and the like as lines that a person can read and write in a cell.

A line is cut by `` | ``. The first piece is a name, the others begin with a word of a fixed list::

    first layer | for younger 15 min help 3 | for older 25 min help 2 | mess 3 | at table, yard
    dry | least 1440 | most 14400 | holder tray

A bar, a backslash or a line break inside a text is written with a backslash before it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from solver.domain.activity import Lighter, PrepTask, Resource, Sitting, Version, Wait

_CUT = re.compile(r"(?<!\\)((?:\\\\)*) \| ")
Raw = dict[str, Any]


class Unreadable(ValueError):
    """A line that does not follow the notation; the message says how to write it."""


def joined(pieces: Iterable[str]) -> str:
    """Pieces as one line."""
    return " | ".join(
        piece.replace("\\", "\\\\").replace("|", "\\|").replace("\n", "\\n") for piece in pieces
    )


def cut(line: str) -> list[str]:
    """The pieces of a line."""
    marked = _CUT.sub(lambda found: found[1] + "\0", line)
    return [_plain(piece) for piece in marked.split("\0")]


def _plain(piece: str) -> str:
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] == "n" else found[1], piece)


def lines(cell: str) -> list[str]:
    """The lines of a cell that hold something."""
    return [line for line in cell.replace("\r\n", "\n").split("\n") if line.strip()]


def version_line(version: Version) -> str:
    """``younger | 12 to 53 months | points and names``."""
    ages = f"{version.age_from_months} to {version.age_to_months} months"
    return joined([version.id, ages, *([version.does] if version.does else [])])


def read_version(line: str) -> Raw:
    """A version from its line."""
    pieces = cut(line)
    ages = re.fullmatch(r"(\d+) to (\d+)(?: months)?", pieces[1].strip()) if len(pieces) > 1 else None
    if not ages or len(pieces) > 3:
        raise Unreadable(
            f"{_short(line)} is no version; write it like: younger | 30 to 53 months | what it does"
        )
    does = pieces[2] if len(pieces) == 3 else ""
    return {
        "id": pieces[0].strip(),
        "age_from_months": int(ages[1]),
        "age_to_months": int(ages[2]),
        "does": does,
    }


def sitting_line(sitting: Sitting) -> str:
    """A sitting as a line."""
    return joined([sitting.name, *_sitting_pieces(sitting)])


def _sitting_pieces(sitting: Sitting) -> Iterator[str]:
    for version, part in sitting.parts.items():
        yield f"for {version} {part.minutes} min help {part.help.value}"
    if sitting.adult_min:
        yield f"adult {sitting.adult_min} min help {sitting.adult_help.value}"
    for word, number in (("set-up", sitting.setup_min), ("clean-up", sitting.cleanup_min)):
        if number:
            yield f"{word} {number}"
    if sitting.mess:
        yield f"mess {sitting.mess.value}"
    yield f"at {', '.join(sitting.places)}"
    for need in sitting.needs:
        yield f"needs {need.count} {need.material}{' each child' if need.each_child else ''}"
    if sitting.meals:
        yield f"meal {', '.join(meal.value for meal in sitting.meals)}"


def read_sitting(line: str) -> Raw:
    """A sitting from its line."""
    name, *pieces = cut(line)
    made: Raw = {"name": name, "parts": {}, "needs": []}
    for piece in pieces:
        word, _, rest = piece.strip().partition(" ")
        if word not in _SITTING:
            raise Unreadable(f"{_short(piece)} in {_short(name)}: begin with one of {', '.join(_SITTING)}")
        _SITTING[word](made, rest.strip())
    return made


def _part(made: Raw, rest: str) -> None:
    found = re.fullmatch(r"(\S+) (\d+) min(?: help ([0-4]))?", rest)
    if not found:
        raise Unreadable(
            f"{_short(rest)}: write a version with minutes and help, like: for younger 15 min help 3"
        )
    made["parts"][found[1]] = {"minutes": int(found[2])} | ({"help": int(found[3])} if found[3] else {})


def _adult(made: Raw, rest: str) -> None:
    found = re.fullmatch(r"(\d+) min(?: help ([0-4]))?", rest)
    if not found:
        raise Unreadable(f"{_short(rest)}: write the adult's step like: adult 5 min help 2")
    made["adult_min"] = int(found[1])
    if found[2]:
        made["adult_help"] = int(found[2])


def _need(made: Raw, rest: str) -> None:
    found = re.fullmatch(r"(?:(\d+) )?(\S+)( each child)?", rest)
    if not found:
        raise Unreadable(
            f"{_short(rest)}: write a count and a material's id, like: needs 2 paintbrush each child"
        )
    made["needs"].append({"material": found[2], "count": int(found[1] or 1), "each_child": bool(found[3])})


def _number(field: str) -> Callable[[Raw, str], None]:
    def read(made: Raw, rest: str) -> None:
        if not rest.isdecimal():
            raise Unreadable(f"{_short(rest)}: write a whole number, like: {field} 5")
        made[field] = int(rest)

    return read


def _words(field: str) -> Callable[[Raw, str], None]:
    def read(made: Raw, rest: str) -> None:
        made[field] = [one.strip() for one in rest.split(",") if one.strip()]

    return read


def _word(field: str) -> Callable[[Raw, str], None]:
    def read(made: Raw, rest: str) -> None:
        made[field] = rest

    return read


def _yes(field: str) -> Callable[[Raw, str], None]:
    def read(made: Raw, rest: str) -> None:
        made[field] = True

    return read


_SITTING: dict[str, Callable[[Raw, str], None]] = {
    "for": _part,
    "adult": _adult,
    "set-up": _number("setup_min"),
    "clean-up": _number("cleanup_min"),
    "mess": _number("mess"),
    "at": _words("places"),
    "needs": _need,
    "meal": _words("meals"),
}
_WAIT: dict[str, Callable[[Raw, str], None]] = {
    "least": _number("least_min"),
    "most": _number("most_min"),
    "holder": _word("holder"),
    "units": _number("units"),
}
_PREP: dict[str, Callable[[Raw, str], None]] = {
    "lead": _number("lead_min"),
    "keeps": _number("keeps_days"),
    "noisy": _yes("noisy"),
    "batch": _word("batch"),
    "warm-up": _number("warm_up_min"),
    "holder": _word("holder"),
    "units": _number("units"),
}


def wait_line(wait: Wait) -> str:
    """A wait as a line."""
    pieces = [wait.kind.value, f"least {wait.least_min}"]
    pieces += [] if wait.most_min is None else [f"most {wait.most_min}"]
    pieces += [f"holder {wait.holder}"] if wait.holder else []
    pieces += [f"units {wait.units}"] if wait.units != 1 else []
    return joined(pieces)


def read_wait(line: str) -> Raw:
    """A wait from its line."""
    kind, *pieces = cut(line)
    return {"kind": kind.strip()} | _keyed(pieces, _WAIT, kind)


def prep_line(task: PrepTask) -> str:
    """A prep task as a line."""
    pieces = [task.id, task.name, f"{task.minutes} min"]
    pieces += [f"lead {task.lead_min}"] if task.lead_min else []
    pieces += [f"keeps {task.keeps_days}"] if task.keeps_days != 365 else []
    pieces += ["noisy"] if task.noisy else []
    pieces += [f"batch {task.batch}"] if task.batch else []
    pieces += [f"warm-up {task.warm_up_min}"] if task.warm_up_min else []
    pieces += [f"holder {task.holder}"] if task.holder else []
    pieces += [f"units {task.units}"] if task.units != 1 else []
    return joined(pieces)


def read_prep(line: str) -> Raw:
    """A prep task from its line."""
    ident, *pieces = cut(line)
    minutes = re.fullmatch(r"(\d+) min", pieces[1].strip()) if len(pieces) > 1 else None
    if not minutes:
        raise Unreadable(
            f"{_short(line)} is no prep; write it like: paste | cook the paste | 15 min | keeps 2"
        )
    made = {"id": ident.strip(), "name": pieces[0], "minutes": int(minutes[1])}
    return made | _keyed(pieces[2:], _PREP, ident)


def _keyed(pieces: list[str], known: dict[str, Callable[[Raw, str], None]], name: str) -> Raw:
    made: Raw = {}
    for piece in pieces:
        word, _, rest = piece.strip().partition(" ")
        if word not in known:
            raise Unreadable(f"{_short(piece)} in {_short(name)}: begin with one of {', '.join(known)}")
        known[word](made, rest.strip())
    return made


def lighter_lines(lighter: Lighter) -> list[str]:
    """What it does, then its sitting."""
    return [joined([lighter.does]), sitting_line(lighter.sitting)]


def read_lighter(cell: str) -> Raw:
    """The lighter way from its two lines."""
    found = lines(cell)
    if len(found) != 2:
        raise Unreadable("the lighter way takes two lines: what it does, then its sitting")
    return {"does": cut(found[0])[0], "sitting": read_sitting(found[1])}


def resource_line(resource: Resource) -> str:
    """``name | address | text | printable``; the last only where there is one."""
    kept = [resource.file] if resource.file else []
    return joined([resource.name, resource.address, resource.text, *kept])


def read_resource(line: str) -> Raw:
    """A resource from its line."""
    pieces = [*cut(line), "", "", ""]
    if len(pieces) > 7:
        raise Unreadable(f"{_short(line)} is no resource; write it like: recipe | | 2 cups flour, 1 cup salt")
    kept = {"file": pieces[3].strip()} if pieces[3].strip() else {}
    return {"name": pieces[0], "address": pieces[1].strip(), "text": pieces[2]} | kept


def _short(text: str) -> str:
    return repr(text if len(text) <= 40 else f"{text[:37]}…")
