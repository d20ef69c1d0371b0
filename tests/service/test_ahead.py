"""What is made ready, bought and borrowed: by evening, in time, once."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.ahead.command import NOTHING
from service.ahead.lists import ahead
from service.ahead.stock import stocked, used_by
from service.errors import BadInput
from service.store import Store
from solver.check import check
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.search import solve
from tests.service.house import NEXT_WEEK, WEEK, document_json
from tests.service.papers import booking
from tests.service.saying import Lapful, write

DEMO = Path(__file__).parents[2] / "demo"
FEB = datetime.date(2027, 2, 1)


@pytest.fixture
def store(client: TestClient) -> Store:
    """What the server serves from."""
    kept: Store = client.app.state.store  # type: ignore[attr-defined]
    return kept


def house(**change: Any) -> dict[str, Any]:
    """The orchard with a cupboard; the story takes two nuts each and one sheet, the walk a stick each."""
    made = document_json()
    made["household"]["materials"] = [
        {
            "id": "nut",
            "name": "nut",
            "reusable": False,
            "count": 5,
            "buyable": True,
            "price": 2,
            "unit": "bag",
        },
        {"id": "sheet", "name": "sheet", "reusable": False, "count": 1, "substitutes": ["back of a letter"]},
        {"id": "stick", "name": "stick", "count": 1, "substitutes": ["spoon"]},
    ]
    story, count, walk = made["activities"]
    story["sittings"][0]["needs"] = [
        {"material": "nut", "count": 2, "each_child": True},
        {"material": "sheet"},
    ]
    count["sittings"][0]["needs"] = [{"material": "nut", "count": 3}]
    walk["sittings"][0]["needs"] = [{"material": "stick", "each_child": True}]
    made["household"]["limits"] = {"prep": [{"evening": "sunday_before", "minutes": 30}]}
    return made | change


def with_prep() -> tuple[Document, Plan]:
    made = house()
    made["activities"][0]["prep"] = [
        {"id": "card", "name": "laminate the cards", "minutes": 12, "warm_up_min": 5, "batch": "laminator"},
        {
            "id": "page",
            "name": "laminate the page",
            "minutes": 8,
            "warm_up_min": 5,
            "batch": "laminator",
            "lead_min": 600,
        },
    ]
    made["activities"][1]["prep"] = [{"id": "acorn", "name": "gather acorns", "minutes": 7}]
    evening = {"wish": "story", "evening": "sunday_before", "ready_for": "story.1.1", "batch": "laminator"}
    prep = [
        evening | {"task": "card", "name": "laminate the cards", "minutes": 7, "warm_up_min": 5},
        evening | {"task": "page", "name": "laminate the page", "minutes": 3, "warm_up_min": 5},
    ]
    plan = Plan.model_validate(
        {"week": WEEK, "prep": prep, "bookings": [booking("story", "leaf-story", "monday", "09:00")]}
    )
    return Document.model_validate(made), plan


def test_an_evening_is_batched_and_each_thing_has_its_last_moment() -> None:
    document, plan = with_prep()
    lists = ahead(document, {WEEK: plan}, WEEK)
    (evening,) = lists.evenings
    assert evening.date == datetime.date(2027, 1, 31), "the Sunday before"
    assert (evening.minutes, evening.budget, evening.quiet) == (15, 30, True), "the laminator warms up once"
    (batch,) = evening.batches
    assert (batch.tool, batch.warm_up_min) == ("laminator", 5)
    # laid out five minutes before nine; the page ten hours before that
    assert [(item.task, item.latest.date, item.latest.time) for item in batch.items] == [
        ("page", datetime.date(2027, 1, 31), 22 * 60 + 55),
        ("card", FEB, 8 * 60 + 55),
    ]
    assert [(later.week, later.minutes) for later in lists.later] == [(NEXT_WEEK, 7)]


def test_what_is_short_is_bought_once_for_all_weeks() -> None:
    document = Document.model_validate(house())
    plan = Plan(
        week=WEEK,
        bookings=(
            booking("story", "leaf-story", "monday", "09:00"),
            booking("story", "leaf-story", "tuesday", "09:00", go=1),
            booking("walk", "brook-walk", "wednesday", "09:30", place="brook"),
        ),
    )
    lists = ahead(document, {WEEK: plan}, WEEK)
    by_id = {one.material: one for one in lists.to_buy}
    # two stories take eight nuts, the wish of the week after three more; five are there
    assert (by_id["nut"].count, by_id["nut"].cost, by_id["nut"].in_stock) == (6, 12, 5)
    assert by_id["nut"].need_by == datetime.date(2027, 2, 2), "Monday's story still has its nuts"
    assert by_id["nut"].needed_for == ("Leaf story", "Acorn count")
    assert (by_id["nut"].shop, by_id["nut"].shop_on) == ("before 2027-02-01", datetime.date(2027, 1, 30))
    assert (by_id["sheet"].buyable, by_id["sheet"].substitutes) == (False, ("back of a letter",))
    (tool,) = lists.tools
    assert (tool.name, tool.have, tool.want, tool.substitutes) == ("stick", 1, 2, ("spoon",))
    assert ahead(document, {WEEK: plan}, WEEK, 1).to_buy[0].count == 3, "one week alone needs less"


def test_what_arrives_in_time_is_not_bought() -> None:
    made = house()
    made["household"]["materials"][0]["arrivals"] = [{"at": {"day": "tuesday", "time": "08:00"}, "count": 50}]
    plan = Plan(week=WEEK, bookings=(booking("story", "leaf-story", "tuesday", "09:00"),))
    lists = ahead(Document.model_validate(made), {WEEK: plan}, WEEK)
    assert "nut" not in {one.material for one in lists.to_buy}


def test_the_list_agrees_with_the_plan_that_the_solver_made() -> None:
    document = Document.model_validate_json((DEMO / "small.json").read_text())
    made = document.model_dump(mode="json")
    for item in made["household"]["materials"]:
        if not item["reusable"]:
            item["count"], item["buyable"], item["price"] = 0, True, 1
    document = Document.model_validate(made)
    plan = solve(document.problem(), seconds=4, seed=1, workers=2)
    bought = {one.material: one.count for one in plan.shopping}
    assert bought, "the cupboard was emptied for this"
    assert {one.material: one.count for one in ahead(document, {plan.week: plan}, plan.week).to_buy} == bought


BOOK = {
    "id": "tale",
    "title": "The leaf tale",
    "state": "borrowed",
    "due": {"day": "friday", "time": "17:00"},
}


@pytest.mark.parametrize(
    ("book", "advice", "by"),
    [
        (BOOK, "reserve it", "2027-02-01"),
        (BOOK | {"renewals_left": 1}, "renew it", "2027-02-05"),
        (BOOK | {"state": "reserved", "due": None}, "reserve it", "2027-02-01"),
        (
            BOOK | {"state": "reserved", "due": None, "arrives": {"day": "wednesday", "time": "10:00"}},
            "fetch it when it arrives",
            "2027-02-03",
        ),
    ],
)
def test_books_are_renewed_reserved_or_fetched_in_time(book: dict[str, Any], advice: str, by: str) -> None:
    made = house()
    made["household"]["books"] = [book]
    made["activities"][1]["book"] = "tale"
    (line,) = ahead(Document.model_validate(made), {}, WEEK).books
    assert (line.advice.value, line.by.isoformat(), line.wanted_in) == (advice, by, (NEXT_WEEK,))


def test_a_book_is_read_before_it_is_due_or_given_back() -> None:
    made = house()
    made["household"]["books"] = [BOOK]
    assert ahead(Document.model_validate(made), {}, WEEK).books[0].advice.value == "give it back"
    made["activities"][0]["book"] = "tale"
    assert ahead(Document.model_validate(made), {}, WEEK).books[0].advice.value == "read it before it is due"
    made["household"]["books"] = [{"id": "tale", "title": "Own"}]
    assert ahead(Document.model_validate(made), {}, WEEK).books == ()


def test_stock_goes_down_by_what_is_done_and_never_below_nothing() -> None:
    document = Document.model_validate(house())
    used = used_by(document, [booking("story", "leaf-story", "monday", "09:00")])
    assert used == {"nut": 4, "sheet": 1}
    after = stocked(document, {name: -count for name, count in used.items()} | {"stick": -9})
    assert {one.id: one.count for one in after.household.materials} == {"nut": 1, "sheet": 0, "stick": 0}
    with pytest.raises(BadInput, match="there is no material 'moon'"):
        stocked(document, {"moon": 1})


CREAM = {"id": "cream", "name": "cream", "reusable": False, "count": 0, "buyable": True, "keeps_days": 3}


def with_cream(*days: str, **more: Any) -> tuple[Document, Plan]:
    """Stories that take cream, one on each of these days."""
    made = house()
    made["household"]["materials"].append(CREAM | more)
    made["activities"][0]["sittings"][0]["needs"] = [{"material": "cream"}]
    bookings = [booking("story", "leaf-story", day, "09:00", go=n) for n, day in enumerate(days)]
    return Document.model_validate(made), Plan(week=WEEK, bookings=tuple(bookings))


def test_what_perishes_is_bought_in_portions_near_to_their_use() -> None:
    """Cream that keeps three days: Monday to Wednesday from one pot, Friday's from another."""
    document, plan = with_cream("monday", "wednesday", "friday")
    first, second = (one for one in ahead(document, {WEEK: plan}, WEEK).to_buy if one.material == "cream")
    assert (first.count, first.not_before, first.need_by) == (2, datetime.date(2027, 1, 31), FEB)
    assert first.shop == "no weekly shop in time: buy it fresh", "Saturday's pot is good until Tuesday"
    assert (second.count, second.not_before) == (1, datetime.date(2027, 2, 2))
    assert second.need_by == datetime.date(2027, 2, 5)


