"""A problem and a plan laid out for judging: every booking with its spans, everybody with their week."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from solver.check.people import People, people_of
from solver.check.violation import Violation
from solver.clock import DAY_SLOTS, SLOT_MIN, Span, slot_at, slots_up, span_of, week_slot
from solver.domain.activity import Activity, Sitting, Together
from solver.domain.base import DAYS, Day, Help, clock_text
from solver.domain.home import Holder, Limits, Material, Place
from solver.domain.people import Adult, Child, Visitor
from solver.domain.plan import Booking, Plan
from solver.domain.week import FixedPoint, Household, Problem, Stretch, Week, Wish
from solver.safety import Requirement, requirement

WHOLE_HANDS = 4
OF_THE_PROBLEM = ("people", "activities", "wishes", "points", "names", "groups", "required")
"""What is the same for every plan of a problem."""


@dataclass(frozen=True, eq=False)
class Placed:
    """A well-formed booking with what it refers to. All ranges are week slots."""

    booking: Booking
    wish: Wish
    activity: Activity
    sitting: Sitting
    place: Place
    span: Span
    meal: FixedPoint | None

    @cached_property
    def at(self) -> int:
        """The week slot of its start."""
        return week_slot(self.booking.day, slot_at(self.booking.start))

    @property
    def end(self) -> int:
        """The week slot at which its active time is over."""
        return self.at + self.span.active

    @property
    def active(self) -> range:
        """From the start to the end of the longest version."""
        return range(self.at, self.end)

    @property
    def adult(self) -> range:
        """From the first move of the helpers to their last."""
        return range(self.at - self.span.before, self.at + self.span.after)

    @property
    def out(self) -> range:
        """From leaving to being back; at home the active time."""
        return range(self.at - self.span.there, self.end + self.span.back)

    @property
    def in_place(self) -> range:
        """Laying out, active and clearing, without ways."""
        return range(self.at - self.span.setup, self.end + self.span.cleanup)

    def child(self, minutes: int) -> range:
        """When a child with so many minutes is taken."""
        before, after = self.span.child(minutes)
        return range(self.at - before, self.at + after)

    def own(self, minutes: int) -> range:
        """A child's own minutes; on an outing everybody's."""
        length = self.span.active if self.span.there else slots_up(minutes)
        return range(self.at, self.at + length)

    @cached_property
    def children(self) -> tuple[str, ...]:
        """Who attends."""
        return tuple(a.child for a in self.booking.attends)

    @property
    def alongside(self) -> bool:
        """Laid over another booking."""
        return self.booking.alongside is not None

    @property
    def in_room(self) -> bool:
        """Takes its own room and its children's own time: not alongside, not at a meal."""
        return not self.alongside and self.meal is None

    @property
    def focused(self) -> bool:
        """Counts towards focused time."""
        return self.in_room and self.activity.focus.focused

    def involves(self, child: str) -> bool:
        """The child attends or comes along."""
        return child in self.children or child in self.booking.along

    @property
    def levels(self) -> tuple[int, ...]:
        """What each helper is asked for, 0 to 4."""
        asked = sorted((int(a.help) for a in self.booking.attends), reverse=True)
        if not self.sitting.parts:
            asked = [int(self.sitting.adult_help)]
        asked += [int(Help.BESIDE)] * (len(self.booking.helpers) - len(asked))
        return tuple(asked[: len(self.booking.helpers)])

    @property
    def loads(self) -> tuple[int, ...]:
        """How much of each helper's hands it takes while it goes on."""
        return tuple(
            WHOLE_HANDS if self.place.away or (self.place.apart and level >= Help.DIPS_IN) else level
            for level in self.levels
        )

    def load_at(self, load: int, slot: int) -> int:
        """The load in one slot: laying out and clearing take at least most of two hands."""
        return load if slot in self.out else max(int(Help.BESIDE), load)


@dataclass(frozen=True)
class Load:
    """What one booking asks of one helper in one slot."""

    placed: Placed
    level: int
    load: int


