"""From the answers to a household file with a first week."""

from __future__ import annotations

from pydantic import ValidationError

from service.errors import BadInput
from service.start.answers import Answers, Started
from service.start.choosing import with_wishes
from service.start.home import activities_for, house_defaults, household_of, pattern, teaching_days
from service.start.people import adults_of, child_defaults, child_of, ids_for, require_sense, sleep_note
from solver.domain.document import Document
from solver.domain.faults import faults_of
from solver.domain.week import Week, week_monday


def start(answers: Answers) -> Started:
    """A household file with a week of wishes, and every default in it with its standing.

    Raises
    ------
    BadInput
        When the answers contradict each other; the faults name the answer and the mend.
    """
    require_sense(answers)
    try:
        return _started(answers)
    except ValidationError as error:
        raise BadInput("the answers do not fit together", faults_of(error)) from error


def _started(answers: Answers) -> Started:
    monday = week_monday(answers.week)
    ids = ids_for([one.name for one in answers.children + answers.adults], "person")
    count = len(answers.children)
    pairs = list(zip(answers.children, ids[:count], strict=True))
    children = tuple(child_of(answer, ident, monday) for answer, ident in pairs)
    adults = adults_of(answers, ids[count:])
    house = household_of(answers, children, adults)
    week = Week(id=answers.week, theme=answers.theme, teaching_days=teaching_days(answers, adults))
    document = Document(household=house, activities=activities_for(house), weeks=(week,))
    defaults = [
        default
        for index, (answer, child) in enumerate(zip(answers.children, children, strict=True))
        for default in child_defaults(answer, child, f"household.children[{index}]")
    ]
    notes = [note for child in children if (note := sleep_note(child, monday))]
    return Started(
        document=with_wishes(document),
        defaults=(*defaults, *house_defaults(house, answers)),
        notes=(*notes, *_theme_note(answers)),
    )


def _theme_note(answers: Answers) -> tuple[str, ...]:
    known = {one.theme for one in pattern().activities if one.theme}
    if answers.theme is None or answers.theme in known:
        return ()
    said = f"The catalogue holds nothing for {answers.theme!r} yet; it has {' and '.join(sorted(known))}. "
    return (said + "The week has what suits any theme; add activities of your own in the catalogue.",)
