"""Friday's pass and what it is good for: the log, minutes by area, the family's own rule, the portfolio."""

from __future__ import annotations

import datetime
import io
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from fastapi.testclient import TestClient
from openpyxl import load_workbook

from service.record.gentle import gentle_notes
from service.record.minutes import by_subject, each, progress, shares
from service.record.picture import balance
from service.record.views import LogLine, RecordRule
from service.store import Store
from service.store.entries import Entries, Entry
from solver.domain.document import Document
from solver.domain.plan import Plan
from tests.service.conftest import Serve
from tests.service.house import NEXT_WEEK, WEEK, document_json
from tests.service.papers import booking

AREAS = [
    {"id": "LL", "name": "Talk, books, letters", "least_times": 2},
    {"id": "MA", "name": "Number, shape, measure", "least_times": 1},
    {"id": "GM", "name": "Big movement"},
    {"id": "ZZ", "name": "Bird song"},
]
PERIOD = {"since": "2027-02-01", "until": "2027-02-07"}


def house() -> dict[str, Any]:
    made = document_json()
    made["household"]["areas"] = AREAS
    made["household"]["materials"] = [{"id": "nut", "name": "nut", "reusable": False, "count": 20}]
    story, count, walk = made["activities"]
    story |= {"areas": ["LL", "ZZ"]}
    story["sittings"][0]["needs"] = [{"material": "nut", "count": 3, "each_child": True}]
    count |= {"areas": ["MA"]}
    walk |= {"areas": ["GM"], "energy": 4}
    made["weeks"][1]["wishes"] = []
    return made


def plan() -> Plan:
    return Plan(
        week=WEEK,
        bookings=(
            booking("story", "leaf-story", "monday", "09:00"),
            booking("story", "leaf-story", "tuesday", "09:00", go=1),
            booking("walk", "brook-walk", "wednesday", "09:30", minutes=30, place="brook"),
        ),
    )


@pytest.fixture
def kept(serve: Serve) -> TestClient:
    """The orchard with a plan."""
    client = serve()
    assert client.put("/api/document", json=house()).status_code == 200
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    store.add_plan(plan(), store.current().made_from(WEEK))
    return client


def nuts(client: TestClient) -> int:
    count: int = client.get("/api/household").json()["materials"][0]["count"]
    return count


def friday(client: TestClient, **said: Any) -> list[dict[str, Any]]:
    answer = client.post(f"/api/weeks/{WEEK}/friday", json=said)
    assert answer.status_code == 200, answer.text
    lines: list[dict[str, Any]] = answer.json()
    return lines


def test_one_word_logs_the_whole_week(kept: TestClient) -> None:
    offered = kept.get(f"/api/weeks/{WEEK}/friday").json()
    assert [(one["title"], one["date"], one["outcome"], one["logged"]) for one in offered] == [
        ("Leaf story", "2027-02-01", None, False),
        ("Leaf story", "2027-02-02", None, False),
        ("Brook walk", "2027-02-03", None, False),
    ]
    lines = friday(kept, rest="done")
    assert len(lines) == 6, "two children, three things"
    assert all(one["logged"] for one in kept.get(f"/api/weeks/{WEEK}/friday").json())
    assert nuts(kept) == 20 - 12


def test_what_is_wished_for_no_longer_is_still_told_by_name(kept: TestClient) -> None:
    """The plan stands until a new one is made; it was told by ids, and its prep was for ``P14``."""
    week = kept.get(f"/api/weeks/{WEEK}").json()
    assert any(one["activity"] == "brook-walk" for one in week["wishes"])
    whole = kept.get("/api/document").json()
    mine = next(one for one in whole["weeks"] if one["id"] == WEEK)
    mine["wishes"] = [one for one in mine["wishes"] if one["activity"] != "brook-walk"]
    assert kept.put("/api/document", json=whole).status_code == 200
    view = kept.get(f"/api/weeks/{WEEK}/view").json()
    assert "brook-walk" in {one["id"] for one in view["activities"]}
    assert view["stored"]["is_current"] is False
    drafts = kept.get(f"/api/weeks/{WEEK}/friday").json()
    sheet = kept.get(f"/api/weeks/{WEEK}/sheet").text
    titles = [one["title"] for one in drafts if one["activity"] == "brook-walk"]
    assert titles
    assert titles[0] != "brook-walk"
    assert titles[0] in sheet


