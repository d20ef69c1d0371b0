"""What the service might say, for states of the page that a test could not wait for."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

from playwright.sync_api import Page, Route

PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="40"><path d="M4 4h8v8H4z"/></svg>'
SENTENCES = (
    "Move morning time to Tuesday, and keep the card sort for another time.",
    "Do the frog bowl the lighter way; everything else stays.",
    "Let the pond tub go; everything else stays where it is.",
)


def offer_of(shown: str) -> dict[str, Any]:
    """A way on with something of each kind."""
    view = json.loads(shown)
    plan = view["stored"]["plan"]
    first = plan["bookings"][0]
    moved = {
        "booking": first["id"], "title": "Morning time", "from_day": "monday", "from_start": "09:00",
        "to_day": "tuesday", "to_start": "09:20", "to_stretch": view["household"]["stretches"][0]["id"],
        "lighter": False,
    }  # fmt: skip
    off = {"fixed_point": "class", "title": "Swim class", "day": "monday", "for_whom": [], "why": "illness"}
    return {
        "kind": "fewest-changes", "sentence": SENTENCES[0], "moved": [moved],
        "held_over": plan["left_over"][:1], "let_go": [],
        "cancelled": [off | {"tell": "Tell the leader."}], "added": [], "unchanged": 38,
        "notes": ["Paint is still wet."], "changes_bound": {"value": 8, "bound": 8, "proved": True},
        "plan": plan, "week": view["week"],
    }  # fmt: skip


def verdict(shown: str, *, fits: bool) -> str:
    """What a change by hand comes to."""
    no = [
        "Tuesday 09:55: Juno has too much to do at once.",
        "Tuesday adds up to more mess than it can take.",
    ]
    offers = [{"id": "way-1", "offer": offer_of(shown)}] if fits else []
    return json.dumps({"fits": fits, "title": "Bowl", "in_the_way": [] if fits else no, "offers": offers})


def mending(shown: str) -> str:
    """Three ways on."""
    offers = [
        {"id": f"way-{number}", "offer": offer_of(shown) | {"sentence": sentence}}
        for number, sentence in enumerate(SENTENCES)
    ]
    happened = {"mishaps": [{"kind": "tired", "day": "tuesday"}], "at": None}
    return json.dumps({"title": "", "happened": happened, "offers": offers})


DEVICES = json.dumps(
    [
        {
            "id": f"device-{name[:1]}",
            "name": name,
            "paired_at": "2027-01-30T09:00:00Z",
            "seen_on": "2027-02-01",
        }
        for name in ("The kitchen tablet with a very long name", "Phone")
    ]
)
INVITATION = json.dumps({"address": "http://192.168.7.2:8027/pair#x", "seconds": 300, "picture": PICTURE})
WHY = json.dumps(
    {"about": "b", "sentences": ["It is on Monday.", "Not Tuesday: your hands are full."], "reasons": []}
)
CHANGES = json.dumps(
    [
        {
            "id": 7,
            "made_at": "2027-02-01T09:00:00Z",
            "what": "the week was mended: a tired day",
            "undone": False,
        }
    ]
)


@contextmanager
def saying(page: Page, answers: dict[str, str | int | None]) -> Iterator[None]:
    """While it lasts, the service says this: a body, a status of refusal, or (None) nothing yet."""

    def say(what: str | int | None, route: Route) -> None:
        if isinstance(what, str):
            route.fulfill(body=what, content_type="application/json")
        elif what is not None:
            route.abort() if what == 0 else route.fulfill(status=what, body='{"title": "no", "status": 412}')

    handlers = {pattern: partial(say, what) for pattern, what in answers.items()}
    for pattern, handler in handlers.items():
        page.route(pattern, handler)
    yield
    for pattern, handler in handlers.items():
        page.unroute(pattern, handler)
