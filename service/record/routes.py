"""The record over HTTP."""

from __future__ import annotations

import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Response

from service.catalogue.shelf import archived
from service.days import EVER, FOREVER, SaneDay
from service.errors import BadInput, NotFound
from service.paper.answers import PAGE, TABLE_FILE, TableForm, table_answer
from service.record.areas import KINDERGARTEN, CrossWalk
from service.record.fix import Fix, fixed
from service.record.friday import Pass, drafts, keep_pass, pass_over, ticked
from service.record.gentle import gentle_notes
from service.record.minutes import by_subject, progress, week_of_line
from service.record.picture import balance
from service.record.portfolio import portfolio
from service.record.tables import record_tables
from service.record.thin import thin_areas
from service.record.views import (
    LOG,
    OBSERVATION,
    RULE,
    Draft,
    Friday,
    GentleNote,
    LogLine,
    Observation,
    RecordRule,
    Report,
)
from service.routes import StoreHere, WeekName
from service.store import Store, week_of
from service.store.changing import change
from service.store.entries import Entries, entry
from solver.domain.faults import Fault
from solver.domain.people import Child

router = APIRouter(prefix="/api")
Since = Annotated[SaneDay, Query(description="The first day.")]
Until = Annotated[SaneDay, Query(description="The last day.")]
ChildName = Annotated[str, Path(max_length=80)]


_SVG: dict[int | str, dict[str, Any]] = {200: {"content": {"image/svg+xml": {}}}}


def _pass(store: Store, week: str) -> Pass:
    document = store.current().document
    week_of(document, week)
    stored = store.latest_plan(week)
    if stored is None:
        raise NotFound(f"the week {week} has no plan yet; start one at /api/weeks/{week}/solve")
    return pass_over(store, document.problem(week, stored.plan), stored.plan)


def _lines(store: Store, since: datetime.date, until: datetime.date) -> tuple[LogLine, ...]:
    if until < since:
        message = f"until {until} lies before since {since}; swap the two"
        raise BadInput(message, [Fault(path="until", message=message)])
    return Entries(store).all(LOG, LogLine, since.isoformat(), until.isoformat())


def _child(store: Store, ident: str) -> Child:
    for child in store.current().document.household.children:
        if child.id == ident:
            return child
    raise NotFound(f"no child here is {ident[:80]!r}")


@router.post("/record/fix", status_code=204)
def post_fix(fix: Fix, store: StoreHere) -> None:
    """Put one cheap thing for a thin area among a week's wishes; the week after a known one is begun."""
    made = fixed(store.current().document, fix)
    title = next(one.title for one in made.activities if one.id == fix.activity)
    change(store, f"{title} was wished for {fix.week}", lambda document: fixed(document, fix))


@router.get("/weeks/{week}/friday")
def get_friday(week: WeekName, store: StoreHere) -> tuple[Draft, ...]:
    """Every booking of the week with what was ticked or logged, for one pass over it."""
    return tuple(drafts(_pass(store, week), ticked(store, week)))


@router.post("/weeks/{week}/friday")
def post_friday(week: WeekName, said: Friday, store: StoreHere) -> tuple[LogLine, ...]:
    """Write the week's log; what was used goes out of the cupboard. Saying it again changes nothing more."""
    return keep_pass(store, _pass(store, week), said)


@router.get("/log")
def get_log(store: StoreHere, since: Since = EVER, until: Until = FOREVER) -> tuple[LogLine, ...]:
    """The log between two days."""
    return _lines(store, since, until)


@router.put("/log/{line}")
def put_log_line(line: Annotated[str, Path(max_length=200)], body: LogLine, store: StoreHere) -> LogLine:
    """Write or correct one line, for something that was not planned too."""
    _child(store, body.child)
    kept = body.model_copy(update={"id": line})
    change(store, f"{kept.title} was logged", given=[entry(LOG, line, kept, kept.date.isoformat())])
    return kept


@router.delete("/log/{line}", status_code=204)
def delete_log_line(line: Annotated[str, Path(max_length=200)], store: StoreHere) -> None:
    """Take a line out."""
    if Entries(store).get(LOG, line, LogLine) is None:
        raise NotFound("there is no such line in the log")
    change(store, "a line was taken out of the log", removed=[(LOG, line)])


@router.get("/observations")
def get_observations(
    store: StoreHere, since: Since = EVER, until: Until = FOREVER
) -> tuple[Observation, ...]:
    """What was seen between two days."""
    return Entries(store).all(OBSERVATION, Observation, since.isoformat(), until.isoformat())


