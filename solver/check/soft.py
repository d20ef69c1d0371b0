"""COSTS: every named cost of a plan, recomputed from the plan alone. Lower is better."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator

from solver.check.facts import Facts, Placed
from solver.check.spares import hangs, may_hang
from solver.domain.base import DAYS, Day, Help, Window
from solver.domain.plan import Cost
from solver.domain.week import Rank, Stretch, Wish

NOON = 12 * 60
EXTRA_WORTH = 12
LIGHTER_WORTH = 5
BALANCE = 6
FAIRNESS = 3
UNUSUAL = 4
POOR_HOURS = 1
LOW_HOURS = 2
CROWD = 3
FOCUSED_IN_A_RUN = 2

Amount = tuple[str, int]
"""Whom or what it concerns, and how much."""


def _not_whole(facts: Facts, rank: Rank) -> Iterator[Amount]:
    for wish in facts.wishes.values():
        if wish.rank is rank:
            yield wish.id, sum(not facts.wholly(wish.id, go) for go in range(facts.goes(wish)))


def promise(facts: Facts) -> Iterator[Amount]:
    """A promise that cannot be kept."""
    return _not_whole(facts, Rank.PROMISE)


def staple(facts: Facts) -> Iterator[Amount]:
    """A daily thing that is left out."""
    return _not_whole(facts, Rank.STAPLE)


LIVELY = 3
"""Energy from which being outdoors counts as active play there."""


def outdoors(facts: Facts) -> Iterator[Amount]:
    """A half of a day without going outdoors."""
    wanted = min(2, facts.limits.outdoor_times_a_day)
    for day in dict.fromkeys(facts.week.teaching_days):
        starts = [
            p.booking.start for p in facts.by_day[day] if p.place.outdoors and p.activity.energy >= LIVELY
        ]
        starts += [point.start for point in facts.points if point.outdoors and point.on(day)]
        yield day, wanted - len({start < NOON for start in starts})


def worth(facts: Facts) -> Iterator[Amount]:
    """Extras left out, done without one of the children, or made lighter."""
    for wish in facts.wishes.values():
        left_out = EXTRA_WORTH * wish.worth * _sittings_left_out(facts, wish)
        yield wish.id, left_out if wish.rank is Rank.EXTRA else 0
    for placed in facts.placed:
        cast = facts.cast(placed.wish, placed.booking.go, placed.sitting)
        missing = len(set(cast) - set(placed.children))
        split = EXTRA_WORTH * placed.wish.worth * missing // len(cast) if cast else 0
        yield placed.booking.id, split + (LIGHTER_WORTH * placed.wish.worth if placed.booking.lighter else 0)


def _sittings_left_out(facts: Facts, wish: Wish) -> int:
    count = len(facts.activities[wish.activity].sittings)
    left = 0
    for go in range(facts.goes(wish)):
        if not facts.wholly(wish.id, go):
            left += count - len({p.booking.sitting for p in facts.by_go.get((wish.id, go), ())})
    return left


def balance(facts: Facts) -> Iterator[Amount]:
    """A learning area that a child has too seldom or too often."""
    for child in (child.id for child in facts.house.children if child.learner):
        times = Counter(area for placed in facts.by_child[child] for area in set(placed.activity.areas))
        before = facts.week.times_before.get(child, {})
        for area in facts.house.areas:
            had = times[area.id] + before.get(area.id, 0)
            off = max(0, area.least_times - had) + max(0, had - area.most_times)
            yield f"{child} {area.id}", BALANCE * off


def fairness(facts: Facts) -> Iterator[Amount]:
    """One child loses more of what was meant for them than another."""
    lost = {child.id: 0 for child in facts.house.children if child.learner}
    for wish in facts.wishes.values():
        if wish.rank is Rank.EXTRA:
            for child in _missed(facts, wish):
                if child in lost:
                    lost[child] += wish.worth
    if lost:
        yield "", FAIRNESS * (max(lost.values()) - min(lost.values()))


def _missed(facts: Facts, wish: Wish) -> Iterator[str]:
    """Each child once for each sitting that was meant for it and that it is not in."""
    for go in range(facts.goes(wish)):
        found = facts.by_go.get((wish.id, go), [])
        if any(placed.booking.lighter for placed in found):
            continue
        there = {(p.booking.sitting, child) for p in found for child in p.children}
        for index, sitting in enumerate(facts.activities[wish.activity].sittings):
            yield from (c for c in facts.cast(wish, go, sitting) if (index, c) not in there)


def _in_stretches(facts: Facts) -> Iterator[tuple[Placed, Stretch]]:
    """The bookings that count for a stretch; what happens at a meal counts for none."""
    for placed in facts.placed:
        stretch = facts.stretch_at(placed.booking.start)
        if stretch and placed.meal is None:
            yield placed, stretch


def usual_stretch(facts: Facts) -> Iterator[Amount]:
    """A thing that usually sits in another part of the day."""
    usual = {kind for stretch in facts.house.stretches for kind in stretch.usual_kinds}
    for placed, stretch in _in_stretches(facts):
        kind = placed.activity.kind
        yield placed.booking.id, UNUSUAL if kind in usual and kind not in stretch.usual_kinds else 0


def _half_covered(windows: Iterable[Window], day: Day, stretch: Stretch) -> bool:
    minutes = {m for w in windows if w.on(day) for m in range(w.start, w.end)}
    covered = len(minutes.intersection(range(stretch.start, stretch.end)))
    return 2 * covered >= stretch.end - stretch.start


def good_hours(facts: Facts) -> Iterator[Amount]:
    """Something that needs concentration outside a child's good hours, or in its low ones."""
    children = {child.id: child for child in facts.house.children}
    for placed, stretch in _in_stretches(facts):
        if not placed.activity.focus.focused:
            continue
        for child in (children[one] for one in placed.children):
            day, amount = placed.booking.day, 0
            if child.good_hours and not _half_covered(child.good_hours, day, stretch):
                amount += POOR_HOURS
            if _half_covered(child.low_hours, day, stretch):
                amount += LOW_HOURS
            yield f"{placed.booking.id} {child.id}", amount


