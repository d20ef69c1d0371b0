"""The shared day on one page: ages, allergies of all, what each activity asks with everybody there."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from service.coop.views import AllergyLine, CoopDay, CoopSheet, ForActivity, Guest, Person
from service.paper.html import ADVICE, listed, page, section, tag, text
from solver.domain.activity import Activity
from solver.domain.base import DAYS, Window, clock_text
from solver.domain.document import Document
from solver.domain.people import Adult, Child, Visitor
from solver.domain.week import Problem, Week
from solver.safety import requirement

RULE_NOTE = (
    "This is the group's own rule, not medical advice: a doctor's word and local health rules come first."
)


def visitors_of(day: CoopDay) -> tuple[Visitor, ...]:
    """The guests as the week knows them."""
    window = Window(days=(DAYS[day.date.weekday()],), start=day.start, end=day.end)
    return tuple(
        Visitor(
            id=guest.id,
            name=guest.name,
            here=(window,),
            birth_month=guest.birth_month,
            mouths_things=guest.mouths_things,
            allergies=guest.allergies,
            conditions=guest.conditions,
        )
        for guest in day.guests
    )


def coop_sheet(document: Document, day: CoopDay) -> CoopSheet:
    """Everything about a shared day."""
    return CoopSheet(
        day=day,
        people=tuple(_people(document, day)),
        allergies=tuple(_allergies(document, day)),
        activities=tuple(_activities(document, day)),
        advice=f"{ADVICE} {RULE_NOTE}",
    )


def _people(document: Document, day: CoopDay) -> Iterator[Person]:
    house = document.household
    for child in house.children:
        yield Person(name=child.name, family=house.name, age=_age(child.birth_month, day.date))
    for guest in day.guests:
        yield Person(name=guest.name, family=guest.family, age=_age(guest.birth_month, day.date))


def _age(birth_month: str | None, date: datetime.date) -> str:
    if birth_month is None:
        return "grown up or not said"
    year, month = (int(part) for part in birth_month.split("-"))
    months = max(0, (date.year - year) * 12 + date.month - month)
    return f"{months} months" if months < 24 else f"{months // 12} y {months % 12} m"


def _allergies(document: Document, day: CoopDay) -> Iterator[AllergyLine]:
    house = document.household
    everybody: tuple[Child | Adult | Guest, ...] = (*house.children, *house.adults, *day.guests)
    for person in everybody:
        for allergy in person.allergies:
            yield AllergyLine(who=person.name, what=f"{allergy.allergen.value} ({allergy.level.value})")
        for condition in () if isinstance(person, Adult) else person.conditions:
            yield AllergyLine(who=person.name, what=condition.value.replace("_", " "))


def _activities(document: Document, day: CoopDay) -> Iterator[ForActivity]:
    year, number, _ = day.date.isocalendar()
    week = Week(id=f"{year}-W{number:02d}", visitors=visitors_of(day))
    problem = Problem(household=document.household, activities=document.activities, week=week)
    for ident in day.activities:
        activity = next((one for one in document.activities if one.id == ident), None)
        if activity:
            yield _for(problem, activity, day)


def _for(problem: Problem, activity: Activity, day: CoopDay) -> ForActivity:
    house = problem.household
    attending = tuple(
        child
        for child in house.children
        if child.learner and activity.version_for(child.age_months(day.date.year, day.date.month))
    )
    places = {place.id: place for place in house.places}
    cautions: dict[str, None] = {}
    blocked = ""
    for sitting in activity.sittings:
        asked = requirement(problem, activity, sitting, places[sitting.places[0]], attending)
        blocked = blocked or (asked.blocked.sentence if asked.blocked else "")
        for caution in asked.cautions:
            cautions[f"{caution.text} ({caution.source})" if caution.source else caution.text] = None
    return ForActivity(activity=activity.id, title=activity.title, blocked=blocked, cautions=tuple(cautions))


def coop_page(sheet: CoopSheet, *, linked: bool = False) -> str:
    """The sheet on paper."""
    day = sheet.day
    rule = f"{day.illness.fever_h} hours after a fever, {day.illness.stomach_h} after a stomach upset"
    stand_in = day.stand_in
    instead = [
        f"host instead: {stand_in.host}" if stand_in.host else "",
        f"leader instead: {stand_in.leader}" if stand_in.leader else "",
        stand_in.instead,
    ]
    activities = (
        f"{tag('strong', text(one.title))} {text(one.blocked)}" + listed(text(c) for c in one.cautions)
        for one in sheet.activities
    )
    parts = (
        section("Allergies of everybody", listed(text(f"{one.who}: {one.what}") for one in sheet.allergies)),
        section("Who comes", listed(text(f"{one.name} ({one.family}), {one.age}") for one in sheet.people)),
        section("What we do", listed(activities)),
        section("Who brings what", listed(text(f"{one.family}: {one.what}") for one in day.brings)),
        section("If somebody falls out", listed(text(one) for one in instead if one)),
        section("Illness, as the group agreed", tag("p", text(f"Stay at home {rule}. {RULE_NOTE}"))),
    )
    title = f"{day.date.isoformat()}, {clock_text(day.start)} to {clock_text(day.end)}, at {day.host}"
    head = tag("header", tag("h1", text(title)) + tag("span", text(f"led by {day.leader}")), "head")
    return page(
        title, head + "".join(parts) + tag("p", text(sheet.advice), "advice"), "upright", linked=linked
    )