def test_saying_it_again_takes_nothing_more_and_a_correction_gives_back(kept: TestClient) -> None:
    friday(kept, rest="done")
    assert friday(kept, rest="done") == [], "nothing is open any more"
    friday(kept, lines=[{"booking": "story.1.1", "outcome": "loved"}])
    assert nuts(kept) == 8
    friday(kept, lines=[{"booking": "story.1.1", "outcome": "not"}])
    assert nuts(kept) == 14, "it did not happen: its nuts are still there"
    assert len(kept.get("/api/log").json()) == 6, "corrected, not doubled"


def test_minutes_reasons_and_ticks(kept: TestClient) -> None:
    store: Store = kept.app.state.store  # type: ignore[attr-defined]
    tick = {"week": WEEK, "booking": "walk.1.1", "outcome": "loved", "at": "2027-02-03T10:00:00Z"}
    Entries(store).put(Entry(kind="tick", id=f"{WEEK} walk.1.1", body=tick))
    offered = {one["booking"]: one["outcome"] for one in kept.get(f"/api/weeks/{WEEK}/friday").json()}
    assert offered == {"story.1.1": None, "story.2.1": None, "walk.1.1": "loved"}
    said = {
        "booking": "story.1.1",
        "outcome": "done",
        "minutes": {"moss": 4},
        "reasons": {"moss": "too long"},
        "cleanup_min": 12,
    }
    lines = {one["child"]: one for one in friday(kept, lines=[said])}
    assert (lines["burr"]["minutes"], lines["moss"]["minutes"], lines["moss"]["planned_min"]) == (10, 4, 10)
    assert (lines["moss"]["reason"], lines["burr"]["cleanup_min"]) == ("too long", 12)


def test_what_the_plan_does_not_hold_is_refused_and_nothing_is_written(kept: TestClient) -> None:
    for line in (
        {"booking": "moon.1.1", "outcome": "done"},
        {"booking": "story.1.1", "outcome": "done", "minutes": {"fir": 3}},
    ):
        answer = kept.post(f"/api/weeks/{WEEK}/friday", json={"lines": [line], "rest": "done"})
        assert answer.status_code == 422
    assert kept.get("/api/log").json() == []
    assert nuts(kept) == 20
    assert kept.post(f"/api/weeks/{NEXT_WEEK}/friday", json={}).status_code == 404


def line(child: str = "burr", minutes: int = 10, date: str = "2027-02-01", **more: Any) -> LogLine:
    given = {"id": f"{child}{date}{more.get('title', '')}", "child": child, "date": date, "minutes": minutes}
    return LogLine.model_validate({"title": "x", "outcome": "done", **given, **more})


def test_no_minute_counts_twice() -> None:
    home = Document.model_validate(house()).household
    lines = [
        line(minutes=11, areas=("LL", "ZZ"), kind="letters"),
        line(date="2027-02-02", areas=("LL",), outcome="no"),
    ]
    found = by_subject(home, lines)
    assert [(one.subject.name, one.subject.own, one.minutes, one.times) for one in found] == [
        ("Literacy", False, 6, 1),
        ("Bird song", True, 5, 1),
    ]
    assert found[0].by_week == {WEEK: 6}
    assert sum(shares(100, 7)) == 100


def test_the_familys_own_rule_counts_days_and_hours() -> None:
    rule = RecordRule.model_validate(
        {
            "child": "burr",
            "kind": "hours",
            "since": "2027-01-01",
            "until": "2027-12-31",
            "target": 900,
            "over": 180,
            "source": "the school office's letter",
            "source_date": "2026-08-30",
        }
    )
    lines = [
        line(minutes=45),
        line(minutes=30, title="y"),
        line(date="2027-02-02"),
        line(counts=False, date="2027-03-01"),
    ]
    stand = progress(rule, [*lines, line(child="moss"), line(date="2028-01-01")])
    assert (stand.days, stand.hours, stand.each) == (2, 1.42, 5.0)
    assert "check your local law" in stand.note
    assert "the school office's letter, on 2026-08-30." in stand.note
    core = rule.model_copy(update={"areas": ("MA",)})
    assert progress(core, lines).hours == 0