@pytest.mark.parametrize(
    ("keeps", "shop"), [(3, "no weekly shop in time: buy it fresh"), (4, "before 2027-02-01")]
)
def test_a_shop_counts_only_when_it_still_keeps(keeps: int, shop: str) -> None:
    document, plan = with_cream("wednesday", keeps_days=keeps)
    assert (
        next(one.shop for one in ahead(document, {WEEK: plan}, WEEK).to_buy if one.material == "cream")
        == shop
    )


def test_what_stands_in_the_cupboard_perishes_too() -> None:
    document, plan = with_cream("monday", "friday", count=2)
    (line,) = (one for one in ahead(document, {WEEK: plan}, WEEK).to_buy if one.material == "cream")
    assert (line.count, line.need_by) == (1, datetime.date(2027, 2, 5)), "Monday's is still good"
    keeping, plan = with_cream("monday", "friday", count=2, keeps_days=None)
    assert not [one for one in ahead(keeping, {WEEK: plan}, WEEK).to_buy if one.material == "cream"]


def test_ticks_empty_the_cupboard_and_taking_them_back_fills_it(client: TestClient, store: Store) -> None:
    client.put("/api/document", json=house())
    plan = Plan(
        week=WEEK,
        bookings=(
            booking("story", "leaf-story", "monday", "09:00"),
            booking("story", "leaf-story", "tuesday", "09:00", go=1),
        ),
    )
    store.add_plan(plan, store.current().made_from(WEEK))

    def nuts() -> tuple[int, int]:
        lines = client.get(f"/api/weeks/{WEEK}/ahead").json()["to_buy"]
        return next((one["in_stock"], one["count"]) for one in lines if one["material"] == "nut")

    # eight for two stories and three next week: six more than the five that are there
    assert nuts() == (5, 6)
    tick = {"id": "tick-one", "at": "2027-02-01T09:30:00Z", "week": WEEK, "booking": "story.1.1"}
    client.post("/api/outbox", json=[tick | {"outcome": "done"}])
    assert nuts() == (1, 6)
    client.post("/api/undo")
    assert nuts() == (5, 6)
    client.post(f"/api/weeks/{WEEK}/friday", json={"rest": "done"})
    # eight were used, so the three that were lacking came in unsaid; nothing that is done counts twice
    assert nuts() == (0, 3)
    client.post("/api/undo")
    assert nuts() == (5, 6)


