"""What the checker says of a plan that names what does not exist or says untrue things of itself."""

from __future__ import annotations

from typing import Any

import pytest

from solver.check import check
from solver.domain.base import Evening
from solver.domain.plan import Fate, LeftOver, PrepBooking, Purchase, Reason
from tests.solver.weeks import MONDAY, activity, book, moment, plan, problem, wish

WEEK = problem(activity("game"), wish("game"))
GAME = book(WEEK, "game")
REASON = Reason(sentence="It did not fit.")


def test_a_true_plan_is_well_formed() -> None:
    assert check(WEEK, plan(WEEK, GAME)) == []


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"wish": "frogs"}, "no wish 'frogs'"),
        ({"activity": "frogs"}, "is for 'game', not 'frogs'"),
        ({"go": 1, "id": "game.2.1"}, "one more than was wished"),
        ({"sitting": 1, "id": "game.1.2"}, "no sitting 2"),
        ({"lighter": True}, "no lighter version"),
        ({"place": "moon"}, "no place 'moon'"),
        ({"helpers": ("zoe",)}, "no adult 'zoe'"),
        ({"minder": "zoe"}, "no adult 'zoe'"),
        ({"along": ("zoe",)}, "no child 'zoe'"),
        ({"alongside": "frogs.1.1"}, "no booking 'frogs.1.1'"),
        ({"meal": "dinner"}, "no meal 'dinner'"),
        ({"id": "game"}, "should be game.1.1"),
        ({"start": 9 * 60 + 2}, "full five minutes"),
        ({"minutes": 25}, "10 minutes, not 25"),
        ({"setup_min": 5}, "laying out and clearing take 0 and 0"),
        ({"cleanup_min": 5}, "laying out and clearing take 0 and 0"),
        ({"stretch": "afternoon"}, "stretch morning"),
        ({"stretch": None}, "stretch morning"),
    ],
)
def test_one_thing_wrong_with_a_booking(changes: dict[str, Any], said: str) -> None:
    found = check(WEEK, plan(WEEK, GAME.model_copy(update=changes)))
    assert [v.key for v in found if said in v.sentence] == ["plan"]


def test_two_bookings_with_one_id() -> None:
    found = check(WEEK, plan(WEEK, GAME, GAME.model_copy(update={"day": MONDAY, "start": 10 * 60})))
    assert {violation.key for violation in found} == {"plan"}


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"week": "2027-W06"}, "for 2027-W06"),
        (
            {
                "prep": (
                    PrepBooking(
                        wish="game",
                        task="cut",
                        name="cut",
                        minutes=5,
                        evening=Evening.SUNDAY_BEFORE,
                        ready_for="game.1.1",
                    ),
                )
            },
            "belongs to nothing",
        ),
        (
            {
                "shopping": (
                    Purchase(
                        material="glue",
                        name="glue",
                        count=1,
                        unit="pot",
                        at=None,
                        need_by=moment(MONDAY, "09:00"),
                    ),
                )
            },
            "no material 'glue'",
        ),
        (
            {
                "left_over": (
                    LeftOver(
                        wish="frogs",
                        activity="frogs",
                        title="Frogs",
                        sittings=(0,),
                        fate=Fate.LET_GO,
                        reason=REASON,
                    ),
                )
            },
            "no wish 'frogs'",
        ),
    ],
)
def test_one_thing_wrong_elsewhere(changes: dict[str, Any], said: str) -> None:
    found = check(WEEK, plan(WEEK, GAME, **changes))
    assert [violation.key for violation in found] == ["plan"]
    assert said in found[0].sentence


def test_a_violation_says_where_it_is() -> None:
    found = check(WEEK, plan(WEEK, GAME.model_copy(update={"helpers": ()})))
    assert [(v.key, v.day, v.start) for v in found] == [("helper_on_hand", MONDAY, 9 * 60)]
    assert "game.1.1" in found[0].ids