def test_rules_and_observations_are_kept_for_each_child(kept: TestClient) -> None:
    rule = {"child": "moss", "kind": "days", "since": "2027-01-01", "until": "2027-12-31", "target": 180}
    assert kept.put("/api/record/rules/burr", json=rule).json()["child"] == "burr"
    assert kept.put("/api/record/rules/fir", json=rule).status_code == 404
    assert kept.put("/api/record/rules/burr", json=rule | {"until": "2026-01-01"}).status_code == 422
    seen = {"id": "x", "child": "burr", "date": "2027-02-03", "skill": "counts to ten", "level": "with help"}
    assert kept.put("/api/observations/one", json=seen).status_code == 200
    kept.put("/api/observations/two", json=seen | {"date": "2027-02-05", "level": "alone"})
    assert kept.put("/api/observations/three", json=seen | {"child": "fir"}).status_code == 404
    assert [one["level"] for one in kept.get("/api/observations").json()] == ["with help", "alone"]
    report = kept.get("/api/record", params=PERIOD).json()
    assert report["noted_last"] == {"burr": "2027-02-05", "moss": None}
    assert report["progress"][0]["note"].startswith("This is your own rule, not legal advice")
    assert kept.delete("/api/observations/one").status_code == 204
    assert kept.delete("/api/observations/one").status_code == 404


def test_the_fix_is_wished_for_by_one_touch_and_taken_back(kept: TestClient) -> None:
    """A second child joins the same wish; the week after the last known one is begun for it."""
    before = kept.get(f"/api/weeks/{NEXT_WEEK}").json()["wishes"]
    for child in ("moss", "burr", "burr"):
        fix = {"activity": "acorn-count", "child": child, "week": NEXT_WEEK}
        assert kept.post("/api/record/fix", json=fix).status_code == 204
    (wish,) = kept.get(f"/api/weeks/{NEXT_WEEK}").json()["wishes"]
    assert (wish["activity"], wish["rank"], wish["children"]) == ("acorn-count", "extra", ["moss", "burr"])
    later = {"activity": "acorn-count", "child": "moss", "week": "2027-W07"}
    assert kept.post("/api/record/fix", json=later).status_code == 204
    assert "acorn-count" in [one["activity"] for one in kept.get("/api/weeks/2027-W07").json()["wishes"]]
    kept.post("/api/undo", json={})
    assert kept.get("/api/weeks/2027-W07").status_code == 404
    for _ in range(2):
        kept.post("/api/undo", json={})
    assert kept.get(f"/api/weeks/{NEXT_WEEK}").json()["wishes"] == before


@pytest.mark.parametrize(
    "wrong",
    [{"activity": "no-such"}, {"child": "nobody"}, {"week": "2031-W01"}],
    ids=lambda one: next(iter(one)),
)
def test_a_fix_for_nobody_or_nowhen_is_refused(kept: TestClient, wrong: dict[str, str]) -> None:
    fix = {"activity": "acorn-count", "child": "moss", "week": NEXT_WEEK} | wrong
    assert kept.post("/api/record/fix", json=fix).status_code == 404


def test_a_thin_area_is_named_with_one_cheap_fix_that_has_a_place(kept: TestClient) -> None:
    friday(kept, rest="done")
    thin = kept.get("/api/record", params={**PERIOD, "weeks": 1}).json()["thin"]
    assert {(one["child"], one["area"]) for one in thin} == {("burr", "MA"), ("moss", "MA")}
    fix = thin[0]
    assert (fix["fix_title"], fix["fix_minutes"], fix["fits_in"]) == ("Acorn count", 15, NEXT_WEEK)
    kept.put("/api/activities/acorn-count/away")
    thin = kept.get("/api/record", params={**PERIOD, "weeks": 1}).json()["thin"]
    assert thin[0]["fix"] is None, "what is put away is not offered"