def test_a_plan_still_holds_once_its_week_is_logged(client: TestClient, store: Store) -> None:
    document = Document.model_validate_json((DEMO / "small.json").read_text())
    plan = solve(document.problem(), seconds=2, seed=1, workers=1)
    store.put_document(document)
    store.add_plan(plan, store.current().made_from(plan.week))
    before = {one.id: one.count for one in document.household.materials}
    assert client.post(f"/api/weeks/{plan.week}/friday", json={"rest": "done"}).status_code == 200
    after = store.current().document
    assert {one.id: one.count for one in after.household.materials} != before, "something was used up"
    assert check(after.problem(plan.week), plan) == []


LOAN = {"id": "tale", "title": "The leaf tale", "state": "borrowed", "renewals_left": 1}


@pytest.mark.parametrize(
    ("due", "first", "second"),
    [
        ("2027-01-29", False, False),
        ("2027-02-03", True, False),
        ("2027-02-09", True, True),
        ("2027-03-01", True, True),
    ],
)
def test_a_loan_ends_on_its_date_in_whichever_week_that_is(due: str, first: bool, second: bool) -> None:
    """Monday's reading in the one week and in the next: before the due date only."""
    made = house()
    made["household"]["books"] = [LOAN | {"due_on": due}]
    made["activities"][0]["book"] = "tale"
    made["weeks"][1]["wishes"] = made["weeks"][0]["wishes"][:1]
    document = Document.model_validate(made)
    for week, fits in ((WEEK, first), (NEXT_WEEK, second)):
        plan = Plan(week=week, bookings=(booking("story", "leaf-story", "monday", "09:00"),))
        broken = {one.key for one in check(document.problem(week), plan)}
        assert ("book" not in broken) is fits, week