@dataclass(frozen=True)
class Facts:
    """Everything the checks ask about."""

    problem: Problem
    plan: Plan
    placed: tuple[Placed, ...]
    """The bookings that are well-formed."""

    def of(self, plan: Plan, placed: tuple[Placed, ...] = ()) -> Facts:
        """Another plan of the same problem: what hangs on the problem alone is not laid out again."""
        other = Facts(self.problem, plan, placed)
        other.__dict__.update({name: getattr(self, name) for name in OF_THE_PROBLEM})
        return other

    @property
    def house(self) -> Household:
        """The household."""
        return self.problem.household

    @property
    def week(self) -> Week:
        """The week."""
        return self.problem.week

    @property
    def limits(self) -> Limits:
        """What the household can bear."""
        return self.house.limits

    @cached_property
    def people(self) -> People:
        """Everybody's week."""
        return people_of(self.problem)

    @cached_property
    def activities(self) -> dict[str, Activity]:
        """Activities by id."""
        return {activity.id: activity for activity in self.problem.activities}

    @cached_property
    def wishes(self) -> dict[str, Wish]:
        """Wishes by id, those with a known activity."""
        return {wish.id: wish for wish in self.week.wishes if wish.activity in self.activities}

    @cached_property
    def points(self) -> tuple[FixedPoint, ...]:
        """Fixed points of the household and of the week."""
        return self.house.fixed_points + self.week.fixed_points

    @cached_property
    def names(self) -> dict[str, str]:
        """What people and things are called."""
        house = self.house
        people: list[Child | Adult | Visitor] = [*house.children, *house.adults, *self.week.visitors]
        things: list[Place | Material | Holder] = [*house.places, *house.materials, *house.holders]
        return {one.id: one.name for one in [*things, *people]}

    def name(self, one: str) -> str:
        """What somebody or something is called."""
        return self.names.get(one, one)

    @cached_property
    def safe(self) -> dict[str, Requirement]:
        """What safety asks of each booking with the children who are in it, by id."""
        return {placed.booking.id: self._required(placed) for placed in self.placed}

    def _required(self, placed: Placed) -> Requirement:
        booking = placed.booking
        key = (
            placed.activity.id,
            booking.sitting,
            booking.lighter,
            placed.place.id,
            frozenset(placed.children),
        )
        if key not in self.required:
            there = tuple(child for child in self.house.children if child.id in placed.children)
            self.required[key] = requirement(
                self.problem, placed.activity, placed.sitting, placed.place, there
            )
        return self.required[key]

    @cached_property
    def required(self) -> dict[tuple[object, ...], Requirement]:
        """What safety was found to ask of a sitting at a place with these children."""
        return {}

    @cached_property
    def by_id(self) -> dict[str, Placed]:
        """Bookings by id."""
        return {placed.booking.id: placed for placed in self.placed}

    @cached_property
    def by_go(self) -> dict[tuple[str, int], list[Placed]]:
        """Bookings of each go, by sitting."""
        found: dict[tuple[str, int], list[Placed]] = defaultdict(list)
        for placed in sorted(self.placed, key=lambda one: one.booking.sitting):
            found[placed.wish.id, placed.booking.go].append(placed)
        return dict(found)

    @cached_property
    def by_child(self) -> dict[str, list[Placed]]:
        """Bookings that a child attends, in order of time."""
        found: dict[str, list[Placed]] = {child.id: [] for child in self.house.children}
        for placed in sorted(self.placed, key=lambda one: one.at):
            for child in dict.fromkeys(placed.children):
                found[child].append(placed)
        return found

    @cached_property
    def by_day(self) -> dict[Day, list[Placed]]:
        """Bookings of each day."""
        found: dict[Day, list[Placed]] = {day: [] for day in Day}
        for placed in self.placed:
            found[placed.booking.day].append(placed)
        return found

    @cached_property
    def helping(self) -> dict[str, dict[int, list[Load]]]:
        """What bookings ask of each adult, by slot."""
        found: dict[str, dict[int, list[Load]]] = {a.id: defaultdict(list) for a in self.house.adults}
        for placed in self.placed:
            asked = zip(placed.booking.helpers, placed.levels, placed.loads, strict=True)
            for adult, level, load in asked:
                for slot in placed.adult:
                    found[adult][slot].append(Load(placed, level, placed.load_at(load, slot)))
        return found

    def first(self, wish: str, go: int) -> Placed | None:
        """The first sitting of a go, if it is in the plan."""
        return next((p for p in self.by_go.get((wish, go), ()) if p.booking.sitting == 0), None)

    def firsts(self, wish: Wish) -> list[Placed]:
        """The first sittings of a wish, by go."""
        goes = sorted(go for (one, go) in self.by_go if one == wish.id)
        return [first for go in goes if (first := self.first(wish.id, go))]

    def version(self, wish: Wish, child: str) -> str | None:
        """The version a child does: chosen by hand, else by age."""
        if child in wish.versions:
            return wish.versions[child]
        monday = self.week.monday
        for one in self.house.children:
            if one.id == child:
                found = self.activities[wish.activity].version_for(one.age_months(monday.year, monday.month))
                return found.id if found else None
        return None

    @cached_property
    def groups(self) -> dict[str, tuple[str, ...]]:
        """The children each wish is for: those with a part in any of the usual sittings."""
        return {wish.id: self._group(wish) for wish in self.wishes.values()}

    def _group(self, wish: Wish) -> tuple[str, ...]:
        learners = [child.id for child in self.house.children if child.learner]
        sittings = self.activities[wish.activity].sittings
        return tuple(
            child
            for child in dict.fromkeys(wish.children or learners)
            if any(self.version(wish, child) in sitting.parts for sitting in sittings)
        )

    def turns(self, wish: Wish) -> int:
        """With ``apart``, among how many children the goes take turns; otherwise 1."""
        apart = self.activities[wish.activity].together is Together.APART
        return max(1, len(self.groups[wish.id])) if apart else 1

    def goes(self, wish: Wish) -> int:
        """How many goes a wish has, all children counted."""
        return wish.times * self.turns(wish)

    def cast(self, wish: Wish, go: int, sitting: Sitting) -> tuple[str, ...]:
        """Who is meant to be in a sitting of a go."""
        group = self.groups[wish.id]
        if self.activities[wish.activity].together is Together.APART and group:
            group = (group[go % len(group)],)
        return tuple(child for child in group if self.version(wish, child) in sitting.parts)

    def wholly(self, wish: str, go: int) -> bool:
        """Every sitting of the go is in the plan, or its lighter version."""
        found = self.by_go.get((wish, go), [])
        if any(placed.booking.lighter for placed in found):
            return True
        sittings = self.activities[self.wishes[wish].activity].sittings
        return {p.booking.sitting for p in found} >= set(range(len(sittings)))

    def stretch_at(self, minutes: int) -> Stretch | None:
        """The stretch in which a clock time lies."""
        return next((s for s in self.house.stretches if s.start <= minutes < s.end), None)


