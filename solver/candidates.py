"""What could sit where: wishes × week → candidates with their allowed starts.

A candidate is an option on one day and in one stretch (or meal). What has no candidate is explained
here, by the rules that leave it no start, and never reaches the model.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from itertools import islice

from solver.clock import NOON_SLOT, slot_at, slots_up, week_slot
from solver.domain.base import DAYS, ChildId, Day, StretchId
from solver.masks import FULL, between, blocks, fits, meets
from solver.options import Option, options_of
from solver.outline import Go, Outline, Task
from solver.presence import Daily
from solver.rules import ALONE, ASKS


@dataclass(frozen=True, eq=False)
class Seat:
    """Candidates of one task on one day, in one stretch, for the same children in the same manner.

    They differ in place, helpers or minder only, so they share one start and the children's time.
    """

    index: int
    starts: tuple[tuple[int, int], ...]


@dataclass(frozen=True, eq=False, slots=True)
class Kin:
    """Candidates of one option on one day with the same company: what they ask for is the same."""

    mask: int
    """The day slots at which one of them may start."""


@dataclass(frozen=True, eq=False)
class Candidate:
    """One option on one day in one stretch; ``starts`` are the day slots it may start at."""

    index: int
    option: Option
    task: Task
    day: Day
    stretch: StretchId | None
    meal: str | None
    starts: tuple[tuple[int, int], ...]
    """Runs of day slots, last one included."""
    along: tuple[ChildId, ...]
    seat: Seat
    kin: Kin

    @property
    def first(self) -> int:
        """The earliest start."""
        return self.starts[0][0]

    @property
    def last(self) -> int:
        """The latest start."""
        return self.starts[-1][1]

    @cached_property
    def week_first(self) -> int:
        """The earliest start as a week slot."""
        return week_slot(self.day, self.first)

    @cached_property
    def week_last(self) -> int:
        """The latest start as a week slot."""
        return week_slot(self.day, self.last)

    @cached_property
    def mask(self) -> int:
        """The day slots it may start at."""
        return sum(between(first, last + 1) for first, last in self.starts)

    def may_start(self, slot: int) -> bool:
        """Whether a day slot is among the starts."""
        return any(first <= slot <= last for first, last in self.starts)


@dataclass
class Candidates:
    """All candidates, by task; and for tasks without any, the rules in the way."""

    outline: Outline
    all: list[Candidate] = field(default_factory=list)
    blocked: dict[Task, tuple[str, ...]] = field(default_factory=dict)
    seats: int = 0

    @cached_property
    def by_task(self) -> dict[Task, list[Candidate]]:
        """Candidates of each task; a task without any has an empty list."""
        found: dict[Task, list[Candidate]] = {task: [] for task in self.outline.tasks}
        for candidate in self.all:
            found[candidate.task].append(candidate)
        return found

    @cached_property
    def kin_of(self) -> dict[Task, list[list[Candidate]]]:
        """Candidates of each task, kin by kin."""
        found: dict[Task, dict[Kin, list[Candidate]]] = {task: {} for task in self.outline.tasks}
        for candidate in self.all:
            found[candidate.task].setdefault(candidate.kin, []).append(candidate)
        return {task: list(kin.values()) for task, kin in found.items()}

    @cached_property
    def starts_of(self) -> dict[Go, int]:
        """How many starts the first sitting of each go has."""
        firsts = {go: self.by_task[Task(go, 0)] for go in self.outline.goes}
        return {go: sum(b - a + 1 for c in there for a, b in c.starts) for go, there in firsts.items()}

    @cached_property
    def by_day(self) -> dict[Day, list[Candidate]]:
        """Candidates of each day."""
        found: dict[Day, list[Candidate]] = {day: [] for day in DAYS}
        for candidate in self.all:
            found[candidate.day].append(candidate)
        return found


def narrowed(candidates: Candidates, wanted: list[Candidate]) -> Candidates:
    """The same week with only some of its candidates."""
    kept = Candidates(candidates.outline, seats=candidates.seats)
    for index, c in enumerate(sorted(wanted, key=lambda c: c.index)):
        kept.all.append(replace(c, index=index))
    return kept


def enumerate_candidates(
    outline: Outline,
    goes: Collection[Go] | None = None,
    *,
    allowed: Allowed | None = None,
    ways: int | None = None,
) -> Candidates:
    """Candidates of every task of the week, or of those of a few goes alone.

    With ``ways`` of each task only so many options, the first that could be; ``allowed`` is what is known
    from an earlier time.
    """
    found = Candidates(outline)
    allowed = allowed or Allowed(outline)
    for task in outline.tasks:
        if goes is not None and task.go not in goes:
            continue
        pieces = [
            piece
            for option, starts in islice(_without_needless_minders(outline, task, allowed), ways)
            for piece in _cut(outline, option, starts)
        ]
        _seat(found, pieces)
        if not pieces:
            found.blocked[task] = reasons(outline, task, allowed)
    return found


class Allowed:
    """Allowed starts by rule: each asked once for all the options that are alike in what it looks at."""

    def __init__(self, outline: Outline) -> None:
        self.outline = outline
        self._by: dict[Hashable, Daily] = {}
        self._alike: dict[Hashable, Daily] = {}

    def by(self, key: str, option: Option) -> Daily:
        """What one rule allows."""
        name = (key, _basis(option), ASKS[key](option))
        if name not in self._by:
            self._by[name] = ALONE[key](self.outline, option)
        return self._by[name]

    def together(self, option: Option, without: frozenset[str] = frozenset()) -> Daily:
        """What all rules (but some) allow."""
        if without:
            return self._meet([key for key in ALONE if key not in without], option)
        basis, starts = _basis(option), EVERYWHERE
        for asks, keys in ALIKE.items():
            name = (asks, basis, asks(option))
            if name not in self._alike:
                self._alike[name] = self._meet(keys, option)
            starts = _both(starts, self._alike[name])
            if not any(starts):
                break
        return starts

    def _meet(self, keys: Iterable[str], option: Option) -> Daily:
        starts = EVERYWHERE
        for key in keys:
            starts = _both(starts, self.by(key, option))
            if not any(starts):
                break
        return starts


MORNING = between(0, NOON_SLOT)
AFTERNOON = FULL & ~MORNING
EVERYWHERE: Daily = (FULL,) * len(DAYS)

ALIKE: dict[Callable[[Option], Hashable], list[str]] = {
    asks: [key for key in ALONE if ASKS[key] is asks] for asks in dict.fromkeys(ASKS.values())
}
"""The rules that look at the same of an option."""


def _both(some: Daily, others: Daily) -> Daily:
    return tuple([a & b for a, b in zip(some, others, strict=True)])


def _basis(option: Option) -> Hashable:
    """What every rule may look at."""
    task, manner = option.task, (option.lighter, option.alongside, option.at_meal)
    return (task.go.wish.id, task.sitting, option.children, option.place.id, *manner)


def _without_needless_minders(
    outline: Outline, task: Task, allowed: Allowed
) -> Iterator[tuple[Option, Daily]]:
    alone: dict[tuple[object, ...], Daily] = {}
    for option in options_of(outline, task):
        manner = (option.lighter, option.alongside, option.at_meal)
        key = (option.children, option.place.id, option.helpers, *manner)
        starts = allowed.together(option)
        if option.minder is None:
            alone[key] = starts
        else:
            starts = tuple(a & ~b for a, b in zip(starts, alone[key], strict=True))
        if any(starts):
            yield option, starts


@dataclass(frozen=True, slots=True)
class _Piece:
    """A candidate to be: an option with its starts in one stretch of one day."""

    option: Option
    day: Day
    stretch: StretchId | None
    meal: str | None
    along: tuple[ChildId, ...]
    mask: int
    kin: Kin

    @property
    def seat(self) -> tuple[object, ...]:
        """What the candidates of one seat have in common."""
        o = self.option
        noon = bool(self.mask & MORNING)
        return (self.day, self.stretch, self.meal, o.children, o.lighter, o.alongside, o.at_meal, noon)


def _cut(o: Outline, option: Option, starts: Daily) -> Iterator[_Piece]:
    for day, there in zip(DAYS, starts, strict=True):
        for along, mask in _by_along(o, option, day, there) if there else ():
            kin = Kin(mask)
            for stretch, meal, piece in _pieces(o, option, day, mask):
                yield _Piece(option, day, stretch, meal, along, piece, kin)


def _seat(found: Candidates, pieces: list[_Piece]) -> None:
    """Make candidates of pieces, those of one seat sharing it."""
    keys = [piece.seat for piece in pieces]
    together: dict[tuple[object, ...], int] = defaultdict(int)
    for key, piece in zip(keys, pieces, strict=True):
        together[key] |= piece.mask
    seats = {
        key: Seat(found.seats + number, _runs(mask)) for number, (key, mask) in enumerate(together.items())
    }
    found.seats += len(seats)
    for key, piece in zip(keys, pieces, strict=True):
        found.all.append(
            Candidate(
                len(found.all), piece.option, piece.option.task, piece.day, piece.stretch, piece.meal,
                _runs(piece.mask), piece.along, seats[key], piece.kin,
            )
        )  # fmt: skip


@lru_cache(maxsize=1000)
def _runs(mask: int) -> tuple[tuple[int, int], ...]:
    return tuple((a, b - 1) for a, b in blocks(mask))


def _by_along(o: Outline, option: Option, day: Day, mask: int) -> Iterator[tuple[tuple[ChildId, ...], int]]:
    """Starts split by which children have to come along."""
    parts: list[tuple[tuple[ChildId, ...], int]] = [((), mask)]
    if option.place.away and not option.minder:
        span = option.span
        for child in o.problem.household.children:
            if child.id not in option.children:
                home = o.presence.home(child.id, day)
                comes = fits(home, span.there, span.active + span.back)
                gone = FULL & ~meets(home, span.there, span.active + span.back)
                going = [((*who, child.id), m & comes) for who, m in parts]
                staying = [(who, m & gone) for who, m in parts]
                parts = [(who, m) for who, m in going + staying if m]
    return iter(parts)


def _pieces(
    o: Outline, option: Option, day: Day, mask: int
) -> Iterator[tuple[StretchId | None, str | None, int]]:
    if option.at_meal:
        for meal in o.presence.meals_on(day):
            last = slot_at(meal.end) - option.span.active
            piece = mask & between(slots_up(meal.start), last + 1)
            fitting = not option.sitting.meals or meal.meal in option.sitting.meals
            if piece and fitting and meal.place == option.place.id:
                first = (piece & -piece).bit_length() - 1
                yield _stretch_at(o, first), meal.id, piece
        return
    for stretch in o.problem.household.stretches:
        there = mask & o.presence.starts_in(stretch)
        for piece in (there & MORNING, there & AFTERNOON) if there else ():
            if piece:
                yield stretch.id, None, piece


def _stretch_at(o: Outline, slot: int) -> StretchId | None:
    for stretch in o.problem.household.stretches:
        if o.presence.starts_in(stretch) >> slot & 1:
            return stretch.id
    return None


def reasons(outline: Outline, task: Task, allowed: Allowed) -> tuple[str, ...]:
    """A smallest set of rules (by deletion) that together leave a task no start at all."""
    options = list(options_of(outline, task))
    if not options:
        sitting = outline.sitting(task, False)
        anybody = outline.cast(task.go, sitting) or not sitting.parts
        return ("helper_on_hand",) if anybody else ("who",)
    keys = list(ALONE)
    removed: frozenset[str] = frozenset()
    for key in keys:
        wider = removed | {key}
        if not any(any(allowed.together(option, wider)) for option in options):
            removed = wider
    return tuple(key for key in keys if key not in removed)
