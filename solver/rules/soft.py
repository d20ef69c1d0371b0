"""What makes one week better than another: named costs in tiers. Lower is better.

Nearly every cost hangs on the choice of day and stretch alone, not on the minute: that keeps the bound
strong. ``solver.check`` recomputes all of them from the finished plan.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence

from solver.candidates import Candidate, Candidates
from solver.clock import NOON_SLOT, minutes_of, slots_up
from solver.domain.activity import AreaTarget
from solver.domain.base import DAYS, ChildId, Day, Help, StretchId, Window
from solver.domain.people import Child
from solver.domain.week import Rank, Stretch
from solver.masks import between, count, inside
from solver.outline import Go, Outline, Task
from solver.rules.spares import hangs, may_hang
from solver.rules.terms import Term
from solver.variables import Linear, Variables, by_child, total

WORTH = 12
"""Points of one unit of worth; divisible by most group sizes."""
LIGHTER = 5
AREA_OFF = 6
UNFAIR = 3
UNUSUAL_STRETCH = 4
CROWDED = 3
FOCUSED_IN_A_ROW = 2
LIVELY = 3
"""Energy from which being outdoors counts as active play there."""
TIERS = ("promises", "required", "staples", "changes", "worth", "preferred", "rhythm")


def promise(v: Variables) -> Iterator[Term]:
    """A promise is kept."""
    yield from _unkept(v, Rank.PROMISE, "promise", "promises")


def staple(v: Variables) -> Iterator[Term]:
    """The daily things happen."""
    yield from _unkept(v, Rank.STAPLE, "staple", "staples")


def _unkept(v: Variables, rank: Rank, key: str, tier: str) -> Iterator[Term]:
    for go in v.outline.goes:
        if go.wish.rank is rank:
            yield Term(key, tier, go.name, 1 - v.whole(go))


def outdoors(v: Variables) -> Iterator[Term]:
    """The children are out in the morning and in the afternoon."""
    wanted = min(2, v.outline.limits.outdoor_times_a_day)
    for day in v.outline.problem.week.teaching_days:
        halves = [_out_in_half(v, day, afternoon) for afternoon in (False, True)]
        missing = v.amount(f"outdoors {day}", wanted)
        v.model.add(missing >= wanted - total(halves))
        yield Term("outdoors", "staples", day, missing)


def _out_in_half(v: Variables, day: Day, afternoon: bool) -> Linear:
    if out_anyway(v.outline, day, afternoon):
        return total([1])
    out = v.model.new_bool_var(f"out {day} {afternoon}")
    v.model.add(v.count_of(could_be_out(v.candidates, day, afternoon)) >= out)
    return out


def out_anyway(o: Outline, day: Day, afternoon: bool) -> bool:
    """Whether a fixed point takes the children out in that half of the day."""
    return any(
        point.outdoors and (point.start >= minutes_of(NOON_SLOT)) == afternoon
        for point in o.presence.points_on(day)
    )


def could_be_out(candidates: Candidates, day: Day, afternoon: bool) -> list[Candidate]:
    """What would count as being out and about in that half of the day."""
    return [
        c
        for c in candidates.by_day[day]
        if c.option.place.outdoors
        and c.task.go.activity.energy >= LIVELY
        and (c.first >= NOON_SLOT) == afternoon
    ]


def missed_outdoors(candidates: Candidates) -> int:
    """The least that ``outdoors`` can cost: halves of days in which nothing could be outdoors."""
    o = candidates.outline
    wanted = min(2, o.limits.outdoor_times_a_day)
    missed = 0
    for day in o.problem.week.teaching_days:
        halves = [
            out_anyway(o, day, late) or bool(could_be_out(candidates, day, late)) for late in (False, True)
        ]
        missed += max(0, wanted - sum(halves))
    return missed


def worth(v: Variables) -> Iterator[Term]:
    """As much as possible of what was wished is done, by all who could."""
    for go in v.outline.goes:
        points = WORTH * go.wish.worth
        if go.wish.rank is Rank.EXTRA:
            usual = [Task(go, i) for i in range(len(go.activity.sittings))]
            missing = len(usual) - total(v.placed(t) for t in usual) - (len(usual) - 1) * v.lighter(go)
            yield Term("worth", "worth", go.name, points * missing)
        less = [
            (c, lost)
            for i in range(len(go.activity.sittings))
            for c in v.of(Task(go, i))
            if (lost := _lighter_or_split(v.outline, c, points))
        ]
        if less:
            yield Term("worth", "worth", go.name, v.sum_of(less))


def _lighter_or_split(o: Outline, c: Candidate, points: int) -> int:
    cast = o.cast(c.task.go, c.option.sitting)
    absent = len(cast) - len(c.option.children) if cast else 0
    lighter = LIGHTER * c.task.go.wish.worth if c.option.lighter else 0
    return lighter + (points * absent // len(cast) if cast else 0)


def balance(v: Variables) -> Iterator[Term]:
    """Over the weeks each child meets each learning area often enough, and none too often."""
    times: dict[tuple[ChildId, str], list[Linear]] = defaultdict(list)
    for task in v.outline.tasks:
        for child_id, ways in by_child(v.of(task)).items():
            for area_id in dict.fromkeys(task.go.activity.areas):
                times[child_id, area_id].append(v.any_of(ways))
    for child in v.outline.presence.learners:
        before = v.outline.problem.week.times_before.get(child.id, {})
        for area in v.outline.problem.household.areas:
            yield _off_target(v, child.id, area, times[child.id, area.id], before.get(area.id, 0))


def _off_target(v: Variables, child: ChildId, area: AreaTarget, times: Sequence[Linear], before: int) -> Term:
    off = v.amount(f"off {child} {area.id}", len(times) + before + area.least_times)
    met = total(times) + before
    v.model.add(off >= area.least_times - met)
    v.model.add(off >= met - area.most_times)
    return Term("balance", "worth", f"{child} {area.id}", AREA_OFF * off)


def fairness(v: Variables) -> Iterator[Term]:
    """No child gives up more than the other."""
    if len(v.outline.presence.learners) < 2:
        return
    most, least = v.amount("given up most", 10**5), v.amount("given up least", 10**5)
    for child in v.outline.presence.learners:
        given_up = total(_given_up(v, go, child.id) for go in v.outline.goes)
        v.model.add(most >= given_up)
        v.model.add(least <= given_up)
    yield Term("fairness", "worth", "children", UNFAIR * (most - least))


def _given_up(v: Variables, go: Go, child: ChildId) -> Linear:
    if go.wish.rank is not Rank.EXTRA:
        return total(())
    missed: Linear = total(())
    for index, sitting in enumerate(go.activity.sittings):
        if child in v.outline.cast(go, sitting):
            there = [c for c in v.of(Task(go, index)) if _attends(c, child)]
            had = v.any_of(there) if there else 0
            missed = missed + 1 - had - (v.lighter(go) if index else 0)
    return go.wish.worth * missed


def _attends(c: Candidate, child: ChildId) -> bool:
    return child in c.option.children or c.option.lighter


def worth_points(o: Outline, chosen: Mapping[Task, Candidate]) -> int:
    """What a week in which these are chosen costs in the tier of worth."""
    missed = sum(_points_of(o, go, chosen) for go in o.goes)
    return missed + sum(_points_off(o, chosen)) + _points_unfair(o, chosen)


def _points_of(o: Outline, go: Go, chosen: Mapping[Task, Candidate]) -> int:
    points = WORTH * go.wish.worth
    there = [chosen[task] for i in range(len(go.activity.sittings)) if (task := Task(go, i)) in chosen]
    less = sum(_lighter_or_split(o, c, points) for c in there)
    if go.wish.rank is not Rank.EXTRA or any(c.option.lighter for c in there):
        return less
    return less + points * (len(go.activity.sittings) - len(there))


def _points_off(o: Outline, chosen: Mapping[Task, Candidate]) -> Iterator[int]:
    met = Counter(
        (child, area)
        for task, c in chosen.items()
        for child in c.option.children
        for area in task.go.activity.areas
    )
    for child in o.presence.learners:
        before = o.problem.week.times_before.get(child.id, {})
        for area in o.problem.household.areas:
            times = met[child.id, area.id] + before.get(area.id, 0)
            yield AREA_OFF * max(0, area.least_times - times, times - area.most_times)


def _points_unfair(o: Outline, chosen: Mapping[Task, Candidate]) -> int:
    given_up = [
        sum(
            go.wish.worth
            for go in o.goes
            if go.wish.rank is Rank.EXTRA
            for i, sitting in enumerate(go.activity.sittings)
            if child.id in o.cast(go, sitting) and not _had(go, i, child.id, chosen)
        )
        for child in o.presence.learners
    ]
    return UNFAIR * (max(given_up) - min(given_up)) if len(given_up) > 1 else 0


def _had(go: Go, index: int, child: ChildId, chosen: Mapping[Task, Candidate]) -> bool:
    first, here = chosen.get(Task(go, 0)), chosen.get(Task(go, index))
    lighter = first is not None and first.option.lighter
    return lighter or (here is not None and _attends(here, child))


def usual_stretch(v: Variables) -> Iterator[Term]:
    """Each kind of thing is at its usual time of day."""
    house = v.outline.problem.household
    usual_in = {stretch.id: stretch.usual_kinds for stretch in house.stretches}
    usual = {kind for kinds in usual_in.values() for kind in kinds}

    def unusual(c: Candidate, stretch: StretchId) -> int:
        kind, here = c.task.go.activity.kind, usual_in[stretch]
        return UNUSUAL_STRETCH if kind in usual and kind not in here else 0

    yield from _each_in_stretch(v, "usual_stretch", unusual)


def good_hours(v: Variables) -> Iterator[Term]:
    """What needs a fresh child is put where that child is fresh."""
    house = v.outline.problem.household
    tiredness = {
        (child.id, stretch.id, day): _tiredness(child, stretch, day)
        for child in house.children
        for stretch in house.stretches
        for day in DAYS
    }

    def tired(c: Candidate, stretch: StretchId) -> int:
        if not c.task.go.activity.focus.focused:
            return 0
        return sum([tiredness[child, stretch, c.day] for child in c.option.children])

    yield from _each_in_stretch(v, "good_hours", tired)


def _tiredness(child: Child, stretch: Stretch, day: Day) -> int:
    cost = 0
    if child.good_hours and not covers_half(child.good_hours, stretch, day):
        cost += 1
    if covers_half(child.low_hours, stretch, day):
        cost += 2
    return cost


def covers_half(windows: tuple[Window, ...], stretch: Stretch, day: Day) -> bool:
    """Whether the windows cover at least half of a stretch."""
    whole = between(slots_up(stretch.start), slots_up(stretch.end))
    covered = 0
    for window in windows:
        if window.on(day):
            covered |= inside(window.start, window.end)
    return 2 * count(covered & whole) >= count(whole)


def adult_low(v: Variables) -> Iterator[Term]:
    """The adult's own low hours are spared."""

    house = v.outline.problem.household
    low = {
        (adult.id, stretch.id, day)
        for adult in house.adults
        for stretch in house.stretches
        for day in DAYS
        if covers_half(adult.low_hours, stretch, day)
    }

    def hard(c: Candidate, stretch: StretchId) -> int:
        helpers = zip(c.option.helpers, c.option.loads, strict=True)
        return sum([2 for helper, load in helpers if load >= Help.BESIDE and (helper, stretch, c.day) in low])

    yield from _each_in_stretch(v, "adult_low", hard)


