"""What was done about a book: a hold placed, fetched, renewed, given back."""

from __future__ import annotations

from enum import StrEnum

from pydantic import ValidationError

from service.days import SaneDay
from service.errors import BadInput, NotFound
from solver.domain.base import BookId, Frozen
from solver.domain.document import Document
from solver.domain.faults import Fault, faults_of
from solver.domain.home import Book, BookState


class Did(StrEnum):
    """A step with the library."""

    RESERVED = "reserved"
    FETCHED = "fetched"
    RENEWED = "renewed"
    GIVEN_BACK = "given back"


class Loan(Frozen):
    """A step, and the date that belongs to it."""

    did: Did
    until: SaneDay | None = None
    """Fetched, renewed: due on that day. Reserved: expected on that day, if anybody knows."""


def book_of(document: Document, ident: str) -> Book:
    """The book with this id.

    Raises
    ------
    NotFound
        When there is none.
    """
    found = next((one for one in document.household.books if one.id == ident), None)
    if found is None:
        raise NotFound(f"there is no book {ident[:80]!r}; add it to the household first")
    return found


def lent(document: Document, ident: BookId, loan: Loan) -> Document:
    """The document after a step with the library.

    Raises
    ------
    BadInput
        When the step lacks its date, or cannot be taken with this book.
    """
    book = _after(book_of(document, ident), loan)
    books = tuple(book if one.id == ident else one for one in document.household.books)
    return document.model_copy(update={"household": document.household.model_copy(update={"books": books})})


def _after(book: Book, loan: Loan) -> Book:
    if loan.did in (Did.FETCHED, Did.RENEWED) and loan.until is None:
        raise _refused("until", f"say until when {book.title!r} may stay")
    if loan.did is Did.RENEWED and not book.renewals_left:
        raise _refused("did", f"{book.title!r} cannot be renewed again; give it back and reserve it anew")
    if loan.did in (Did.RENEWED, Did.GIVEN_BACK) and book.state is not BookState.BORROWED:
        raise _refused("did", f"{book.title!r} is not on loan; write down first that it was fetched")
    fields = {name: getattr(book, name) for name in Book.model_fields}
    try:
        return Book.model_validate(fields | _NOWHERE | _change(book, loan))
    except ValidationError as error:
        raise BadInput("the dates of the loan do not fit each other", faults_of(error)) from error


_NOWHERE = {"due": None, "arrives": None, "due_on": None, "arrives_on": None}


def _change(book: Book, loan: Loan) -> dict[str, object]:
    match loan.did:
        case Did.RESERVED:
            return {"state": BookState.RESERVED, "arrives_on": loan.until}
        case Did.FETCHED:
            return {"state": BookState.BORROWED, "due_on": loan.until}
        case Did.RENEWED:
            return {"due_on": loan.until, "renewals_left": book.renewals_left - 1}
        case Did.GIVEN_BACK:
            return {"state": BookState.RESERVED}


def _refused(path: str, message: str) -> BadInput:
    return BadInput(message, [Fault(path=path, message=message)])
