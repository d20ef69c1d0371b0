"""The ways in which one sitting could be done: who, where, with which adults."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, permutations

from solver.clock import Span, slots_up
from solver.domain.activity import Alongside, Sitting
from solver.domain.base import AdultId, ChildId, Help, MaterialId
from solver.domain.home import Place
from solver.domain.plan import Attendance
from solver.outline import Outline, Task

WHOLE_HANDS = 4


@dataclass(frozen=True, eq=False)
class Option:
    """A sitting with everything settled but its day and time."""

    task: Task
    sitting: Sitting
    attends: tuple[Attendance, ...]
    place: Place
    helpers: tuple[AdultId, ...]
    minder: AdultId | None
    lighter: bool
    alongside: bool
    at_meal: bool
    span: Span

    @cached_property
    def children(self) -> tuple[ChildId, ...]:
        """Those who attend."""
        return tuple(a.child for a in self.attends)

    @cached_property
    def minutes(self) -> dict[ChildId, int]:
        """How long each child is at it."""
        return {a.child: a.minutes for a in self.attends}

    @cached_property
    def own_slots(self) -> dict[ChildId, int]:
        """Slots each child itself spends at it."""
        return {child: slots_up(minutes) for child, minutes in self.minutes.items()}

    @cached_property
    def child_spans(self) -> dict[ChildId, tuple[int, int]]:
        """(before, after) the start for which each child is taken, without the change after it."""
        return {child: self.span.child(minutes) for child, minutes in self.minutes.items()}

    @cached_property
    def uses(self) -> dict[MaterialId, int]:
        """How much of each material it takes, in units."""
        heads = max(1, len(self.attends))
        found: dict[MaterialId, int] = defaultdict(int)
        for need in self.sitting.needs:
            found[need.material] += need.count * (heads if need.each_child else 1)
        return dict(found)

    @cached_property
    def levels(self) -> tuple[int, ...]:
        """How much each helper is asked for, 0 to 4."""
        asked = sorted((int(a.help) for a in self.attends), reverse=True)
        if not self.attends:
            asked = [int(self.sitting.adult_help)]
        asked += [int(Help.BESIDE)] * (len(self.helpers) - len(asked))
        return tuple(asked[: len(self.helpers)])

    @cached_property
    def loads(self) -> tuple[int, ...]:
        """Hands taken while it goes on: the level, or all of them when helping far from the rest."""
        far = self.place.away
        return tuple(
            WHOLE_HANDS if far or (self.place.apart and level >= Help.DIPS_IN) else level
            for level in self.levels
        )

    @cached_property
    def in_room(self) -> bool:
        """Whether it takes room at its place and the children's own time."""
        return not self.alongside and not self.at_meal

    @cached_property
    def focused(self) -> bool:
        """Whether it counts as a focused sitting."""
        return self.in_room and self.task.go.activity.focus.focused


def options_of(outline: Outline, task: Task) -> Iterator[Option]:
    """Every option of a task, best place first."""
    for lighter in _weights(task):
        sitting = outline.sitting(task, lighter)
        for who in _casts(outline, task, sitting):
            for place, alongside, at_meal in _manners(outline, task, sitting):
                attends = outline.attendances(task, lighter, place, who)
                span = outline.span(sitting, attends, place)
                for helpers in _helpers(outline, task, sitting):
                    for minder in _minders(outline, helpers, sitting):
                        yield Option(
                            task, sitting, attends, place, helpers, minder, lighter,
                            alongside, at_meal, span,
                        )  # fmt: skip


def _weights(task: Task) -> list[bool]:
    light = task.sitting == 0 and task.go.wish.lighter_ok and task.go.activity.lighter
    return [False, True] if light else [False]


def _casts(outline: Outline, task: Task, sitting: Sitting) -> list[tuple[ChildId, ...]]:
    if not sitting.parts:
        return [()]
    cast = outline.cast(task.go, sitting)
    if not cast:
        return []
    wish = task.go.wish
    needed = set() if wish.may_split else set(cast) - set(wish.may_miss)
    least = max(1, len(needed))
    parts = (part for size in range(len(cast), least - 1, -1) for part in combinations(cast, size))
    return [part for part in parts if needed <= set(part)]


def _helpers(outline: Outline, task: Task, sitting: Sitting) -> list[tuple[AdultId, ...]]:
    adults = [adult.id for adult in outline.problem.household.adults]
    needed = task.go.activity.adults_needed if sitting.parts else 1
    return [p for p in permutations(adults, needed) if outline.presence.adults[p[0]].leads]


def _minders(outline: Outline, helpers: tuple[AdultId, ...], sitting: Sitting) -> list[AdultId | None]:
    others = [adult.id for adult in outline.problem.household.adults if adult.id not in helpers]
    return [None, *others] if sitting.parts else [None]


def _manners(o: Outline, task: Task, sitting: Sitting) -> Iterator[tuple[Place, bool, bool]]:
    """(place, laid over busy hands, at a meal): listening goes where the busy hands or the meal are."""
    if sitting.meals:
        yield from ((place, False, True) for place in o.meal_places)
        return
    yield from ((o.places[place], False, False) for place in sitting.places)
    if task.go.activity.alongside is Alongside.LISTENING:
        yield from ((place, True, False) for place in o.busy_places)
        yield from ((place, False, True) for place in o.meal_places)