def early_promise(v: Variables) -> Iterator[Term]:
    """Promises are kept early, so that a lost day hurts least."""
    yield from _each(v, "early_promise", lambda c: c.day.index if c.task.rank is Rank.PROMISE else 0)


def second_place(v: Variables) -> Iterator[Term]:
    """Things are done at their best place."""

    def elsewhere(c: Candidate) -> int:
        return int(not c.option.alongside and c.option.place.id != c.option.sitting.places[0])

    yield from _each(v, "second_place", elsewhere)


def crowded(v: Variables) -> Iterator[Term]:
    """Two or three things in a stretch, not more."""
    yield from _above(v, "crowded", lambda c: c.option.in_room, lambda s: s.comfortable)


def calm_run(v: Variables) -> Iterator[Term]:
    """Not three sit-down things in a row."""
    yield from _above(v, "calm_run", lambda c: c.option.focused, lambda _: FOCUSED_IN_A_ROW)


def _above(
    v: Variables, key: str, counts: Callable[[Candidate], bool], most: Callable[[Stretch], int]
) -> Iterator[Term]:
    found: dict[tuple[ChildId, Day, StretchId], list[Candidate]] = defaultdict(list)
    for c in v.candidates.all:
        if c.stretch and counts(c):
            for child in c.option.children:
                found[child, c.day, c.stretch].append(c)
    stretches = {stretch.id: stretch for stretch in v.outline.problem.household.stretches}
    for (child, day, stretch), candidates in found.items():
        limit = most(stretches[stretch])
        if len({c.task for c in candidates}) > limit:
            above = v.amount(f"{key} {child} {day} {stretch}", len(candidates))
            v.model.add(above >= v.count_of(candidates) - limit)
            yield Term(key, "rhythm", f"{child} {day} {stretch}", CROWDED * above)


def _each_in_stretch(v: Variables, key: str, amount: Callable[[Candidate, StretchId], int]) -> Iterator[Term]:
    """What happens at a meal counts for no stretch."""
    yield from _each(v, key, lambda c: 0 if c.stretch is None or c.option.at_meal else amount(c, c.stretch))


def _each(v: Variables, key: str, amount: Callable[[Candidate], int]) -> Iterator[Term]:
    for task in v.outline.tasks:
        terms = [(c, amount(c)) for c in v.of(task)]
        if any(points for _, points in terms):
            yield Term(key, "rhythm", task.name, v.sum_of(terms))


CostOf = Callable[[Variables], Iterator[Term]]

COSTS: tuple[CostOf, ...] = (
    promise, hangs, staple, outdoors, worth, balance, fairness, may_hang, usual_stretch, good_hours,
    adult_low, early_promise, second_place, crowded, calm_run,
)  # fmt: skip


def all_terms(v: Variables, but: Collection[CostOf] = ()) -> list[Term]:
    """Every named cost of the week, but for those that are named."""
    return [term for cost in COSTS if cost not in but for term in cost(v)]