def test_a_hold_arrives_on_its_date() -> None:
    made = house()
    made["household"]["books"] = [
        {"id": "tale", "title": "T", "state": "reserved", "arrives_on": "2027-02-09"}
    ]
    made["activities"][0]["book"] = "tale"
    made["weeks"][1]["wishes"] = made["weeks"][0]["wishes"][:1]
    document = Document.model_validate(made)
    for week, day, fits in (
        (WEEK, "friday", False),
        (NEXT_WEEK, "monday", False),
        (NEXT_WEEK, "wednesday", True),
    ):
        plan = Plan(week=week, bookings=(booking("story", "leaf-story", day, "09:00"),))
        assert ("book" not in {one.key for one in check(document.problem(week), plan)}) is fits


def test_steps_with_the_library_are_written_down_and_taken_back(client: TestClient) -> None:
    made = house()
    made["household"]["books"] = [LOAN | {"due_on": "2027-02-03"}]
    made["activities"][1]["book"] = "tale"
    client.put("/api/document", json=made)

    def advice() -> list[tuple[str, str]]:
        return [(one["advice"], one["by"]) for one in client.get(f"/api/weeks/{WEEK}/ahead").json()["books"]]

    def loan(**body: Any) -> int:
        return client.put("/api/books/tale/loan", json=body).status_code

    assert advice() == [("renew it", "2027-02-03")]
    assert loan(did="renewed") == 422, "until when?"
    assert loan(did="renewed", until="2027-02-17") == 200
    assert advice() == [("read it before it is due", "2027-02-17")]
    assert loan(did="renewed", until="2027-03-17") == 422, "no renewals left"
    client.post("/api/undo")
    assert advice() == [("renew it", "2027-02-03")]
    assert loan(did="given back") == 200
    assert advice() == [("reserve it", "2027-02-01")]
    assert loan(did="reserved", until="2027-02-06") == 200
    assert advice() == [("fetch it when it arrives", "2027-02-06")]
    assert loan(did="fetched", until="2027-02-27") == 200
    assert advice() == [], "due after these weeks, and read before"
    assert client.put("/api/books/moon/loan", json={"did": "given back"}).status_code == 404


