"""What is wrong with a file, as a path, a sentence and the mend."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from solver.domain.base import ID_PATTERN


class Fault(BaseModel, frozen=True):
    """One thing wrong: where, and what to do about it."""

    path: str
    message: str


class RelationError(ValueError):
    """Things in one document that do not fit each other."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        super().__init__("; ".join(f"{fault.path}: {fault.message}" for fault in faults[:20]))


def unknown(path: str, what: str, wanted: str, known: Iterable[str]) -> Fault:
    """A fault for an id that names nothing, with the nearest known one as the mend."""
    names = list(known)
    near = difflib.get_close_matches(wanted, names[:2000], n=1, cutoff=0.5)
    mend = f"did you mean {near[0]!r}?" if near else f"add it, or name one of the {len(names)} there are"
    return Fault(path=path, message=f"there is no {what} {wanted!r}; {mend}")


def path_text(location: Iterable[Any]) -> str:
    """``weeks[0].wishes[3].activity`` of a pydantic error location."""
    text = ""
    for part in location:
        if isinstance(part, int):
            text += f"[{part}]"
        elif text:
            text += f".{part}"
        else:
            text = str(part)
    return text or "the document"


_WHOLE = "this must be a whole number"
_NUMBER = "this must be a number"
_YES_NO = "this must be true or false"
_LIST = "this must be a list; write it in square brackets"
_FIELDS = "this must hold fields of its own; write them in curly brackets"
_DATE = "this must be a date; write it as YYYY-MM-DD"
_MENDS = {
    "extra_forbidden": "this field is not known here; remove it or correct its spelling",
    "missing": "this field is missing; add it",
    "string_too_short": "there is nothing here; write something",
    "json_invalid": "this is not valid JSON; look at the place it names",
    "string_type": "this must be a text; write it in quotes",
    "tuple_type": _LIST,
    "list_type": _LIST,
    "dict_type": _FIELDS,
    "model_type": _FIELDS,
    "model_attributes_type": _FIELDS,
    "int_type": _WHOLE,
    "int_parsing": _WHOLE,
    "int_from_float": _WHOLE,
    "float_type": _NUMBER,
    "float_parsing": _NUMBER,
    "finite_number": _NUMBER,
    "bool_type": _YES_NO,
    "bool_parsing": _YES_NO,
    "date_type": _DATE,
    "date_parsing": _DATE,
    "date_from_datetime_parsing": _DATE,
    "date_from_datetime_inexact": _DATE,
}


def _plain(kind: str, message: str, told: Mapping[str, Any]) -> str:
    """What pydantic says, as one would say it to a parent; what nobody meets stays in its own words."""
    match kind:
        case "greater_than":
            return f"this must be more than {told['gt']}"
        case "greater_than_equal":
            return f"this must be {told['ge']} at least"
        case "less_than":
            return f"this must be less than {told['lt']}"
        case "less_than_equal":
            return f"this must be {told['le']} at most"
        case "string_too_long":
            return f"this is too long; write {told['max_length']} letters at most"
        case "too_short":
            return f"this list must hold {told['min_length']} at least"
        case "too_long":
            return f"this list can hold {told['max_length']} at most"
        case "string_pattern_mismatch" if told["pattern"] == ID_PATTERN:
            return "an id is letters, figures and any of _ . : + - without spaces, 80 at most"
        case "enum" | "literal_error":
            return message.replace("Input should be", "this must be")
    return _MENDS.get(kind, "") or message.removeprefix("Value error, ")


def _only_follows(item: Mapping[str, Any], items: list[Mapping[str, Any]]) -> bool:
    """Whether a list is too short only because what stands in it is faulty."""
    loc = tuple(item["loc"])
    inside = (other for other in items if len(other["loc"]) > len(loc))
    return item["type"] == "too_short" and any(tuple(other["loc"][: len(loc)]) == loc for other in inside)


def faults_of(error: ValidationError) -> list[Fault]:
    """Every fault in a validation error, relations included, at most 50."""
    return faults_in(error.errors(include_url=False, include_input=False))


def faults_in(items: Iterable[Mapping[str, Any]]) -> list[Fault]:
    """The same for pydantic's list of errors, wherever it was met."""
    found: list[Fault] = []
    every = list(items)
    for item in [one for one in every[:50] if not _only_follows(one, every)]:
        told = item.get("ctx") or {}
        cause = told.get("error")
        if isinstance(cause, RelationError):
            found.extend(cause.faults)
            continue
        message = _plain(item["type"], item["msg"], told)
        if item["type"] == "json_invalid":
            message = f"{message} ({item['msg']})"
        found.append(Fault(path=path_text(item["loc"]), message=message))
    return found[:50]
