"""Answers of the service, turned into the language that was asked for as they are sent."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import parse_qs

import anyio
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.tongues.turn import TONGUES, Tongue, tongue_of

_DOCUMENTS = re.compile(
    r"/api/(?:document|whole|household|activities(?:/[^/]+)?(?:/away|/copy)?|catalogue(?:/table)?|stock|printables"
    r"|start/(?:choices|demo)|coop(?:/[\d-]+)?|record/rules(?:/[^/]+)?|log|observations|outbox|openapi\.json|export"
    r"|weeks/[^/]+(?:/marks|/wishes|/export|/prepared|/shops)?|called)"
)
"""What a page reads in order to send it back: turned, a family's data would change under its hands."""
_TOLD = frozenset(
    {
        "advice",
        "age",
        "blocked",
        "cautions",
        "closes",
        "detail",
        "freed_by",
        "goes_on_in",
        "how",
        "in_the_way",
        "latest",
        "message",
        "note",
        "notes",
        "now",
        "reason",
        "says",
        "sentence",
        "sentences",
        "source",
        "standing",
        "tell",
        "text",
        "trouble",
        "until",
        "value",
        "was",
        "what",
        "why",
    }
)
"""Fields in which the service says something."""
_CALLED = frozenset(
    {
        "can_do",
        "caution",
        "does",
        "fix_title",
        "name",
        "needed_for",
        "subject",
        "substitutes",
        "title",
        "titles",
        "unit",
        "wanted_for",
        "wanted_in",
    }
)
"""Fields that hold what something is called: turned only where the name is one that Lapful brought along."""
_HELD = {"start": "document", "friday": "said"}
"""By the path's last part, the field of an answer that holds such data beside what is said."""
Code = tuple[str, str]
"""A field's name, and a value that stands for something there."""
_VARY = "cookie, accept-language"
_AS_BEFORE = 304
_PROBLEM = 400
NAME = "tongue"
"""Of the question's part and of the cookie."""


class Speaking:
    """ASGI middleware around everything; ``wanted`` says in which language."""

    def __init__(self, app: ASGIApp, codes: Callable[[], frozenset[Code]]) -> None:
        """``codes`` gives the values that stand for something in our contract, and are words for no one."""
        self._app = app
        self._codes = codes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        code = wanted(scope) if scope["type"] == "http" else None
        if code is None:
            await self._app(scope, receive, _varied(send) if scope["type"] == "http" else send)
            return
        headers = [(name, _own_tags(name, value, code)) for name, value in scope["headers"]]
        scope = {**scope, "headers": headers}
        turning = _Turning(tongue_of(code), scope, send, self._codes())
        await self._app(scope, receive, turning.send)


def _own_tags(name: bytes, value: bytes, code: str) -> bytes:
    """The tags of what was sent in this language, as they were before; one of another language is none."""
    mark = f'-{code}"'.encode()
    if name != b"if-none-match":
        return value.replace(mark, b'"') if name == b"if-match" else value
    tags = (tag.strip() for tag in value.split(b","))
    return b", ".join(tag.removesuffix(mark) + b'"' for tag in tags if tag.endswith(mark)) or b'""'


def wanted(scope: Scope) -> str | None:
    """The language to speak, None for English: by ``?tongue=``, else the cookie, else Accept-Language."""
    headers = Headers(scope=scope)
    asked = parse_qs(scope.get("query_string", b"").decode("latin-1")).get(NAME, [])
    chosen = cookie_parser(headers.get("cookie", "")).get(NAME, "")
    said = (*asked, chosen, headers.get("accept-language", ""))
    first = next(filter(None, said), "").split(",")[0].split(";")[0].split("-")[0].strip().lower()
    return first if first in TONGUES else None


def names_in(tongue: Tongue, part: Any, name: str = "") -> Iterator[tuple[str, str]]:
    """What is called something in a document, and what it is called in that language, where that differs."""
    if isinstance(part, dict):
        for key, one in part.items():
            yield from names_in(tongue, one, key)
    elif isinstance(part, list):
        for one in part:
            yield from names_in(tongue, one, name)
    elif isinstance(part, str) and (name in _CALLED or name == "theme"):
        said = tongue.called(part)
        if said != part:
            yield part, said


