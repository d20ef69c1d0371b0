"""The page's files, built by Vite into ``service/page``, or a word on how to build them."""

from __future__ import annotations

from pathlib import Path

from starlette.responses import HTMLResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

PAGE = Path(__file__).parent / "page"
_NOT_BUILT = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<title>Lapful: the page is not built yet</title>
<h1>The page is not built yet</h1>
<p>The service runs. To build its page, run this in the repository, then reload:</p>
<pre>npm --prefix web ci
npm --prefix web run build</pre>
<p>The data are served at <a href="/api/weeks">/api/weeks</a> meanwhile.</p>
</html>
"""


def is_built(page: Path = PAGE) -> bool:
    """Whether there is a page to show."""
    return (page / "index.html").is_file()


def page_route(page: Path = PAGE) -> BaseRoute:
    """The route for everything outside /api."""
    if is_built(page):
        return Mount("/", _PageFiles(directory=page, html=True), name="page")
    return Route("/", _not_built, name="page")


async def _not_built(_request: object) -> Response:
    return HTMLResponse(_NOT_BUILT, headers={"cache-control": "no-store"})


class _PageFiles(StaticFiles):
    """Hashed assets never change under their name; everything else is asked for anew."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        response = await super().get_response(path, scope)
        kept = path.startswith("assets/") and response.status_code == 200
        response.headers["cache-control"] = "public, max-age=31536000, immutable" if kept else "no-cache"
        return response