def fault(key: str, placed: Placed, what: str, *ids: str) -> Violation:
    """A violation at one booking: its title and time, then what is wrong."""
    booking = placed.booking
    when = f"{booking.day.capitalize()} {clock_text(booking.start)}"
    return Violation(
        key=key,
        ids=tuple(dict.fromkeys((booking.id, *ids))),
        day=booking.day,
        start=booking.start,
        sentence=f"{placed.activity.title} ({when}): {what}.",
    )


def at_slot(key: str, slot: int, what: str, *ids: str) -> Violation:
    """A violation in one slot of the week, of several bookings together."""
    day = DAYS[min(max(slot, 0) // DAY_SLOTS, len(DAYS) - 1)]
    start = slot % DAY_SLOTS * SLOT_MIN
    sentence = f"{day.capitalize()} {clock_text(start)}: {what}."
    return Violation(key=key, ids=ids, day=day, start=start, sentence=sentence)


def slots_min(slots: Iterable[int]) -> int:
    """Minutes in so many slots."""
    return sum(SLOT_MIN for _ in slots)


def overlap(one: range, other: range) -> bool:
    """Whether two half-open ranges share a slot."""
    return max(one.start, other.start) < min(one.stop, other.stop)


def within(one: range, outer: range) -> bool:
    """Whether a range lies wholly in another; an empty range lies anywhere."""
    return not one or (outer.start <= one.start and one.stop <= outer.stop)


def place_booking(
    booking: Booking,
    wish: Wish,
    activity: Activity,
    place: Place,
    meal: FixedPoint | None,
    limits: Limits,
) -> Placed:
    """A booking with its spans; the caller has seen that all it names exists."""
    light = activity.lighter if booking.lighter else None
    sitting = light.sitting if light else activity.sittings[booking.sitting]
    span = span_of(sitting, booking.minutes, place, limits)
    return Placed(booking, wish, activity, sitting, place, span, meal)
