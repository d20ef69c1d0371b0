"""Printables: what they are called, and which activities need them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from pydantic import Field

from service.errors import BadInput, NotFound
from service.printables.kinds import FileKind, kind_of
from service.store import Store
from service.store.changing import change
from service.store.entries import Entries, entry
from service.store.keeping import content, keep, mark_of
from solver.domain.activity import Activity
from solver.domain.base import Frozen, Id, Name
from solver.domain.faults import Fault

PRINTABLE = "printable"


class Printable(Frozen):
    """A file that can be printed. An activity's resource names it by its id."""

    id: Id
    name: Name
    kind: FileKind
    size: Annotated[int, Field(ge=0)]
    mark: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    """SHA-256 of what is in it."""

    @property
    def file_name(self) -> str:
        """What it is called once it is saved: our ending, whatever it was called before."""
        return f"{self.name.rsplit('.', 1)[0] or self.name}.{self.kind.ending}"


def printables(store: Store) -> tuple[Printable, ...]:
    """All of them, by name."""
    return tuple(sorted(Entries(store).all(PRINTABLE, Printable), key=lambda one: (one.name, one.id)))


def keep_printable(store: Store, name: str, body: bytes) -> Printable:
    """Keep a file; the same one again only gets the new name."""
    mark = mark_of(body)
    made = Printable(id=mark[:16], name=name, kind=kind_of(body), size=len(body), mark=mark)
    keep(store, f"{made.name} was kept", body, entry(PRINTABLE, made.id, made))
    return made


def printable_of(store: Store, ident: str) -> tuple[Printable, bytes]:
    """A printable and what is in it.

    Raises
    ------
    NotFound
        When there is none, or its content did not come along with a household.
    """
    found = Entries(store).get(PRINTABLE, ident, Printable)
    body = content(store, found.mark) if found else None
    if found is None or body is None:
        raise NotFound("there is no such printable here; put its file in again")
    return found, body


def take_out(store: Store, ident: str) -> None:
    """Take a printable out; refused while an activity names it."""
    found = Entries(store).get(PRINTABLE, ident, Printable)
    if found is None:
        raise NotFound("there is no such printable here")
    users = [one.title for one in store.current().document.activities if ident in named_by(one)]
    if users:
        message = f"{', '.join(users[:5])} need it; take it out of their resources first"
        raise BadInput(message, [Fault(path="printable", message=message)])
    change(store, f"{found.name} was taken out", removed=[(PRINTABLE, ident)])


def named_by(activity: Activity) -> set[str]:
    """The printables that an activity names."""
    return {one.file for one in activity.resources if one.file}


def require_kept(store: Store, activities: Iterable[Activity]) -> None:
    """Refuse resources whose file is not kept here.

    Raises
    ------
    BadInput
        With a fault for each.
    """
    given = tuple(activities)
    if not any(named_by(one) for one in given):
        return
    known = {one.id for one in printables(store)}
    faults = [
        Fault(
            path=f"{one.id}.resources", message=f"no printable {file!r} is kept here; put its file in first"
        )
        for one in given
        for file in sorted(named_by(one) - known)
    ]
    if faults:
        raise BadInput(faults[0].message, faults)
