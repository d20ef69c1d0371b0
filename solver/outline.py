"""The week unrolled: wishes into goes, goes into tasks, and every lookup the rules need."""

from __future__ import annotations

from collections.abc import Collection
from copy import copy
from dataclasses import dataclass
from functools import cached_property

from solver.clock import Span, slots_up, span_of
from solver.domain.activity import Activity, Alongside, Part, Sitting, Together
from solver.domain.base import DAYS, ChildId, Day, Help, PlaceId
from solver.domain.home import Limits, Place
from solver.domain.people import Child
from solver.domain.plan import Attendance
from solver.domain.week import FixedKind, Problem, Rank, Wish
from solver.presence import Presence
from solver.safety import Requirement, requirement


@dataclass(frozen=True, eq=False, slots=True)
class Go:
    """One time a wish is done. ``day`` is set when the wish pins it."""

    wish: Wish
    activity: Activity
    index: int
    group: tuple[ChildId, ...]
    day: Day | None

    @property
    def name(self) -> str:
        """A short id for variables and reasons."""
        return f"{self.wish.id}.{self.index + 1}"


@dataclass(frozen=True, slots=True)
class Task:
    """One sitting of a go, to be placed at most once."""

    go: Go
    sitting: int

    @property
    def name(self) -> str:
        """The booking id."""
        return f"{self.go.name}.{self.sitting + 1}"

    @property
    def rank(self) -> Rank:
        """The wish's rank."""
        return self.go.wish.rank


class Outline:
    """Goes and tasks of a problem, in a fixed order, with cached lookups."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.presence = Presence(problem)
        self.limits: Limits = problem.household.limits
        self.change_slots = slots_up(self.limits.change_min)
        self.activities = {activity.id: activity for activity in problem.activities}
        self.places = {place.id: place for place in problem.household.places}
        self.materials = {material.id: material for material in problem.household.materials}
        self.books = {book.id: book for book in problem.household.books}
        self._needs: dict[tuple[str, int, bool, PlaceId, tuple[ChildId, ...]], Requirement] = {}
        self._casts: dict[tuple[Go, int], tuple[ChildId, ...]] = {}

    def only(self, goes: Collection[Go]) -> Outline:
        """The same week with a few of its goes."""
        small = copy(self)
        kept = tuple(go for go in self.goes if go in goes)
        tasks = tuple(task for task in self.tasks if task.go in goes)
        small.__dict__.update(goes=kept, tasks=tasks)
        return small

    @cached_property
    def goes(self) -> tuple[Go, ...]:
        """Every go of every wish, in the order of the wishes."""
        return tuple(go for wish in self.problem.week.wishes for go in self._goes_of(wish))

    @cached_property
    def tasks(self) -> tuple[Task, ...]:
        """Every sitting of every go."""
        return tuple(Task(go, i) for go in self.goes for i in range(len(go.activity.sittings)))

    @cached_property
    def meal_places(self) -> tuple[Place, ...]:
        """Where meals are eaten."""
        found = {p.place for p in self.presence.points if p.kind is FixedKind.MEAL and p.place}
        return tuple(place for place in self.problem.household.places if place.id in found)

    @cached_property
    def busy_places(self) -> tuple[Place, ...]:
        """Where hands are busy while ears are free."""
        wanted = {wish.activity for wish in self.problem.week.wishes}
        found = {
            place
            for activity in self.problem.activities
            if activity.alongside is Alongside.BUSY_HANDS and activity.id in wanted
            for sitting in activity.all_sittings
            for place in sitting.places
        }
        return tuple(p for p in self.problem.household.places if p.id in found and not p.away)

    def _goes_of(self, wish: Wish) -> list[Go]:
        activity = self.activities[wish.activity]
        group = self.group(wish)
        if activity.together is Together.APART and group:
            count = wish.times * len(group)
            return [Go(wish, activity, i, (group[i % len(group)],), None) for i in range(count)]
        pinned = wish.most_a_day == 1 and wish.days and len(set(wish.days)) == wish.times
        days: list[Day | None] = sorted(set(wish.days), key=DAYS.index) if pinned else []
        days = days or [None] * wish.times
        return [Go(wish, activity, i, group, day) for i, day in enumerate(days)]

    def version(self, wish: Wish, child: ChildId) -> str | None:
        """The version a child does: chosen by hand, else by age."""
        if child in wish.versions:
            return wish.versions[child]
        found = self.activities[wish.activity].version_for(self.presence.age_months[child])
        return found.id if found else None

    def group(self, wish: Wish) -> tuple[ChildId, ...]:
        """The children a wish is for."""
        activity = self.activities[wish.activity]
        wanted = wish.children or tuple(child.id for child in self.presence.learners)
        return tuple(
            child
            for child in wanted
            if any(self.version(wish, child) in sitting.parts for sitting in activity.sittings)
        )

    def cast(self, go: Go, sitting: Sitting) -> tuple[ChildId, ...]:
        """Those of the group who have a part in a sitting."""
        # By identity: sittings live as long as the problem, and hashing one means hashing all it holds.
        key = (go, id(sitting))
        if key not in self._casts:
            self._casts[key] = tuple(c for c in go.group if self.version(go.wish, c) in sitting.parts)
        return self._casts[key]

    def sitting(self, task: Task, lighter: bool) -> Sitting:
        """The sitting a task means, or the lighter one in its place."""
        light = task.go.activity.lighter
        return light.sitting if lighter and light else task.go.activity.sittings[task.sitting]

    def needs(self, task: Task, lighter: bool, place: Place, who: tuple[ChildId, ...]) -> Requirement:
        """What safety asks for, cached: it does not depend on the go."""
        key = (task.go.wish.activity, task.sitting, lighter, place.id, who)
        if key not in self._needs:
            children: tuple[Child, ...] = tuple(self.presence.children[c] for c in who)
            sitting = self.sitting(task, lighter)
            self._needs[key] = requirement(self.problem, task.go.activity, sitting, place, children)
        return self._needs[key]

    def attendances(
        self, task: Task, lighter: bool, place: Place, who: tuple[ChildId, ...]
    ) -> tuple[Attendance, ...]:
        """Who does which version for how long with how much help, safety included."""
        sitting = self.sitting(task, lighter)
        safe = self.needs(task, lighter, place, who)
        found = []
        for child in who:
            version = self.version(task.go.wish, child)
            assert version is not None
            part: Part = sitting.parts[version]
            found.append(
                Attendance(
                    child=child,
                    version=version,
                    minutes=min(part.minutes, safe.most_minutes.get(child, part.minutes)),
                    help=Help(max(part.help, safe.least_help.get(child, part.help))),
                )
            )
        return tuple(found)

    def span(self, sitting: Sitting, attends: tuple[Attendance, ...], place: Place) -> Span:
        """How the sitting lies around its start."""
        active = max((a.minutes for a in attends), default=sitting.adult_min)
        return span_of(sitting, active, place, self.limits)