def adult_low(facts: Facts) -> Iterator[Amount]:
    """Something that needs most of an adult in that adult's low hours."""
    adults = {adult.id: adult for adult in facts.house.adults}
    for placed, stretch in _in_stretches(facts):
        for helper, load in zip(placed.booking.helpers, placed.loads, strict=True):
            low = _half_covered(adults[helper].low_hours, placed.booking.day, stretch)
            yield f"{placed.booking.id} {helper}", 2 if load >= Help.BESIDE and low else 0


def early_promise(facts: Facts) -> Iterator[Amount]:
    """A promise late in the week, where a lost day hurts most."""
    for placed in facts.placed:
        late = DAYS.index(placed.booking.day) if placed.wish.rank is Rank.PROMISE else 0
        yield placed.booking.id, late


def second_place(facts: Facts) -> Iterator[Amount]:
    """Not in the place where it goes best."""
    for placed in facts.placed:
        elsewhere = placed.place.id != placed.sitting.places[0] and not placed.alongside
        yield placed.booking.id, int(elsewhere)


def _by_stretch(facts: Facts, focused: bool) -> dict[tuple[str, Day, str], int]:
    """How many bookings each child has in each stretch of each day."""
    counts: dict[tuple[str, Day, str], int] = defaultdict(int)
    for placed, stretch in _in_stretches(facts):
        if placed.alongside or (focused and not placed.focused):
            continue
        for child in placed.children:
            counts[child, placed.booking.day, stretch.id] += 1
    return counts


def crowded(facts: Facts) -> Iterator[Amount]:
    """More things in one part of the day than are comfortable."""
    comfortable = {stretch.id: stretch.comfortable for stretch in facts.house.stretches}
    for (child, day, stretch), count in _by_stretch(facts, focused=False).items():
        yield f"{child} {day} {stretch}", CROWD * (count - comfortable[stretch])


def calm_run(facts: Facts) -> Iterator[Amount]:
    """More than two things in a row that need concentration."""
    for (child, day, stretch), count in _by_stretch(facts, focused=True).items():
        yield f"{child} {day} {stretch}", CROWD * (count - FOCUSED_IN_A_RUN)


COSTS: dict[str, Callable[[Facts], Iterator[Amount]]] = {
    "promise": promise,
    "hangs": hangs,
    "staple": staple,
    "outdoors": outdoors,
    "worth": worth,
    "balance": balance,
    "fairness": fairness,
    "may_hang": may_hang,
    "usual_stretch": usual_stretch,
    "good_hours": good_hours,
    "adult_low": adult_low,
    "early_promise": early_promise,
    "second_place": second_place,
    "crowded": crowded,
    "calm_run": calm_run,
}

TIERS = {
    "promises": ("promise",),
    "required": ("hangs",),
    "staples": ("staple", "outdoors"),
    "worth": ("worth", "balance", "fairness"),
    "preferred": ("may_hang",),
    "rhythm": (
        "usual_stretch",
        "good_hours",
        "adult_low",
        "early_promise",
        "second_place",
        "crowded",
        "calm_run",
    ),
}


def costs_of(facts: Facts) -> tuple[Cost, ...]:
    """All costs above zero, tier by tier."""
    return tuple(
        Cost(key=key, tier=tier, subject=subject, amount=amount)
        for tier, keys in TIERS.items()
        for key in keys
        for subject, amount in COSTS[key](facts)
        if amount > 0
    )
