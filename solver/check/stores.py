"""Rules about what waits, what is made ready, what is used up and what it costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from solver.check.facts import Facts, Placed, at_slot, fault
from solver.check.house import needed, not_to_be_had
from solver.check.violation import Violation
from solver.clock import DAY_SLOTS, PREP_SLOT, WEEK_SLOTS, minutes_of, slots_up
from solver.domain.activity import PrepTask, Wait
from solver.domain.base import DAY_MIN, Evening, Moment
from solver.domain.home import Material, PrepEvening, Shop
from solver.domain.plan import PrepBooking, Purchase, Waiting

NOT_LISTED = "waits, and the plan does not say so"


@dataclass(frozen=True)
class Held:
    """Something that waits, and from which week slot to which."""

    after: str | None
    before: str | None
    holder: str | None
    units: int
    start: int
    end: int


def evening_slot(evening: Evening) -> int:
    """The week slot of 20:00 on an evening (negative on the Sunday before)."""
    return evening.index * DAY_SLOTS + PREP_SLOT


def held_things(facts: Facts) -> list[Held]:
    """Everything that waits in the week, as the bookings and the prep imply it."""
    return [*_held_between_sittings(facts), *_held_since_prep(facts)]


def _held_between_sittings(facts: Facts) -> Iterator[Held]:
    for found in facts.by_go.values():
        by_sitting = {placed.booking.sitting: placed for placed in found if not placed.booking.lighter}
        for index, placed in by_sitting.items():
            if index < len(placed.activity.waits):
                yield _held(placed, by_sitting.get(index + 1), placed.activity.waits[index])


def _held(placed: Placed, following: Placed | None, wait: Wait) -> Held:
    end = following.at if following else placed.end + slots_up(wait.least_min)
    before = following.booking.id if following else None
    return Held(placed.booking.id, before, wait.holder, wait.units, placed.end, end)


def _held_since_prep(facts: Facts) -> Iterator[Held]:
    for prep in facts.plan.prep:
        task = task_of(facts, prep)
        first = facts.first(prep.wish, prep.go)
        if task and first and task.holder:
            start = evening_slot(prep.evening)
            yield Held(None, first.booking.id, task.holder, task.units, start, first.at)


def task_of(facts: Facts, prep: PrepBooking) -> PrepTask | None:
    """The prep task that a prep booking means."""
    wish = facts.wishes.get(prep.wish)
    tasks = facts.activities[wish.activity].prep if wish else ()
    return next((task for task in tasks if task.id == prep.task), None)


def holding(facts: Facts) -> Iterator[Violation]:
    """Nothing waits where there is no room for it, and the plan says truly what waits where."""
    things = held_things(facts)
    for holder in facts.house.holders:
        here = [thing for thing in things if thing.holder == holder.id]
        for thing in here:
            crowd = [other for other in here if other.start <= thing.start < other.end]
            if thing.start < thing.end and sum(other.units for other in crowd) > holder.capacity:
                ids = (one for other in crowd for one in (other.after, other.before) if one)
                what = f"{holder.name} is full then"
                yield at_slot("holding", thing.start, what, holder.id, *dict.fromkeys(ids))
    yield from _waiting_is_true(facts, things)


Listed = tuple[str | None, str | None, str | None, int, int | None, int | None]


def _waiting_is_true(facts: Facts, things: list[Held]) -> Iterator[Violation]:
    lasting = Counter(_listed_thing(thing) for thing in things if thing.start < thing.end)
    implied = Counter(_listed_thing(thing) for thing in things)
    listed = Counter(_listed_entry(entry) for entry in facts.plan.waiting)
    for one in lasting - listed:
        yield _list_fault(one, NOT_LISTED)
    for one in listed - implied:
        yield _list_fault(one, "waits in the plan's list and not in truth")


def _list_fault(one: Listed, what: str) -> Violation:
    ids = tuple(item for item in one[:3] if item)
    return Violation(key="holding", ids=ids, sentence=f"Something from {one[0] or 'prep'} {what}.")


def _listed_thing(thing: Held) -> Listed:
    start, end = _this_week(minutes_of(thing.start)), _this_week(minutes_of(thing.end))
    return thing.after, thing.before, thing.holder, thing.units, start, end


def _listed_entry(entry: Waiting) -> Listed:
    start = _this_week(entry.since.week_min) if entry.since else None
    end = _this_week(entry.until.week_min) if entry.until else None
    return entry.after, entry.before, entry.holder, entry.units, start, end


def _this_week(minutes: int) -> int | None:
    """Minutes since Monday, or None before and after the week."""
    return minutes if 0 <= minutes < minutes_of(WEEK_SLOTS) else None


def _evenings(facts: Facts) -> dict[Evening, PrepEvening]:
    return {one.evening: one for one in facts.limits.prep}


def prep(facts: Facts) -> Iterator[Violation]:
    """What must be made ready is made ready once, early enough, and not too early."""
    done = Counter((one.wish, one.go, one.task) for one in facts.plan.prep)
    due = {
        (first.wish.id, first.booking.go, task.id): first
        for (wish, go) in facts.by_go
        if (first := facts.first(wish, go)) and not first.booking.lighter
        for task in first.activity.prep
    }
    for key, first in due.items():
        if done[key] != 1:
            name = next(task.name for task in first.activity.prep if task.id == key[2])
            yield fault("prep", first, f"{name} is made ready {done[key]} times, not once", key[0])
    for entry in facts.plan.prep:
        key = (entry.wish, entry.go, entry.task)
        task = task_of(facts, entry)
        if key in due and task:
            for what in _prep_faults(facts, entry, task, due[key]):
                yield fault("prep", due[key], f"{task.name}: {what}", entry.task)
        elif task:
            what = f"{task.name} is made ready for something that is not in the week."
            yield Violation(key="prep", ids=(entry.wish, entry.task), sentence=what)


def _prep_faults(facts: Facts, entry: PrepBooking, task: PrepTask, first: Placed) -> Iterator[str]:
    evening = _evenings(facts).get(entry.evening)
    if evening is None or not evening.minutes:
        yield "there are no minutes on that evening"
    elif task.noisy and evening.quiet:
        yield "it is noisy, and somebody sleeps"
    if evening_slot(entry.evening) + slots_up(task.lead_min) > first.adult.start:
        yield "it would not be ready in time"
    if first.booking.day.index - entry.evening.index > task.keeps_days:
        yield f"it keeps for {task.keeps_days} days only"
    if _gone(facts, entry, first):
        yield "that evening has gone"
    yield from _untrue_entry(entry, task, first)


def _gone(facts: Facts, entry: PrepBooking, first: Placed) -> bool:
    """What is for a firm sitting may have been made ready already."""
    now = facts.week.now
    firm = {(b.wish, b.go, b.sitting) for b in facts.week.firm}
    done = ((p.wish, p.go, p.task, p.evening) for p in facts.week.prepared)
    if (entry.wish, entry.go, entry.task, entry.evening) in done:
        return False
    if now is None or (first.wish.id, first.booking.go, first.booking.sitting) in firm:
        return False
    return minutes_of(evening_slot(entry.evening)) < now.week_min


def _untrue_entry(entry: PrepBooking, task: PrepTask, first: Placed) -> Iterator[str]:
    warm_up = task.warm_up_min if task.batch else 0
    if entry.minutes != task.minutes - warm_up:
        yield f"it takes {task.minutes - warm_up} minutes"
    if entry.warm_up_min not in (warm_up, task.warm_up_min):
        yield f"its warm-up takes {warm_up} minutes"
    if entry.batch != task.batch:
        yield "it belongs to another batch"
    if entry.ready_for != first.booking.id:
        yield f"it is for {first.booking.id}"


def prep_minutes(facts: Facts) -> Iterator[Violation]:
    """No evening holds more prep than it has minutes."""
    evenings = _evenings(facts)
    for evening in Evening:
        tasks = [task for one in facts.plan.prep if one.evening is evening and (task := task_of(facts, one))]
        have = evenings[evening].minutes if evening in evenings else 0
        if (taken := evening_minutes(tasks)) > have:
            what = f"Prep on {evening.replace('_', ' ')} takes {taken} minutes, and there are {have}."
            yield Violation(key="prep_minutes", ids=tuple(task.id for task in tasks), sentence=what)


def evening_minutes(tasks: Iterable[PrepTask]) -> int:
    """What tasks take together: a batch pays its warm-up once."""
    total = 0
    warm_ups: dict[str, int] = {}
    for task in tasks:
        total += task.minutes - (task.warm_up_min if task.batch else 0)
        if task.batch:
            warm_ups[task.batch] = max(warm_ups.get(task.batch, 0), task.warm_up_min)
    return total + sum(warm_ups.values())


def supplies(facts: Facts) -> Iterator[Violation]:
    """What is used up is in the house in time (in stock, arriving, or bought), and not gone that day."""
    yield from not_to_be_had(facts, "supplies", reusable=False)
    for material in facts.house.materials:
        if not material.reusable:
            yield from _enough(facts, material)
    materials = {material.id: material for material in facts.house.materials}
    for purchase in facts.plan.shopping:
        if purchase.material in materials:
            for what in _purchase_faults(facts, purchase, materials[purchase.material]):
                sentence = f"{purchase.name}: {what}."
                yield Violation(key="supplies", ids=(purchase.material,), sentence=sentence)


def _enough(facts: Facts, material: Material) -> Iterator[Violation]:
    uses = {p.booking.id: needed(p.sitting, material.id, len(p.children)) for p in facts.placed}
    for placed in facts.placed:
        if not uses[placed.booking.id]:
            continue
        used = sum(uses[other.booking.id] for other in facts.placed if other.at <= placed.at)
        by = minutes_of(placed.adult.start)
        here = material.count + sum(a.count for a in material.arrivals if a.at.week_min <= by)
        here += sum(
            purchase.count
            for purchase in facts.plan.shopping
            if purchase.material == material.id and (purchase.at is None or purchase.at.week_min <= by)
        )
        if used > here:
            what = f"{used} {material.unit} of {material.name} are used by then, and there are {here}"
            yield fault("supplies", placed, what, material.id)


def _purchase_faults(facts: Facts, purchase: Purchase, material: Material) -> Iterator[str]:
    shops: list[Moment | None] = [shop.at for shop in facts.week.shops]
    if not material.buyable or material.reusable:
        yield "it cannot be bought at a weekly shop"
    if purchase.at not in shops:
        yield "there is no such shop"
    if purchase.cost != purchase.count * material.price:
        yield f"it costs {purchase.count * material.price}"


@dataclass
class Lot:
    """So much of a supply, there from a week minute on, and the last day on which it is good."""

    minute: int
    good_until: int
    count: int


def fresh(facts: Facts) -> Iterator[Violation]:
    """Nothing is used that has not kept until then; what has begun by now had what it needed."""
    for material in facts.house.materials:
        if not material.reusable and material.keeps_days is not None:
            yield from _spoilt(facts, material)


def _spoilt(facts: Facts, material: Material) -> Iterator[Violation]:
    """Drawn in order of time, from what spoils first: if that does not work out, nothing does."""
    lots = _lots(facts, material)
    now = facts.week.now.week_min if facts.week.now else 0
    for placed in sorted(facts.placed, key=lambda one: one.adult.start):
        begins, day = minutes_of(placed.adult.start), placed.booking.day.index
        lack = needed(placed.sitting, material.id, len(placed.children)) if begins >= now else 0
        here = [lot for lot in lots if lot.minute <= begins]
        for lot in here:
            if lot.good_until >= day:
                drawn = min(lack, lot.count)
                lot.count, lack = lot.count - drawn, lack - drawn
        if lack and any(lot.count for lot in here if lot.good_until < day):
            what = f"{material.name} keeps for {material.keeps_days} days only"
            yield fault("fresh", placed, what, material.id)


def _lots(facts: Facts, material: Material) -> list[Lot]:
    """What there is of a supply, what spoils first before the rest."""
    found = [Lot(-DAY_MIN, material.good_until(0), material.count)]
    for one in material.arrivals:
        found.append(Lot(one.at.week_min, material.good_until(one.at.day.index), one.count))
    for purchase in facts.plan.shopping:
        if purchase.material == material.id:
            shop = Shop(before_week=purchase.at is None, at=purchase.at)
            minute = purchase.at.week_min if purchase.at else shop.day_index * DAY_MIN
            found.append(Lot(minute, material.good_until(shop.day_index), purchase.count))
    return sorted(found, key=lambda lot: lot.good_until)


def money(facts: Facts) -> Iterator[Violation]:
    """The week costs no more than the household wants to spend."""
    goes = [first for (wish, go) in facts.by_go if (first := facts.first(wish, go))]
    spent = sum(first.activity.cost for first in goes)
    prices = {material.id: material.price for material in facts.house.materials}
    spent += sum(purchase.count * prices.get(purchase.material, 0) for purchase in facts.plan.shopping)
    if spent > facts.limits.money_a_week:
        what = f"The week costs {spent}, and {facts.limits.money_a_week} are meant for it."
        yield Violation(key="money", sentence=what)
