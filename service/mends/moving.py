"""Moving one booking by hand: does it fit there, which rules are in the way, what makes room for it."""

from __future__ import annotations

from collections.abc import Iterator

from service.mends.questions import MoveAnswer
from solver.candidates import Candidate, enumerate_candidates
from solver.check import Facts, check
from solver.check.stores import NOT_LISTED
from solver.clock import minutes_of
from solver.domain.base import Day, StretchId, clock_text
from solver.domain.mishap import Move, Offer
from solver.domain.plan import Booking, Plan, State
from solver.domain.week import Problem
from solver.mend import mend
from solver.outline import Outline
from solver.why import why
from solver.words import day_name

MEND_S = 2.0
STARTS_TRIED = 24
MOST_LOST = 4
"""A move that costs the week more than this is none that anybody means."""
_BY_THEMSELVES = {"firm"}
"""Rules that a move by hand breaks on purpose."""


def move(problem: Problem, plan: Plan, booking: Booking, day: Day, stretch: StretchId) -> MoveAnswer:
    """The booking put into another stretch, with the fewest other changes."""
    title = next(one.title for one in problem.activities if one.id == booking.activity)
    best = _least_broken(problem, plan, booking, day, stretch)
    if best is None:
        return MoveAnswer(
            fits=False, title=title, in_the_way=_forbidden(problem, plan, booking, day, stretch)
        )
    there, broken = best
    offers = tuple(_offers(problem, plan, booking, there, title))
    return MoveAnswer(fits=not broken, title=title, in_the_way=broken, offers=offers)


def _least_broken(
    problem: Problem, plan: Plan, booking: Booking, day: Day, stretch: StretchId
) -> tuple[Booking, tuple[str, ...]] | None:
    """Where in the stretch it breaks least, and what it breaks there; None when it may not start there."""
    like = Facts(problem, plan, ())
    before = faults(like, plan)
    tried = [
        (there, new_faults(like, plan, there, before)) for there in _places(problem, booking, day, stretch)
    ]
    return min(tried, key=lambda one: (len(one[1]), one[0].start), default=None)


def _places(problem: Problem, booking: Booking, day: Day, stretch: StretchId) -> Iterator[Booking]:
    """The booking at each start that its own rules allow there."""
    candidates = enumerate_candidates(_alone(problem, booking))
    task = next(one for one in candidates.outline.tasks if one.name == booking.id)
    there = [c for c in candidates.by_task[task] if (c.day, c.stretch) == (day, stretch)]
    plain = [c for c in there if not c.option.alongside and c.option.lighter == booking.lighter]
    starts = [(c, slot) for c in plain for first, last in c.starts for slot in range(first, last + 1)]
    step = max(1, len(starts) // STARTS_TRIED)
    yield from (_at(booking, c, slot) for c, slot in starts[::step])


def _alone(problem: Problem, booking: Booking) -> Outline:
    """Its wish alone, with nothing held firm about it: that is what is being changed."""
    week = problem.week
    wish = next(one for one in week.wishes if one.id == booking.wish)
    firm = tuple(one for one in week.firm if one.id != booking.id)
    alone = week.model_copy(update={"wishes": (wish,), "firm": firm})
    return Outline(problem.model_copy(update={"week": alone}))


def _at(booking: Booking, c: Candidate, slot: int) -> Booking:
    return booking.model_copy(
        update={
            "day": c.day, "start": minutes_of(slot), "stretch": c.stretch, "meal": c.meal,
            "attends": c.option.attends, "place": c.option.place.id, "helpers": c.option.helpers,
            "minder": c.option.minder, "along": c.along, "alongside": None, "state": State.FIRM,
        }
    )  # fmt: skip


def faults(like: Facts, plan: Plan) -> set[tuple[str, str]]:
    """What the checker says against a plan, but for what a change by hand breaks on purpose."""
    bare = plan.model_copy(update={"waiting": ()})
    found = (
        (one.key, one.sentence) for one in check(like.problem, bare, like) if one.key not in _BY_THEMSELVES
    )
    # What waits where is listed anew with the plan that comes of it.
    return {(key, sentence) for key, sentence in found if NOT_LISTED not in sentence}


def new_faults(like: Facts, plan: Plan, there: Booking, before: set[tuple[str, str]]) -> tuple[str, ...]:
    """Sentences: what is wrong with the booking there that was not wrong before."""
    return tuple(sorted({sentence for _, sentence in faults(like, with_it(plan, there)) - before}))


def with_it(plan: Plan, there: Booking) -> Plan:
    """The plan with the booking there, and nowhere else."""
    others = (one for one in plan.bookings if one.id != there.id)
    return plan.model_copy(update={"bookings": (*others, there)})


def _forbidden(
    problem: Problem, plan: Plan, booking: Booking, day: Day, stretch: StretchId
) -> tuple[str, ...]:
    """Its own rules, as *why here* tells them."""
    reasons = why(problem, plan, booking.id).reasons
    said = [one.sentence for one in reasons if one.day is day and stretch in one.ids]
    return tuple(f"{one[:1].upper()}{one[1:]}." for one in said[:1]) or ("It has no time to start there.",)


def _offers(problem: Problem, plan: Plan, booking: Booking, there: Booking, title: str) -> Iterator[Offer]:
    """The rest of the week around it, each way with the move itself told first."""
    moved = Move(
        booking=there.id, title=title, from_day=booking.day, from_start=booking.start,
        to_day=there.day, to_start=there.start, to_stretch=there.stretch,
    )  # fmt: skip
    said = f"Move {title} to {day_name(there.day)}, {clock_text(there.start)}"
    for offer in around(problem, plan, there, said):
        yield offer.model_copy(update={"moved": (moved, *offer.moved)})


def around(problem: Problem, plan: Plan, there: Booking, said: str) -> Iterator[Offer]:
    """The rest of the week around a booking that was put somewhere by hand."""
    firm = (*(one for one in problem.week.firm if one.id != there.id), there)
    held = problem.model_copy(update={"week": problem.week.model_copy(update={"firm": firm})})
    for offer in mend(held, with_it(plan, there), (), seconds=MEND_S).offers:
        if len(offer.held_over) + len(offer.let_go) > MOST_LOST:
            continue
        rest = "; everything else stays." if not offer.moved else f". {offer.sentence}"
        yield offer.model_copy(update={"sentence": said + rest})
