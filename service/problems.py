"""Errors to answers: one handler for each class of exception (RFC 9457 problem details)."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from http import HTTPStatus
from typing import Any

from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from service.errors import BadInput, BrokenJson, LapfulError, Problem
from solver.domain.faults import Fault, faults_in

MEDIA_TYPE = "application/problem+json"
Handler = Callable[[Request, Any], Coroutine[Any, Any, Response]]


def answer(problem: Problem, headers: dict[str, str] | None = None) -> Response:
    """The problem as a response."""
    return Response(
        problem.model_dump_json(), status_code=problem.status, media_type=MEDIA_TYPE, headers=headers
    )


def refusal(error: LapfulError) -> Response:
    """An error of ours as a response."""
    return answer(error.problem(), error.headers)


async def _ours(_request: Request, error: LapfulError) -> Response:
    return refusal(error)


async def _http(_request: Request, error: HTTPException) -> Response:
    # The framework wraps what goes wrong while it reads a body; ours is underneath.
    if isinstance(error.__cause__, LapfulError):
        return refusal(error.__cause__)
    title = HTTPStatus(error.status_code).phrase
    detail = "" if error.detail == title else str(error.detail)
    headers = dict(error.headers) if error.headers else None
    return answer(Problem(title=title, status=error.status_code, detail=detail), headers)


async def _validation(_request: Request, error: RequestValidationError) -> Response:
    return answer(_from_validation(error).problem())


def _from_validation(error: RequestValidationError) -> BadInput:
    items = [_without_body(item) for item in error.errors()]
    if items and items[0]["type"] == "json_invalid":
        fault = Fault(path=_where(error.body, items[0]["loc"]), message=_json_message(items[0]))
        return BrokenJson("the request is not valid JSON", [fault])
    faults = faults_in(items)
    # The page sets the first fault beside the detail, which therefore does not say it once more.
    return BadInput("mend this first:" if faults else "", faults)


def _without_body(item: dict[str, Any]) -> dict[str, Any]:
    location = tuple(item["loc"])
    return {**item, "loc": location[1:] if location[:1] == ("body",) else location}


def _json_message(item: dict[str, Any]) -> str:
    return f"{(item.get('ctx') or {}).get('error', item['msg'])}; mend the JSON there"


def _where(text: object, location: tuple[Any, ...]) -> str:
    position = location[-1] if location and isinstance(location[-1], int) else 0
    before = text[:position] if isinstance(text, str) else ""
    return f"line {before.count(chr(10)) + 1}, column {position - before.rfind(chr(10))}"


async def _unforeseen(_request: Request, _error: Exception) -> Response:
    detail = "this is our mistake, not yours; nothing was changed. The server's log says more"
    title = HTTPStatus.INTERNAL_SERVER_ERROR.phrase
    return answer(Problem(title=title, status=500, detail=detail))


HANDLERS: dict[int | type[Exception], Handler] = {
    LapfulError: _ours,
    HTTPException: _http,
    RequestValidationError: _validation,
    Exception: _unforeseen,
}
