"""One thing among many in a version of its own: whether it still is what somebody read."""

from __future__ import annotations

import hashlib

from service.errors import Stale
from solver.domain.base import Frozen


def tag_of(thing: Frozen) -> str:
    """What is sent as its ETag, and changes with anything in it."""
    return f'"{hashlib.sha256(thing.model_dump_json().encode()).hexdigest()[:32]}"'


def require_same(kept: Frozen | None, known: str | None) -> None:
    """Refuse to write over what somebody else changed or took out after it was read.

    ``known`` is the If-Match of whoever writes: a tag, or ``*`` or nothing to write regardless.

    Raises
    ------
    Stale
        With what is kept now, when that is another.
    """
    tags = {tag.strip() for tag in (known or "*").split(",")}
    if "*" in tags or (kept is not None and tag_of(kept) in tags):
        return
    if kept is None:
        raise Stale("it was taken out in the meantime; send it with If-Match: * to keep it all the same")
    message = "it was changed in the meantime; compare both, then send yours with If-Match: * to keep it"
    raise Stale(message, kept=kept.model_dump(mode="json"))
