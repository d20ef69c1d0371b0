"""All gates together: what one sitting asks of those who take part and those who are about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from solver.domain.activity import Activity, Sitting
from solver.domain.base import AdultId, ChildId, Help
from solver.domain.home import Place
from solver.domain.people import Child
from solver.domain.plan import Caution, Reason
from solver.domain.week import Problem
from solver.safety.gates import GATES, Gate
from solver.safety.scene import (
    Bar,
    Cut,
    Demand,
    Guard,
    HandsOff,
    Person,
    Raise,
    Scene,
    SendOut,
    Warn,
    scene_of,
)


@dataclass(frozen=True)
class Requirement:
    """What safety asks of a sitting."""

    blocked: Reason | None
    least_help: dict[ChildId, Help]
    """Only children for whom a gate asks for help."""
    most_minutes: dict[ChildId, int]
    """Only children for whom a gate cuts the minutes."""
    asleep_or_minded: tuple[str, ...]
    """Children and visitors who, when at home and awake, are asleep or with another adult meanwhile.
    At a place away from home: who does not come along (a baby worn by an adult may)."""
    out: tuple[str, ...]
    """Who must not be at home at all meanwhile."""
    cautions: tuple[Caution, ...]
    not_helping: tuple[AdultId, ...] = ()
    """Adults who must not be helpers: it holds what they are allergic to."""


_Asked = tuple[Gate, Demand]


def requirement(
    problem: Problem, activity: Activity, sitting: Sitting, place: Place, attending: tuple[Child, ...]
) -> Requirement:
    """What every gate asks of this sitting at this place with these children."""
    scene = scene_of(problem, activity, sitting, place, attending)
    acting = [gate for gate in GATES if gate.looks_at(scene)]
    asked = [(gate, demand) for gate in acting for demand in gate.acts(scene)]
    demands = [demand for _, demand in asked]
    return Requirement(
        blocked=_blocked(scene, asked),
        least_help=_least_help(demands),
        most_minutes=_most_minutes(demands),
        asleep_or_minded=_ids(demand.who for demand in demands if isinstance(demand, Guard)),
        out=_ids(demand.who for demand in demands if isinstance(demand, SendOut)),
        cautions=tuple(dict.fromkeys(_cautions(scene, acting, asked))),
        not_helping=_ids(demand.who for demand in demands if isinstance(demand, HandsOff)),
    )


def _ids(people: Iterable[Person]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(person.id for person in people))


def _least_help(demands: list[Demand]) -> dict[ChildId, Help]:
    least: dict[ChildId, Help] = {}
    for demand in demands:
        if isinstance(demand, Raise):
            least[demand.who.id] = max(demand.help, least.get(demand.who.id, demand.help))
    return least


def _most_minutes(demands: list[Demand]) -> dict[ChildId, int]:
    most: dict[ChildId, int] = {}
    for demand in demands:
        if isinstance(demand, Cut):
            most[demand.who.id] = min(demand.minutes, most.get(demand.who.id, demand.minutes))
    return most


def _blocked(scene: Scene, asked: list[_Asked]) -> Reason | None:
    bars = [(gate, demand) for gate, demand in asked if isinstance(demand, Bar)]
    if not bars:
        return None
    people = _ids(person for _, bar in bars for person in bar.who)
    keys = tuple(dict.fromkeys(gate.key for gate, _ in bars))
    gate, bar = bars[0]
    return Reason(rules=("safety",), ids=keys + people, sentence=_sentence(scene, gate, bar))


def _sentence(scene: Scene, gate: Gate, bar: Bar) -> str:
    if not bar.who:
        return f"It is not done in this home. {gate.sentence}"
    *others, last = (person.name for person in bar.who)
    names = f"{', '.join(others)} and {last}" if others else last
    if bar.who[0] in scene.attending:
        because = bar.because or f"{gate.sentence[0].lower()}{gate.sentence[1:].rstrip('.')}"
        return f"It is not for {names} now: {because}."
    return f"It is left out because of {names}. {gate.sentence}"


def _cautions(scene: Scene, acting: list[Gate], asked: list[_Asked]) -> Iterator[Caution]:
    if scene.activity.caution:
        yield Caution(text=scene.activity.caution, source="the activity's card")
    for gate in acting:
        if gate.caution:
            yield Caution(text=gate.caution, source=gate.source)
    for gate, demand in asked:
        if isinstance(demand, Warn):
            yield Caution(text=demand.text, source=gate.source)
    guarded = list(dict.fromkeys(demand.who.name for _, demand in asked if isinstance(demand, Guard)))
    if guarded and not scene.place.away:
        names = " or ".join(guarded)
        text = f"Put everything away before {names} is about again: sleep guards only against what is stored."
        yield Caution(text=text, source="common practice, no source")
