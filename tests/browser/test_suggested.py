"""A suggestion: taken up by a touch as a way to look at, or put aside and taken back."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from service.store import Store
from tests.browser.conftest import Open, picture_file
from tests.browser.served import serving
from tests.browser.test_looks import faults
from tests.browser.test_stories import view_of


@pytest.fixture
def up_at_nap_time(pond: Path, tmp_path: Path) -> Any:
    """The pond household in whose week Pip did not sleep from Monday to Wednesday."""
    import shutil
    from contextlib import closing

    folder = shutil.copytree(pond, tmp_path / "data")
    with closing(Store(folder)) as store:
        document = store.current().document
        week = document.weeks[0]
        pip = next(child for child in document.household.children if child.id == "pip")
        up = [
            {"child": "pip", "day": day, "usual_start": pip.naps[0].start}
            for day in ("monday", "tuesday", "wednesday")
        ]
        changed = week.model_validate(week.model_dump() | {"naps": up})
        store.put_document(document.model_copy(update={"weeks": (changed, *document.weeks[1:])}))
        plan = store.latest_plan(week.id)
        assert plan is not None
        store.add_plan(plan.plan, store.current().made_from(week.id))
    with serving(folder) as address:
        yield address


def test_put_aside_and_taken_back(opened: Open, up_at_nap_time: str) -> None:
    view = view_of(up_at_nap_time)
    (one,) = view["suggestions"]
    assert one["child"] == "pip"
    page = opened(up_at_nap_time, "phone")
    page.clock.install(time=datetime.datetime.fromisoformat(f"{one['days'][-1]}T17:00:00"))
    page.reload()
    thought = page.get_by_role("complementary", name="A thought")
    expect(thought).to_contain_text("Pip was up at nap time 3 times lately")
    assert faults(page) == []
    page.screenshot(path=picture_file("suggested"), full_page=True)
    thought.get_by_role("button", name="Leave it as it is").click()
    expect(page.get_by_text("It stays as it is.")).to_be_visible()
    expect(thought).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(thought).to_have_count(1)
    assert json.dumps(view_of(up_at_nap_time)["suggestions"]) == json.dumps([one])
