"""What a careful parent keeps in the head while filling a week: who, what and where is taken already.

Not every rule is here: the checker has the last word on every go (``service.bench.careful``).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from solver.candidates import Candidate
from solver.clock import DAY_SLOTS, slots_up
from solver.domain.base import ChildId, Day, Help, Mess
from solver.domain.home import Material
from solver.masks import between, blocks, count, fits
from solver.options import WHOLE_HANDS
from solver.outline import Outline
from solver.rules.between import QUIET_KINDS, is_theme_thing

Key = tuple[str, ...]
Piece = tuple[Key, int, int, int]
"""A thing with limits by the slot; from and to around the start; how much of it."""


@dataclass
class Diary:
    """Everything taken so far."""

    outline: Outline
    taken: dict[tuple[Key, Day], int] = field(default_factory=lambda: defaultdict(int))
    """Slots in which a child is at something (or must rest from focus)."""
    loads: dict[tuple[Key, Day], list[int]] = field(default_factory=dict)
    """By the slot: an adult's hands, sittings at a place, tools in use."""
    sums: dict[tuple[Key, Day], int] = field(default_factory=lambda: defaultdict(int))
    """By the day: mess, theme things, focused minutes, a child's full time."""

    def first_start(self, c: Candidate, earliest: int) -> int | None:
        """The first day slot, not before ``earliest``, at which a candidate still fits."""
        if any(self.sums[key, c.day] + amount > most for key, amount, most in self.sums_of(c)):
            return None
        allowed = 0
        for first, last in c.starts:
            allowed |= between(max(first, earliest), last + 1)
        for key, before, after in self.masks_of(c):
            allowed &= fits(between(0, DAY_SLOTS) & ~self.taken[key, c.day], before, after)
        for first, last in blocks(allowed):
            for slot in range(first, last):
                if self._room(c, slot):
                    return slot
        return None

    def _room(self, c: Candidate, slot: int) -> bool:
        for (key, before, after, amount), most in self.loads_of(c):
            level = self.level(key, c.day)
            if any(level[i] + amount > most for i in range(slot - before, slot + after)):
                return False
        return True

    def put(self, c: Candidate, slot: int, sign: int = 1) -> None:
        """Write a booking in; ``sign`` -1 rubs it out again."""
        for key, before, after in self.masks_of(c):
            mask = between(slot - before, slot + after)
            self.taken[key, c.day] = (
                self.taken[key, c.day] | mask if sign > 0 else self.taken[key, c.day] & ~mask
            )
        for (key, before, after, amount), _ in self.loads_of(c):
            level = self.level(key, c.day)
            for i in range(slot - before, slot + after):
                level[i] += sign * amount
        for key, amount, _ in self.sums_of(c):
            self.sums[key, c.day] += sign * amount

    def masks_of(self, c: Candidate) -> Iterator[tuple[Key, int, int]]:
        change = slots_up(self.outline.limits.change_min)
        for a in c.option.attends:
            before, after = c.option.span.child(a.minutes)
            if c.option.at_meal:
                yield ("at a meal", a.child), 0, slots_up(a.minutes)
            else:
                yield ("child", a.child), before, after + change
            if c.option.focused:
                yield ("focus", a.child), 0, slots_up(a.minutes) + self._rest(a.child)
        for child in c.along:
            yield ("child", child), c.option.span.there, c.option.span.active + c.option.span.back

    def _rest(self, child: ChildId) -> int:
        return slots_up(self.outline.presence.children[child].attention.break_min)

    def level(self, key: Key, day: Day) -> list[int]:
        if (key, day) not in self.loads:
            level = [0] * DAY_SLOTS
            for fixed in self.outline.presence.fixed_loads if key[0] == "adult" else ():
                if (fixed.adult, fixed.day) == (key[1], day):
                    for i in range(fixed.start, fixed.end):
                        level[i] += fixed.load
            self.loads[key, day] = level
        return self.loads[key, day]

    def loads_of(self, c: Candidate) -> Iterator[tuple[Piece, int]]:
        option, span = c.option, c.option.span
        for adult, load in zip(option.helpers, option.loads, strict=True):
            hands = max(load, int(Help.BESIDE))
            yield (("adult", adult), span.before, -span.there, hands), WHOLE_HANDS
            yield (("adult", adult), span.there, span.active + span.back, load), WHOLE_HANDS
            yield (("adult", adult), -span.active - span.back, span.after, hands), WHOLE_HANDS
        if option.in_room and not option.place.away:
            room = (("place", option.place.id), span.setup, span.active + span.cleanup, 1)
            yield room, option.place.sittings_at_once
        for need in option.sitting.needs:
            tool: Material = self.outline.materials[need.material]
            if tool.reusable:
                heads = len(option.attends) if need.each_child else 1
                yield (("tool", tool.id), span.before, span.after, need.count * heads), tool.count

    def sums_of(self, c: Candidate) -> Iterator[tuple[Key, int, int]]:
        limits = self.outline.limits
        if mess := int(c.option.sitting.mess):
            yield ("mess",), mess, limits.mess_sum_a_day
            yield ("big mess",), int(mess >= Mess.FLOOR_AND_CLOTHES), limits.big_mess_a_day
        if is_theme_thing(self.outline, c.option):
            yield ("theme",), 1, limits.theme_things_a_day
        for a in c.option.attends:
            if c.option.focused:
                child = self.outline.presence.children[a.child]
                yield ("focus", a.child), a.minutes, child.attention.focused_min_a_day
            if c.option.in_room and c.task.go.activity.kind not in QUIET_KINDS:
                yield ("full", a.child), self._full(c, a.child, a.minutes), self._most(a.child, c.day)

    def _full(self, c: Candidate, child: ChildId, minutes: int) -> int:
        return sum(c.option.span.child(minutes)) + slots_up(self.outline.limits.change_min)

    def _most(self, child: ChildId, day: Day) -> int:
        if day not in self.outline.problem.week.teaching_days:
            return DAY_SLOTS
        open_slots = count(self.outline.presence.open_time(child, day))
        return int((1 - self.outline.limits.free_share) * open_slots + 1e-9)