def _varied(send: Send) -> Send:
    """So that nothing kept on the way answers in the one language for the other."""

    async def varied(message: Message) -> None:
        if message["type"] == "http.response.start":
            MutableHeaders(scope=message).add_vary_header(_VARY)
        await send(message)

    return varied


class _Turning:
    """One answer on its way out."""

    def __init__(self, tongue: Tongue, scope: Scope, send: Send, codes: frozenset[Code]) -> None:
        self._tongue, self._send, self._codes = tongue, send, codes
        self._is_document = _DOCUMENTS.fullmatch(scope["path"]) is not None
        self._held = _HELD.get(scope["path"].rpartition("/")[2])
        self._start: Message | None = None
        self._turn: Callable[[str], str] | None = None
        self._is_told_bit_by_bit = False
        self._body: list[bytes] = []

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            await self._begin(message)
        elif self._turn is None or self._start is None:
            if self._is_told_bit_by_bit and message.get("body"):
                message["body"] = _EVENT.sub(self._event, message["body"])
            await self._send(message)
        else:
            self._body.append(message.get("body", b""))
            if not message.get("more_body", False):
                await self._end(self._start, self._turn)

    async def _begin(self, message: Message) -> None:
        headers = MutableHeaders(scope=message)
        headers.add_vary_header(_VARY)
        kind = headers.get("content-type", "").split(";")[0]
        self._turn = self._way(kind, message["status"] >= _PROBLEM)
        self._is_told_bit_by_bit = kind == "text/event-stream"
        is_as_before = message["status"] == _AS_BEFORE and not self._is_document
        if self._turn is not None or is_as_before:
            headers["content-language"] = self._tongue.code
            if tag := headers.get("etag"):
                headers["etag"] = f'{tag[:-1]}-{self._tongue.code}"'
        if self._turn is None:
            await self._send(message)
        else:
            self._start = message

    def _way(self, kind: str, is_problem: bool) -> Callable[[str], str] | None:
        if kind in ("text/html", "image/svg+xml"):
            return lambda body: marked_up(self._tongue, body)
        is_told = kind in ("application/json", "application/problem+json") and (
            is_problem or not self._is_document
        )
        return self._json if is_told else None

    async def _end(self, start: Message, turn: Callable[[str], str]) -> None:
        body = b"".join(self._body).decode()
        turned = (await anyio.to_thread.run_sync(turn, body) if body else body).encode()
        MutableHeaders(scope=start)["content-length"] = str(len(turned))
        await self._send(start)
        await self._send({"type": "http.response.body", "body": turned})

    def _event(self, found: re.Match[bytes]) -> bytes:
        return found[1] + self._json(found[2].decode()).encode()

    def _json(self, body: str) -> str:
        return json.dumps(self._field("", json.loads(body)), ensure_ascii=False, separators=(",", ":"))

    def _field(self, name: str, value: Any) -> Any:
        if isinstance(value, dict):
            return {key: one if key == self._held else self._field(key, one) for key, one in value.items()}
        if isinstance(value, list):
            return [self._field(name, one) for one in value]
        if not isinstance(value, str):
            return value
        if name == "path" and " " in value:
            return self._tongue.told(value)
        if name in _TOLD and (name, value) not in self._codes:
            return self._tongue.told(value)
        return self._tongue.called(value) if name in _CALLED else value


def marked_up(tongue: Tongue, body: str) -> str:
    """HTML or SVG with each run of text between two tags in that language."""

    def run(found: re.Match[str]) -> str:
        text = found["run"]
        if text is None or not text.strip():
            return found[0]
        words = text.strip()
        said = html.escape(tongue.told(html.unescape(words)))
        return text.replace(words, said, 1)

    said = _BETWEEN_TAGS.sub(run, body)
    return said.replace('<html lang="en">', f'<html lang="{tongue.code}">', 1)


_BETWEEN_TAGS = re.compile(r"<style.*?</style>|<script.*?</script>|<[^>]*>|(?P<run>[^<]+)", re.DOTALL)
_EVENT = re.compile(rb"(?m)^(data: )(\{.*\})\r?$")
