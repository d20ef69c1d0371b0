"""Wishes for a first week: what really fits these people in this house, few and good."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.candidates import enumerate_candidates
from solver.domain.activity import Activity, Kind
from solver.domain.base import Mess
from solver.domain.document import Document
from solver.domain.home import Limits
from solver.domain.week import Rank, Week, Wish
from solver.outline import Outline

EXTRAS = 8
"""Theme things and a few others: three to five theme activities a week are usual (common practice)."""
OF_A_KIND = 2
_HEADLINES = (
    Kind.OUTING,
    Kind.COOKING,
    Kind.CRAFT,
    Kind.SENSORY_BIN,
    Kind.SCIENCE_LOOK,
    Kind.PROCESS_ART,
    Kind.MOVEMENT,
)
"""What makes a theme worth it, best first."""
_DAILY = (Kind.CIRCLE, Kind.FREE_PLAY)


def with_wishes(document: Document) -> Document:
    """The document with wishes for its only week."""
    week = document.weeks[0]
    staples = tuple(_staples(document, week))
    fitting = _fitting(document, week)
    promise = _promise(fitting, week.theme)
    chosen = tuple(_extras(document, fitting, promise))
    wishes = staples + ((_wish(promise, Rank.PROMISE),) if promise else ()) + chosen
    spare = tuple(one.id for one in fitting if one.tired_ok and one.id not in {w.activity for w in wishes})
    changed = week.model_copy(update={"wishes": wishes, "spare": spare[:5]})
    return Document(household=document.household, activities=document.activities, weeks=(changed,))


def _wish(activity: Activity, rank: Rank = Rank.EXTRA, worth: int = 5) -> Wish:
    reads = activity.kind is Kind.READ_ALOUD
    return Wish(
        id=f"wish-{activity.id}",
        activity=activity.id,
        rank=rank,
        worth=worth,
        times=3 if reads and rank is Rank.EXTRA else 1,
        lighter_ok=rank is Rank.EXTRA and activity.lighter is not None,
        may_split=rank is Rank.EXTRA,
    )


def _staples(document: Document, week: Week) -> Iterator[Wish]:
    """Morning time and outdoors on each day, and each child alone with an adult."""
    days = week.teaching_days
    ages = _ages(document, week)
    for activity in document.activities:
        suits = [child for child, months in ages.items() if activity.version_for(months)]
        if activity.theme is not None or not suits:
            continue
        if activity.kind in _DAILY:
            lighter = activity.lighter is not None
            yield Wish(
                id=f"daily-{activity.id}",
                activity=activity.id,
                rank=Rank.STAPLE,
                times=len(days),
                days=days,
                lighter_ok=lighter,
            )
            if activity.kind is Kind.FREE_PLAY and _bears_more(document.household.limits):
                yield _again(activity, week)
        elif activity.kind is Kind.ONE_ON_ONE:
            for child in suits:
                yield Wish(
                    id=f"alone-{activity.id}-{child}"[:80],
                    activity=activity.id,
                    rank=Rank.STAPLE,
                    times=min(3, len(days)),
                    children=(child,),
                )


def _bears_more(limits: Limits) -> bool:
    # Going out leaves crumbs and boots: twice a day must leave room for something else.
    return limits.outdoor_times_a_day > 1 and limits.mess_sum_a_day >= 4


def _again(activity: Activity, week: Week) -> Wish:
    """Outdoors in the other half of the day too, where it fits."""
    days = week.teaching_days
    return Wish(
        id=f"again-{activity.id}",
        activity=activity.id,
        worth=6,
        times=len(days),
        days=days,
        lighter_ok=activity.lighter is not None,
    )


def _ages(document: Document, week: Week) -> dict[str, int]:
    when = week.monday
    children = (child for child in document.household.children if child.learner)
    return {child.id: child.age_months(when.year, when.month) for child in children}


def _fitting(document: Document, week: Week) -> list[Activity]:
    """What has a possible place for every sitting: safe, supervised, in reach, within the limits."""
    limits = document.household.limits
    theme = [one for one in document.activities if one.theme == week.theme or one.theme is None]
    asked = [one for one in theme if one.kind not in _DAILY and one.kind is not Kind.ONE_ON_ONE]
    asked = [one for one in asked if one.needs_first is None and one.kind is not Kind.SCREEN]
    wishes = tuple(Wish(id=f"wish-{one.id}", activity=one.id) for one in asked)
    trial = week.model_copy(update={"wishes": wishes})
    whole = Document(household=document.household, activities=document.activities, weeks=(trial,))
    candidates = enumerate_candidates(Outline(whole.problem()))
    barred = {task.go.wish.activity for task in candidates.blocked}
    attended = {task.go.wish.activity for task in candidates.by_task if task.go.group}
    bearable = min(limits.mess_sum_a_day, 4 if limits.big_mess_a_day else 2)
    return [
        one
        for one in asked
        if one.id in attended - barred and max(sitting.mess for sitting in one.sittings) <= bearable
    ]


def _promise(fitting: list[Activity], theme: str | None) -> Activity | None:
    """One thing that makes the week worth it and stands on little: one sitting, little to make ready."""
    able = [
        one
        for one in fitting
        if one.kind in _HEADLINES
        and one.theme == theme
        and len(one.sittings) == 1
        and sum(task.minutes for task in one.prep) <= 20
        and one.adults_needed == 1
    ]
    return min(able, key=lambda one: (_HEADLINES.index(one.kind), one.id), default=None)


def _extras(document: Document, fitting: list[Activity], promise: Activity | None) -> Iterator[Wish]:
    limits = document.household.limits
    prep = 0.8 * sum(one.minutes for one in limits.prep)
    mess = limits.mess_sum_a_week * 0.8 - len(document.weeks[0].teaching_days)
    if promise:
        prep -= _prep_of(promise)
        mess -= _mess_of(promise)
    kinds, taken = Counter([promise.kind] if promise else []), 0
    ranked = sorted(
        fitting, key=lambda one: (one.theme is None, len(one.sittings) > 2, _prep_of(one), one.id)
    )
    for activity in ranked:
        fits = _prep_of(activity) <= prep and _mess_of(activity) <= mess
        if activity is promise or not fits or kinds[activity.kind] >= OF_A_KIND or taken >= EXTRAS:
            continue
        taken += 1
        kinds[activity.kind] += 1
        prep -= _prep_of(activity)
        mess -= _mess_of(activity)
        yield _wish(activity, worth=6 if activity.theme else 4)


def _readiness(activity: Activity) -> tuple[bool, bool, int, str]:
    """Of the theme first, then what is soon finished and asks for little beforehand."""
    return activity.theme is None, len(activity.sittings) > 2, _prep_of(activity), activity.id


def _prep_of(activity: Activity) -> int:
    return sum(task.minutes for task in activity.prep)


def _mess_of(activity: Activity) -> int:
    return sum(int(sitting.mess) for sitting in activity.sittings if sitting.mess > Mess.NONE)