def test_lists_and_stock_over_http(client: TestClient) -> None:
    assert client.put("/api/document", json=house()).status_code == 200
    lists = client.get(f"/api/weeks/{WEEK}/ahead").json()
    assert lists["weeks"] == [WEEK, NEXT_WEEK]
    assert lists["planned"] == []
    assert client.post("/api/stock", json={"nut": 20}).json()[0]["count"] == 25
    assert "nut" not in {one["material"] for one in client.get(f"/api/weeks/{WEEK}/ahead").json()["to_buy"]}
    assert client.post("/api/stock", json={"moon": 1}).status_code == 422
    done = [{"wish": "story", "task": "card", "evening": "sunday_before"}]
    assert client.put(f"/api/weeks/{WEEK}/prepared", json=done).json()["prepared"][0]["task"] == "card"
    for form, begins in (("csv", b"\xef\xbb\xbf"), ("xlsx", b"PK")):
        answer = client.get(f"/api/weeks/{WEEK}/ahead/table", params={"format": form})
        assert answer.content.startswith(begins)
    assert client.get("/api/weeks/2031-W01/ahead").status_code == 404


def test_what_is_made_ready_makes_no_plan_an_old_one(client: TestClient, store: Store) -> None:
    """Ready-made mends belong to a plan that is current: an evening's tick must not take them away."""
    document, plan = with_prep()
    store.put_document(document)
    store.add_plan(plan, store.current().made_from(WEEK))
    done = [{"wish": "story", "task": "card", "evening": "sunday_before"}]
    client.put(f"/api/weeks/{WEEK}/prepared", json=done)
    assert client.get(f"/api/weeks/{WEEK}/plan").json()["is_current"]
    assert client.get(f"/api/weeks/{WEEK}/ahead").json()["evenings"][0]["batches"][0]["items"][1]["done"]
    client.put(f"/api/weeks/{WEEK}/wishes", json=[])
    assert not client.get(f"/api/weeks/{WEEK}/plan").json()["is_current"]


def test_the_command_lists_what_lies_ahead(lapful: Lapful, tmp_path: Path) -> None:
    document, plan = with_prep()
    home = write(tmp_path / "home.json", json.loads(document.model_dump_json()))
    file = write(tmp_path / "plan.json", json.loads(plan.model_dump_json()))
    said = lapful("ahead", home, file)
    assert said.code == 0, said.err
    assert "2027-01-31 evening, quietly: 15 of 30 min" in said.out
    assert "Later, 2027-W06: Acorn count will take 7 min to make ready" in said.out
    assert json.loads(lapful("ahead", home, file, "--json").out)["planned"] == [WEEK]


def test_the_command_says_when_nothing_lies_ahead(lapful: Lapful, tmp_path: Path) -> None:
    home = write(tmp_path / "home.json", document_json())
    empty = write(tmp_path / "plan.json", json.loads(Plan(week=WEEK).model_dump_json()))
    said = lapful("ahead", home, empty, "--weeks", "1")
    assert (said.code, said.out) == (0, f"{NOTHING}\n"), said.err


def test_shopping_days_are_changed_and_taken_back(client: TestClient) -> None:
    """The same moment twice is one shop; a shop is before the week or at a moment, never both or neither."""
    shops = [{"before_week": True}, *[{"at": {"day": "wednesday", "time": "16:00"}}] * 2]
    before = client.get(f"/api/weeks/{WEEK}").json()["shops"]
    kept = client.put(f"/api/weeks/{WEEK}/shops", json=shops).json()["shops"]
    assert [one["at"] and one["at"]["day"] for one in kept] == [None, "wednesday"]
    for wrong in ([{"before_week": True, "at": shops[1]["at"]}], [{}], [{"before_week": True}] * 21):
        assert client.put(f"/api/weeks/{WEEK}/shops", json=wrong).status_code == 422
    assert client.put("/api/weeks/2040-W01/shops", json=shops).status_code == 404
    client.post("/api/undo")
    assert client.get(f"/api/weeks/{WEEK}").json()["shops"] == before