def test_a_fix_is_held_against_next_week_before_anybody_begins_it(kept: TestClient) -> None:
    """It was looked for without the theme and without a week, and so nothing of the theme was offered."""
    friday(kept, rest="done")
    whole = kept.get("/api/document").json()
    (last,) = [one for one in whole["weeks"] if one["id"] == NEXT_WEEK]
    last["theme"] = "acorns"
    next(one for one in whole["activities"] if one["id"] == "acorn-count")["theme"] = "acorns"
    assert kept.put("/api/document", json=whole).status_code == 200
    until = {"since": PERIOD["since"], "until": "2027-02-14", "weeks": 2}
    thin = kept.get("/api/record", params=until).json()["thin"]
    (counting,) = {(one["fix"], one["fits_in"]) for one in thin if one["area"] == "MA"}
    assert counting == ("acorn-count", "2027-W07")
    assert kept.get("/api/weeks/2027-W07").status_code == 404, "looking begins no week"


def test_the_log_is_corrected_by_hand(kept: TestClient) -> None:
    made = kept.put(
        "/api/log/found-a-snail", json=line(title="Found a snail", areas=("LL",)).model_dump(mode="json")
    )
    assert made.json()["id"] == "found-a-snail"
    assert len(kept.get("/api/log", params=PERIOD).json()) == 1
    assert kept.get("/api/log", params={"since": "2027-02-02", "until": "2027-02-01"}).status_code == 422
    assert kept.delete("/api/log/found-a-snail").status_code == 204
    assert kept.delete("/api/log/found-a-snail").status_code == 404


def test_a_balance_picture_is_well_formed_and_says_its_numbers(kept: TestClient) -> None:
    friday(kept, rest="done")
    svg = kept.get("/api/record/burr/balance.svg", params=PERIOD)
    assert svg.headers["content-type"].startswith("image/svg+xml")
    root = ElementTree.fromstring(svg.text)
    texts = [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")]
    assert {"W05", "Literacy", "Bird song", "Perceptual, Motor, and Physical Development", "30"} <= set(texts)
    assert "style=" not in svg.text
    made = house()
    made["household"]["areas"][3]["name"] = "<b>&"
    subjects = by_subject(Document.model_validate(made).household, [line(areas=("ZZ",))])
    ElementTree.fromstring(balance(subjects, (WEEK,), "</svg>"))


def test_the_portfolio_is_one_file(kept: TestClient) -> None:
    friday(kept, rest="loved")
    seen = {
        "id": "x",
        "child": "burr",
        "date": "2027-02-03",
        "skill": "counts",
        "level": "alone",
        "seen": "to <12>",
    }
    kept.put("/api/observations/one", json=seen)
    page = kept.get("/api/record/burr/portfolio", params={**PERIOD, "file": True})
    assert "attachment" in page.headers["content-disposition"]
    html = page.text
    for words in ("3 days, 0.8 hours", "Leaf story", "to &lt;12&gt;", "check your local law", "<svg", "RF.K"):
        assert words in html
    assert not re.search(r"<script|<link|src=|url\(", html)
    bound = kept.get("/api/record/burr/portfolio", params=PERIOD).text
    assert "<style" not in bound
    assert kept.get("/api/record/fir/portfolio", params=PERIOD).status_code == 404


def test_tables_of_the_record_run_nothing(kept: TestClient) -> None:
    friday(kept, lines=[{"booking": "story.1.1", "outcome": "done", "note": "=HYPERLINK(1)"}])
    body = kept.get("/api/record/table", params=PERIOD).content
    sheet = load_workbook(io.BytesIO(body))["log"]
    assert sheet["I2"].value == "'=HYPERLINK(1)"
    csv = kept.get("/api/record/table", params={**PERIOD, "format": "csv"}).text
    assert "our own tag, not in the framework" in csv


def test_gentle_notes_have_their_source_and_name_no_fault(kept: TestClient) -> None:
    problem = Document.model_validate(house()).problem(WEEK)
    notes = {one.child: one for one in gentle_notes(problem, plan())}
    # thirty lively minutes in five days
    assert "about 6 lively minutes a day for Moss" in notes["moss"].text
    assert "180 minutes a day of any activity, 60 of them lively" in notes["moss"].text
    assert "World Health Organization" in notes["moss"].source
    assert len(kept.get(f"/api/weeks/{WEEK}/gentle").json()) == len(list(gentle_notes(problem, plan())))


def test_hours_are_spread_as_arithmetic_says() -> None:
    assert [each(900, 180), each(1000, 36), each(450, 180), each(360, 180), each(900, 0)] == [
        5,
        27.78,
        2.5,
        2,
        None,
    ]
    assert datetime.date(2027, 2, 1).isocalendar().week == 5
