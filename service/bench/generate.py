"""make(): a realistic household of a size, the same for the same seed."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random

from service.bench.activities import LOANS, Caster, staple_activities
from service.bench.homes import household, loans
from service.bench.moulds import THEMES
from service.bench.sizes import SIZES, Size
from service.bench.weeks import Moulded, week
from solver.domain.activity import Activity, Kind
from solver.domain.document import Document
from solver.domain.home import Book

THEME_SHARE = 0.6
"""Of the week's wishes; the rest belongs to no theme."""
WEEKS_OF_A_THEME = 3


def make(size: str, seed: int) -> Document:
    """A generated household with its activities and weeks.

    Raises
    ------
    KeyError
        When there is no such size.
    """
    wanted = SIZES[size]
    random = Random(f"{wanted.name} {seed}")
    learners = len(wanted.learners)
    caster = Caster(random, learners)
    staples = staple_activities(learners, wanted.talks > 0)
    themes = random.sample(THEMES, -(-wanted.weeks // WEEKS_OF_A_THEME))
    by_theme = [_chosen(random, caster, wanted, len(staples), theme) for theme in themes]
    books = loans(random, 4 * len(themes))
    by_theme = [_with_books(random, chosen, books) for chosen in by_theme]
    home = household(random, wanted, seed, books)
    weeks = []
    for index in range(wanted.weeks):
        of = index // WEEKS_OF_A_THEME
        weeks.append(week(random, wanted, home, index, staples, by_theme[of], themes[of]))
    activities = [*staples, *(activity for chosen in by_theme for _, activity in chosen)]
    return Document(household=home, activities=tuple(activities), weeks=tuple(weeks))


def _chosen(random: Random, caster: Caster, size: Size, staples: int, theme: str) -> list[Moulded]:
    """The activities of one theme: a visit, some over several sittings, the rest in one."""

    def of() -> str | None:
        return theme if random.random() < THEME_SHARE else None

    found = [] if size.mornings_only else [caster.outing(theme)]
    found += [caster.several(of()) for _ in range(size.several)]
    found += [caster.single(of()) for _ in range(size.activities - staples - len(found))]
    return found


def _with_books(random: Random, chosen: Iterable[Moulded], books: list[Book]) -> list[Moulded]:
    """Some read-alouds become the reading of one particular book, on loan or owned."""

    def booked(activity: Activity) -> Activity:
        if activity.kind is Kind.READ_ALOUD and random.random() < LOANS:
            return activity.model_copy(update={"book": random.choice(books).id})
        return activity

    return [(mould, booked(activity)) for mould, activity in chosen]
