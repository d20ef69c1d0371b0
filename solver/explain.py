"""Why not: reasons for what is left over, found as rule keys first and said in plain words last."""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable, Collection
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.assemble import Chosen
from solver.candidates import Candidates, narrowed
from solver.domain.plan import Fate, LeftOver, Reason
from solver.domain.week import Rank
from solver.engine import engine
from solver.frees import what_frees
from solver.model import build
from solver.outline import Go, Task
from solver.rules import RULES
from solver.words import NOT_ASKED, blocked_sentence, conflict_sentence, freed_by, until

ASK_SECONDS = 1.0
MOST_ASKED = 60_000
"""Candidates in all the questions together; with a dozen left over three children's week asks half of it."""

LIKELY = (
    "prep_minutes", "mess_day", "theme_day", "white_space", "holding", "waits", "money", "focus_day",
    "adult_hands", "baby_hands", "place_room", "one_at_a_time", "breaks", "order", "often", "supplies",
    "fresh",
)  # fmt: skip
"""The order in which rules are suspected: budgets first, since they make the plainest reasons."""


def left_over(candidates: Candidates, chosen: Chosen, until_time: float) -> tuple[LeftOver, ...]:
    """What did not fit, each with its reason; ``until_time`` (monotonic) bounds the asking."""
    ask = _Asker(candidates, chosen, until_time)
    missing = {go: steps for go in candidates.outline.goes if (steps := _missing(go, chosen))}

    ways = Counter(candidate.task.go.wish.id for candidate in candidates.all)
    # Goes of one wish stay in the order of their numbers: the first that is missing is asked for.
    asked = sorted(missing, key=lambda go: (go.wish.rank is not Rank.PROMISE, ways[go.wish.id]))
    found = {go: _left_over(candidates, go, missing[go], ask) for go in asked}
    return tuple(found[go] for go in missing)


def _tasks(go: Go) -> list[Task]:
    return [Task(go, i) for i in range(len(go.activity.sittings))]


def _missing(go: Go, chosen: Chosen) -> tuple[int, ...]:
    first = chosen.starts.get(Task(go, 0))
    if first and first[0].option.lighter:
        return ()
    return tuple(task.sitting for task in _tasks(go) if task not in chosen.starts)


def _left_over(candidates: Candidates, go: Go, missing: tuple[int, ...], ask: _Asker) -> LeftOver:
    stays = go.wish.rank is Rank.STAPLE
    return LeftOver(
        wish=go.wish.id,
        activity=go.activity.id,
        title=go.activity.title,
        go=go.index,
        sittings=missing,
        fate=Fate.LET_GO if stays else Fate.HELD_OVER,
        until="" if stays else until(candidates.outline, go),
        reason=_reason(candidates, go, ask),
    )


def _reason(candidates: Candidates, go: Go, ask: _Asker) -> Reason:
    """The reason; for a promise also which single thing is in the way and what would free it."""
    reason = _plain_reason(candidates, go, ask)
    if go.wish.rank is not Rank.PROMISE or ask.over:
        return reason
    freed = what_frees(candidates.outline.problem, go, ask.until_time)
    if freed is None:
        return reason
    sentence = f"{reason.sentence} {freed.in_the_way[:1].upper()}{freed.in_the_way[1:]}."
    return reason.model_copy(
        update={"ids": (*reason.ids, *freed.ids), "sentence": sentence, "freed_by": freed.by}
    )


def reason_for(candidates: Candidates, chosen: Chosen, go: Go, until_time: float) -> Reason:
    """Why one go is left over; ``until_time`` (monotonic) bounds the asking."""
    return _plain_reason(candidates, go, _Asker(candidates, chosen, until_time))


def _plain_reason(candidates: Candidates, go: Go, ask: _Asker) -> Reason:
    for index in range(len(go.activity.sittings)):
        keys = candidates.blocked.get(Task(go, index))
        if keys:
            return Reason(
                rules=keys,
                ids=(go.wish.id, *go.group),
                day=go.day,
                sentence=blocked_sentence(candidates.outline, go, index, keys),
                freed_by=freed_by(candidates.outline, go, keys),
            )
    keys = ask.conflict(go)
    if keys is None:
        return Reason(ids=(go.wish.id, *go.group), day=go.day, sentence=NOT_ASKED)
    return Reason(
        rules=keys,
        ids=(go.wish.id, *go.group),
        day=go.day,
        sentence=conflict_sentence(candidates.outline, go, keys),
        freed_by=freed_by(candidates.outline, go, keys),
    )


