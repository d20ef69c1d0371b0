"""One page from which another adult can run a day."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from service.paper.html import ADVICE, Read, each, listed, page, section, tag, text
from service.paper.lines import Line, activity_of, fixed_points, lines_of
from service.paper.moments import date_of
from service.show.names import Names, moment_text
from solver.clock import sitting_of
from solver.domain.base import Day, Help, clock_text
from solver.domain.people import AllergyLevel, Child
from solver.domain.plan import Plan
from solver.domain.week import FixedPoint, Problem

_HELP = {
    Help.ALONE_IN_EARSHOT: "alone, you in earshot",
    Help.SET_GOING: "set going, then alone",
    Help.DIPS_IN: "you dip in",
    Help.BESIDE: "you beside",
    Help.HANDS_ON: "your hands on it",
}
_STRICT = {
    AllergyLevel.MILD: "mild: may handle and taste, ask first",
    AllergyLevel.AVOID: "takes part in nothing that holds it",
    AllergyLevel.AIRBORNE: "even in the air: nothing with it in the house",
}


_SIZES = ((1900, ""), (4300, "full"), (6050, "fuller"))
"""So many signs go on an A4 page in each print, as the browser tests count the pages."""
_TAGS = re.compile(r"<[^>]*>")


def takeover_page(
    problem: Problem,
    plan: Plan,
    day: Day,
    adult: str | None = None,
    *,
    linked: bool = False,
    as_read: Read = str,
) -> str:
    """The page for whoever takes over this day."""
    lines = tuple(line for line in lines_of(problem, plan) if line.day is day)
    names = Names(problem)
    when = date_of(problem.week.monday, day)
    for_whom = f", for {names.of(adult)}" if adult else ""
    title = f"{day.value.capitalize()} {when.day} {when:%B %Y}{for_whom}"
    parts = (
        section("If something happens", _calls(), "call"),
        section("Allergies and health of everybody here", _allergies(problem, day)),
        section("Who they are", listed(_child(child, when, day) for child in problem.household.children)),
        section("The day in order", _run(problem, lines, day, names)),
        section("Where things are", listed(_things(problem, plan, lines, day, names))),
        section("If the nap does not happen", listed(_no_nap(problem, day))),
    )
    body = tag("header", tag("h1", text(title)) + tag("span", text(problem.household.name)), "head")
    body += "".join(parts) + tag("p", text(ADVICE), "advice")
    return page(title, body, "upright", linked=linked, size=_size(as_read(body)))


def _size(body: str) -> str:
    """The largest print in which it all goes on one page."""
    signs = len(_TAGS.sub("", body))
    return next((name for most, name in _SIZES if signs <= most), "fullest")


def _calls() -> str:
    blank = tag("span", "", "blank")
    return f"Emergency number {blank} Doctor {blank}<br>Who comes if you need somebody {blank}"


def _allergies(problem: Problem, day: Day) -> str:
    found = list(_allergy_lines(problem, day))
    return listed(found) or tag("p", text("None is known. Ask about everybody who comes in."))


def _allergy_lines(problem: Problem, day: Day) -> Iterator[str]:
    house = problem.household
    guests = tuple(one for one in problem.week.visitors if any(window.on(day) for window in one.here))
    for person in house.children + house.adults + guests:
        guest = " (visiting)" if person in guests else ""
        for allergy in person.allergies:
            said = f"{allergy.allergen.value}, {_STRICT[allergy.level]}"
            yield f"{tag('strong', text(person.name + guest))}: {text(said)}"
        for condition in getattr(person, "conditions", ()):
            said = condition.value.replace("_", " ")
            yield f"{tag('strong', text(person.name + guest))}: {text(said)}"


def _child(child: Child, when: date, day: Day) -> str:
    months = child.age_months(when.year, when.month)
    said = [f"{months // 12} years {months % 12} months" if months >= 24 else f"{months} months"]
    said += [f"can: {', '.join(child.can_do)}"] if child.can_do else []
    said += [f"does not like: {', '.join(child.dislikes)}"] if child.dislikes else []
    said += [f"speaks {', '.join(child.languages)}"] if child.languages else []
    said += ["puts things in the mouth"] if child.mouths_things else []
    said += ["gets at what lies on the floor"] if child.crawls else []
    said += [f"plays alone in earshot for about {child.alone_min} minutes"]
    naps = [nap for nap in child.naps if not nap.days or day in nap.days]
    said += [f"usually sleeps {clock_text(nap.start)} for {nap.length_min} min" for nap in naps]
    said += [f"bed {clock_text(child.bed)}"]
    return f"{tag('strong', text(child.name))}: {each(said, '; ')}"


def _run(problem: Problem, lines: tuple[Line, ...], day: Day, names: Names) -> str:
    blocks = [(line.adult_from, 1, _line(problem, line, names)) for line in lines]
    blocks += [(point.start, 0, _fixed(point, names)) for point in fixed_points(problem, day)]
    blocks.sort(key=lambda block: block[:2])
    return tag("ul", "".join(html for _, _, html in blocks), "run") if blocks else ""


def _fixed(point: FixedPoint, names: Names) -> str:
    who = names.all(point.children + point.adults)
    leave = f", leave at {clock_text(point.taken_from)}" if point.leaves_home else ""
    when = f"{clock_text(point.start)}–{clock_text(point.end)}"
    return tag("li", text(f"{when} {point.title}{f' ({who})' if who else ''}{leave}"), "fixed")


def _line(problem: Problem, line: Line, names: Names) -> str:
    head = f"{tag('strong', text(line.title))} {tag('span', text(line.clock), 'soft')} · {text(line.place)}"
    head += f"<br>{text(line.adults)}" if line.adults else ""
    start = f"Lay out from {clock_text(line.adult_from)}, cleared by {clock_text(line.adult_until)}"
    inner = [text(start), *_each_child(problem, line, names), *_needs(problem, line), *_easier(problem, line)]
    inner += [_care(text(c.text), text(c.source)) for c in line.booking.cautions]
    return tag("li", head + listed(inner))


def _care(said: str, source: str) -> str:
    return f"Take care: {said}" + (f" <em>({tag('span', source)})</em>" if source else "")


def _each_child(problem: Problem, line: Line, names: Names) -> Iterator[str]:
    activity = activity_of(problem, line.booking)
    does = {version.id: version.does for version in activity.versions} if activity else {}
    if line.booking.lighter and activity and activity.lighter:
        does = dict.fromkeys(does, activity.lighter.does)
    for one in line.booking.attends:
        what = f": {does[one.version]}" if does.get(one.version) else ""
        yield text(f"{names.of(one.child)}, about {one.minutes} min, {_HELP[one.help]}{what}")


def _needs(problem: Problem, line: Line) -> Iterator[str]:
    found = [f"{count} × {name}" if count > 1 else name for name, count in needs_of(problem, line)]
    if found:
        yield f"Needs {each(found, ', ')}"


def needs_of(problem: Problem, line: Line) -> Iterator[tuple[str, int]]:
    """What one booking takes, by name and count."""
    activity = activity_of(problem, line.booking)
    if activity is None or line.booking.sitting >= len(activity.sittings):
        return
    materials = {one.id: one.name for one in problem.household.materials}
    for need in sitting_of(activity, line.booking.sitting, line.booking.lighter).needs:
        heads = len(line.booking.attends) if need.each_child else 1
        yield materials.get(need.material, need.material), need.count * heads


def _easier(problem: Problem, line: Line) -> Iterator[str]:
    activity = activity_of(problem, line.booking)
    if activity and activity.lighter and not line.booking.lighter:
        yield text(f"Easier, if the day is long: {activity.lighter.does}")


def _things(problem: Problem, plan: Plan, lines: tuple[Line, ...], day: Day, names: Names) -> Iterator[str]:
    by_place: dict[str, dict[str, None]] = {}
    for line in lines:
        by_place.setdefault(line.place, {}).update(dict.fromkeys(name for name, _ in needs_of(problem, line)))
    for place, things in by_place.items():
        if things:
            yield f"{tag('strong', text(place))}: {each(things, ', ')}"
    titles = {line.booking.id: line.title for line in lines_of(problem, plan)}
    for one in plan.waiting:
        since = one.since.day.index if one.since else -1
        until = one.until.day.index if one.until else 7
        if since <= day.index <= until:
            where = names.of(one.holder) if one.holder else "where it was left"
            ends = f"until {moment_text(one.until)}" if one.until else "past the week"
            what = titles.get(one.after or one.before or "", one.kind)
            yield f"{tag('strong', text(where))}: {text(f'{what} ({one.kind}), {ends}; leave it there')}"


def _no_nap(problem: Problem, day: Day) -> Iterator[str]:
    for child in problem.household.children:
        for nap in child.naps:
            if child.learner and (not nap.days or day in nap.days):
                often = f"It happens on about {nap.days_of_seven} days of 7. "
                instead = f"Otherwise quiet time of {nap.quiet_min} minutes with books or a bin of their own."
                yield f"{tag('strong', text(child.name))}: {text(often + instead)}"