@router.put("/observations/{observation}")
def put_observation(
    observation: Annotated[str, Path(max_length=80)], body: Observation, store: StoreHere
) -> Observation:
    """Write down what was seen: not yet, with help, alone."""
    child = _child(store, body.child)
    kept = body.model_copy(update={"id": observation})
    given = [entry(OBSERVATION, observation, kept, kept.date.isoformat())]
    change(store, f"something was seen of {child.name}", given=given)
    return kept


@router.delete("/observations/{observation}", status_code=204)
def delete_observation(observation: Annotated[str, Path(max_length=80)], store: StoreHere) -> None:
    """Take an observation out."""
    if Entries(store).get(OBSERVATION, observation, Observation) is None:
        raise NotFound("there is no such observation")
    change(store, "an observation was taken out", removed=[(OBSERVATION, observation)])


@router.get("/record/rules")
def get_rules(store: StoreHere) -> tuple[RecordRule, ...]:
    """The family's own rules, one for each child that has one."""
    return Entries(store).all(RULE, RecordRule)


@router.put("/record/rules/{child}")
def put_rule(child: ChildName, body: RecordRule, store: StoreHere) -> RecordRule:
    """Set the family's own rule for a child. Lapful knows no law: check yours."""
    known = _child(store, child)
    kept = body.model_copy(update={"child": child})
    if kept.until < kept.since:
        raise BadInput(
            "the time ends before it begins", [Fault(path="until", message="give a later last day")]
        )
    change(store, f"the rule for {known.name} was set", given=[entry(RULE, child, kept)])
    return kept


@router.get("/record/kindergarten")
def get_kindergarten() -> tuple[CrossWalk, ...]:
    """Where each domain goes on in kindergarten, with its standing."""
    return KINDERGARTEN


@router.get("/record")
def get_report(
    store: StoreHere, since: Since, until: Until, weeks: Annotated[int, Query(ge=1, le=12)] = 2
) -> Report:
    """Minutes by area, days and hours, thin areas over the last weeks with one cheap fix each."""
    document, lines = store.current().document, _lines(store, since, until)
    seen = Entries(store).all(OBSERVATION, Observation)
    last = {
        child.id: max((one.date for one in seen if one.child == child.id), default=None)
        for child in document.household.children
        if child.learner
    }
    return Report(
        since=since,
        until=until,
        subjects=by_subject(document.household, lines),
        progress=tuple(progress(rule, _lines(store, rule.since, rule.until)) for rule in get_rules(store)),
        thin=tuple(thin_areas(document, lines, until, weeks, archived(store))),
        noted_last=last,
    )


@router.get("/record/table", response_class=Response, responses=TABLE_FILE)
def get_table(store: StoreHere, since: Since, until: Until, format: TableForm = TableForm.XLSX) -> Response:
    """Log, minutes by area and observations as tables."""
    house, lines = store.current().document.household, _lines(store, since, until)
    tables = record_tables(house, lines, by_subject(house, lines), get_observations(store, since, until))
    return table_answer(tables, format, f"record-{since}-{until}")


@router.get("/record/{child}/balance.svg", response_class=Response, responses=_SVG)
def get_balance(child: ChildName, store: StoreHere, since: Since, until: Until) -> Response:
    """A child's areas by week, as a picture."""
    known = _child(store, child)
    lines = [line for line in _lines(store, since, until) if line.child == child]
    subjects = by_subject(store.current().document.household, lines)
    weeks = tuple(sorted({week_of_line(line) for line in lines}))
    return Response(balance(subjects, weeks, f"{known.name} by area and week"), media_type="image/svg+xml")


@router.get("/record/{child}/portfolio", response_class=Response, responses=PAGE)
def get_portfolio(
    child: ChildName,
    store: StoreHere,
    since: Since,
    until: Until,
    file: Annotated[bool, Query(description="As one file that needs nothing else.")] = False,
) -> Response:
    """One child and one period on paper."""
    known, house = _child(store, child), store.current().document.household
    lines, seen = _lines(store, since, until), get_observations(store, since, until)
    html = portfolio(house, known, (since, until), lines, seen, get_rules(store), linked=not file)
    name = f"portfolio-{child}-{since}-{until}.html"
    headers = {"content-disposition": f'attachment; filename="{name}"'} if file else {}
    return Response(html, media_type="text/html", headers=headers)


@router.get("/weeks/{week}/gentle")
def get_gentle(week: WeekName, store: StoreHere) -> tuple[GentleNote, ...]:
    """Published figures on movement, screens and sleep beside this week's plan."""
    found = _pass(store, week)
    return tuple(gentle_notes(found.problem, found.plan))