@dataclass
class _Asker:
    """Finds which rules together keep a go out of the plan as it stands.

    The other bookings stay on their days and with the same people at the same place, but may move within
    the day; the question is put without an objective (with one, assumption cores name everything), and the
    answer is a smallest set by deletion: with any one of its rules gone, the go fits.
    """

    candidates: Candidates
    chosen: Chosen
    until_time: float

    def __post_init__(self) -> None:
        self._budget = MOST_ASKED
        self._known: dict[tuple[str, object], tuple[str, ...] | None] = {}
        self._met: Counter[tuple[str, ...]] = Counter()

    @property
    def over(self) -> bool:
        """Whether there has been asking enough; counted by size, so that one seed gives one answer."""
        return self._budget <= 0 or time.monotonic() >= self.until_time

    def conflict(self, go: Go) -> tuple[str, ...] | None:
        """The rule keys in the way; empty when it would fit (at a price elsewhere); None when the
        time for asking is over."""
        key = (go.wish.id, go.day)
        if self.over:
            return None
        if key not in self._known:
            self._known[key] = self._find(go)
        return self._known[key]

    def _find(self, go: Go) -> tuple[str, ...] | None:
        fits = self._question(go)
        # What keeps one thing out often keeps the next one out: to see that takes a fourth of the questions.
        found = next((keys for keys, _ in self._met.most_common() if _is_smallest(keys, fits)), None)
        if found is None:
            as_it_is = fits(())
            if as_it_is is not False:
                return () if as_it_is else None
            found = smallest(_suspects(), lambda without: fits(without) is not False)
        self._met[found] += 1
        return found

    def _question(self, go: Go) -> Callable[[Collection[str]], bool | None]:
        """Whether the go fits with some rules left out; None when that could not be told."""
        tasks = {*_tasks(go)}
        stands = {(c.option, c.day) for c, _ in self.chosen.starts.values()}
        wanted = [c for c in self.candidates.all if c.task in tasks or (c.option, c.day) in stands]
        small = narrowed(self.candidates, wanted)
        must = [*tasks, *(task for task in self.chosen.starts if task not in tasks)]

        def fits(without: Collection[str]) -> bool | None:
            if self.over:
                return None
            self._budget -= len(small.all)
            week = build(small, without, costs=False)
            for task in must:
                week.model.add(week.variables.placed(task) == 1)
            solver = engine()
            solver.parameters.max_deterministic_time = ASK_SECONDS
            # Rows say little about what merely fits: without them XL is told in three fourths of the time.
            solver.parameters.linearization_level = 0
            if self.until_time < math.inf:
                solver.parameters.max_time_in_seconds = max(0.02, self.until_time - time.monotonic())
            status = solver.solve(week.model)
            return None if status == cp_model.UNKNOWN else status != cp_model.INFEASIBLE

        return fits


def _suspects() -> list[str]:
    """The rules between sittings, those that make the plainest reason last."""
    between = [rule.key for rule in RULES if rule.between]
    return sorted(between, key=lambda k: -LIKELY.index(k) if k in LIKELY else -len(LIKELY))


def _is_smallest(keys: Collection[str], fits: Callable[[Collection[str]], bool | None]) -> bool:
    """Whether these rules by themselves keep it out, and with any one of them gone it could fit."""
    others = [key for key in _suspects() if key not in keys]
    return fits(others) is False and all(fits([*others, key]) is not False for key in keys)


def smallest(keys: list[str], fits: Callable[[Collection[str]], bool]) -> tuple[str, ...]:
    """A smallest set of keys, by deletion in ever smaller chunks, that by itself keeps it out.

    ``fits`` tells whether it fits when some keys are left out; what it cannot tell counts as fitting, so
    every deletion is proved. Earlier keys are given up first.
    """
    kept = list(keys)
    size = max(1, len(kept) // 2)
    while True:
        index = 0
        while index < len(kept):
            rest = kept[:index] + kept[index + size :]
            if fits([key for key in keys if key not in rest]):
                index += size
            else:
                kept = rest
        if size == 1:
            return tuple(key for key in keys if key in kept)
        size //= 2
