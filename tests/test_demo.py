"""The demo documents: made from their parts, whole, safe to show, and able to tell their story."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from demo import make
from solver.candidates import Candidates, enumerate_candidates
from solver.clock import minutes_of, slot_text, span_of
from solver.domain.activity import Activity, Hazard, Sitting
from solver.domain.base import Day, Mess, clock_text
from solver.domain.document import Document
from solver.domain.people import Allergen, Child
from solver.domain.plan import Plan
from solver.domain.week import Rank, Week
from solver.outline import Outline
from solver.search import solve

DEMO = Path(make.__file__).parent
NAMES = ["pond-week.json", "bread-week.json", "broken-promise.json", "small.json"]


def document(name: str) -> Document:
    return Document.model_validate_json((DEMO / name).read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def pond() -> Document:
    return document("pond-week.json")


@pytest.fixture(scope="module")
def bread() -> Document:
    return document("bread-week.json")


def activity(whole: Document, name: str) -> Activity:
    return next(a for a in whole.activities if a.id == name)


def sittings_wished(whole: Document, rank: Rank | None = None) -> int:
    wishes = [w for w in whole.weeks[0].wishes if rank in (None, w.rank)]
    return sum(w.times * len(activity(whole, w.activity).sittings) for w in wishes)


def with_wishes(whole: Document, wishes: list[dict[str, Any]], **week: Any) -> Document:
    raw = whole.model_dump(mode="json")
    raw["weeks"][0] |= {"wishes": wishes, "spare": [], **week}
    return Document.model_validate(raw)


def candidates_of(whole: Document, **wish: Any) -> Candidates:
    return enumerate_candidates(Outline(with_wishes(whole, [{"id": "only", **wish}]).problem()))


class TestMaking:
    def test_the_committed_files_are_what_is_made(self) -> None:
        made = make.documents()
        assert sorted(made) == sorted(NAMES) == sorted(p.name for p in DEMO.glob("*.json"))
        for name, one in made.items():
            assert (DEMO / name).read_text(encoding="utf-8") == make.laid_out(one) + "\n"

    @pytest.mark.parametrize("name", NAMES)
    def test_each_is_a_whole_household_file(self, name: str) -> None:
        problem = document(name).problem()
        assert {a.id for a in problem.activities} >= {w.activity for w in problem.week.wishes}

    @pytest.mark.parametrize("part", sorted((DEMO / "parts").glob("*.json")), ids=lambda p: p.stem)
    def test_each_part_is_used(self, part: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        read: list[str] = []
        whole = make.part
        monkeypatch.setattr(make, "part", lambda name: read.append(name) or whole(name))
        make.documents()
        assert part.stem in read

    def test_what_fits_on_a_line_stays_on_it(self) -> None:
        assert make.laid_out({"a": [1, 2]}) == '{"a": [1, 2]}'
        long = make.laid_out({"a": ["x" * 80, "y" * 80]})
        assert json.loads(long) == {"a": ["x" * 80, "y" * 80]}
        assert len(long.splitlines()) == 6

    def test_the_first_look_carries_only_what_it_uses(self) -> None:
        small = document("small.json")
        assert len(small.activities) == 12
        needs = {n.material for a in small.activities for s in a.all_sittings for n in s.needs}
        assert {m.id for m in small.household.materials} == needs
        assert all(child.learner for child in small.household.children)
        assert len(small.household.adults) == 1


class TestCatalogue:
    def test_sixty_activities(self, pond: Document) -> None:
        themes = [a.theme for a in pond.activities]
        counts = {theme: themes.count(theme) for theme in themes}
        assert counts == {"pond life": 26, "bread and grain": 26, None: 8}

    def test_each_has_a_lighter_way_that_is_no_longer(self, pond: Document) -> None:
        for one in pond.activities:
            assert one.lighter is not None
            for version, part in one.lighter.sitting.parts.items():
                assert part.minutes <= sum(s.parts[version].minutes for s in one.sittings if s.parts)
            assert one.lighter.sitting.mess <= max(s.mess for s in one.sittings)

    def test_each_hazard_is_told_in_words_too(self, pond: Document) -> None:
        silent = {a.id for a in pond.activities if a.hazards and not a.caution}
        assert silent == {"P07"}, "salt speckle on paper is said by the gate alone"

    def test_flour_and_grain_name_wheat_or_gluten(self, pond: Document) -> None:
        """FD&C Act 201(qq): wheat is a major allergen; craft doughs hold it too."""
        words = {"flour", "wheat-grains", "sandwich-bread", "tasting-bread", "peas-and-wheat", "pasta"}
        for one in pond.activities:
            needs = {n.material for s in one.sittings for n in s.needs}
            if needs & words or "dough" in {task.id for task in one.prep}:
                assert {Allergen.WHEAT, Allergen.GLUTEN} <= set(one.allergens), one.id

    @pytest.mark.parametrize(
        ("material", "hazard"),
        [
            ("balloon", Hazard.BALLOON),
            ("paper-fastener", Hazard.SMALL_PART),
            ("toy-coins", Hazard.SMALL_PART),
            ("clothes-pegs", Hazard.SMALL_PART),
            ("wheat-grains", Hazard.DRY_GRAIN),
            ("rolled-oats", Hazard.DRY_GRAIN),
            ("peas-and-wheat", Hazard.DRY_GRAIN),
            ("flour", Hazard.RAW_FLOUR),
            ("shallow-tub", Hazard.WATER),
            ("dipping-net", Hazard.OPEN_WATER),
            ("lidded-jar", Hazard.GLASS),
            ("child-scissors", Hazard.SHARP),
            ("ribbon", Hazard.LONG_STRING),
            ("wool", Hazard.LONG_STRING),
            ("salt", Hazard.SALT),
            ("oven", Hazard.HOT),
            ("hob", Hazard.HOT),
            ("cling-film", Hazard.PLASTIC_FILM),
            ("bubble-wrap", Hazard.PLASTIC_FILM),
            ("zip-bag", Hazard.PLASTIC_FILM),
        ],
    )
    def test_what_is_needed_brings_its_hazard(self, pond: Document, material: str, hazard: Hazard) -> None:
        """Small parts: 16 CFR 1501; balloons: 16 CFR 1500.19; raw flour: CDC, FDA; water: Caring for Our
        Children 2.2.0.4; the rest common practice, no source. A pinch of salt in bread is no hazard."""
        users = [a for a in pond.activities for s in a.sittings if material in {n.material for n in s.needs}]
        assert users
        assert {a.id for a in users if hazard not in a.hazards} <= ({"B04"} if material == "salt" else set())

    def test_dough_never_waits_at_will(self, pond: Document) -> None:
        rises = [w for a in pond.activities for w in a.waits if w.kind in ("rise", "ferment")]
        assert rises
        assert all(w.most_min is not None for w in rises)

    def test_no_prep_is_longer_ahead_than_a_week_has_evenings(self, pond: Document) -> None:
        for one in pond.activities:
            for task in one.prep:
                assert task.lead_min <= 2 * 24 * 60, f"{one.id}: {task.name}"

    def test_every_supply_is_in_the_cupboard_or_on_the_list(self, pond: Document) -> None:
        stores = {m.id: m for m in pond.household.materials}
        for one in pond.activities:
            for need in (n for s in one.sittings for n in s.needs):
                store = stores[need.material]
                children = 2 if need.each_child else 1
                assert store.count >= need.count * children or store.buyable, f"{one.id}: {need.material}"


def hours_asleep(child: Child) -> float:
    return (24 * 60 - (child.bed - child.wake) + sum(nap.length_min for nap in child.naps)) / 60


class TestHouseholds:
    @pytest.mark.parametrize("name", ["pond-week.json", "small.json"])
    def test_everybody_sleeps_as_long_as_is_recommended(self, name: str) -> None:
        """American Academy of Sleep Medicine, J Clin Sleep Med 2016;12(6):785-786, naps included."""
        whole = document(name)
        monday = whole.weeks[0].monday
        for child in whole.household.children:
            months = child.age_months(monday.year, monday.month)
            least, most = (12, 16) if months < 12 else (11, 14) if months < 36 else (10, 13)
            assert least <= hours_asleep(child) <= most, child.name

    def test_out_of_doors_and_screens(self, pond: Document) -> None:
        """Two to three occasions a day (Caring for Our Children 3.1.3.1); at most an hour of screen at 2-5
        (AAP, Pediatrics 2016;138(5):e20162591)."""
        assert 2 <= pond.household.limits.outdoor_times_a_day <= 3
        assert pond.household.limits.screen_min_a_day <= 60

    def test_leaving_and_coming_back(self, pond: Document) -> None:
        week: Week = pond.weeks[0]
        taken = {p.id: (p.days[0], p.taken_from, p.taken_until) for p in week.fixed_points}
        assert taken == {
            "library": (Day.MONDAY, 10 * 60 + 10, 11 * 60 + 35),
            "check-up": (Day.TUESDAY, 10 * 60 + 50, 12 * 60 + 5),
            "swim": (Day.WEDNESDAY, 14 * 60 + 55, 16 * 60 + 45),
            "co-op": (Day.FRIDAY, 9 * 60 + 5, 11 * 60 + 55),
        }


class TestPondWeek:
    def test_forty_three_sittings(self, pond: Document) -> None:
        assert sittings_wished(pond) == 43
        assert sittings_wished(pond, Rank.STAPLE) == 20
        assert sittings_wished(pond, Rank.PROMISE) == 5

    def span(self, whole: Document, name: str, index: int, place: str) -> tuple[int, Sitting]:
        sitting = activity(whole, name).sittings[index]
        longest = max(part.minutes for part in sitting.parts.values())
        where = next(p for p in whole.household.places if p.id == place)
        span = span_of(sitting, longest, where, whole.household.limits)
        return minutes_of(span.before + span.after), sitting

    def test_the_first_layer_fills_the_nap_before_the_library(self, pond: Document) -> None:
        """10 to lay out, 25, 15 to clear: from Moss asleep at 9:15 to 10:05, 5 minutes before leaving."""
        length, sitting = self.span(pond, "P10", 0, "table")
        assert length == 50
        assert sitting.mess is Mess.FLOOR_AND_CLOTHES
        starts = [c for c in candidates_of(pond, activity="P10").all if c.task.sitting == 0]
        assert {slot_text(c.first) for c in starts if c.day is Day.MONDAY} == {"09:25"}
        assert {slot_text(c.last) for c in starts if c.day is Day.MONDAY} == {"09:25"}

    def test_the_pond_takes_two_adults_for_almost_two_hours(self, pond: Document) -> None:
        """15 to pack, 15 out of the door, 10 there, 50, 10 back, 15 to clear."""
        assert self.span(pond, "P04", 0, "pond")[0] == 115
        found = candidates_of(pond, activity="P04").all
        assert {c.day for c in found} == {Day.WEDNESDAY}
        assert min(slot_text(c.first) for c in found) == "10:10"

    def test_portuguese_only_while_the_grandmother_is_here(self, pond: Document) -> None:
        found = candidates_of(pond, activity="P01", language="Portuguese").all
        assert {c.day for c in found} == {Day.THURSDAY}
        assert all("avo" in c.option.helpers for c in found)

    def test_the_card_sets_need_more_than_any_evening_has(self, pond: Document) -> None:
        longest = max(evening.minutes for evening in pond.household.limits.prep)
        assert all(activity(pond, one).prep[0].minutes > longest for one in ("P05", "P18"))


class TestBrokenPromise:
    def test_water_wants_two_adults_and_the_sky_is_dry_when_there_is_one(self) -> None:
        found = candidates_of(document("broken-promise.json"), activity="P04")
        assert not found.all
        (rules,) = found.blocked.values()
        assert set(rules) == {"helper_on_hand", "weather"}

    def test_the_adult_who_is_away_on_wednesday_would_bring_it_back(self) -> None:
        whole = document("broken-promise.json")
        raw = whole.model_dump(mode="json")
        home = raw["weeks"][0]["hours"]["theo"][1]
        home["days"] = [*home["days"], "wednesday"]
        found = candidates_of(Document.model_validate(raw), activity="P04").all
        assert {c.day for c in found} == {Day.WEDNESDAY}


def baked(whole: Document, day: str, meal: str, **week: Any) -> Plan:
    """A week with nothing but bread on one day."""
    wish = {"id": "rolls", "activity": "B04", "rank": "promise", "days": [day], "meals": [meal]}
    return solve(with_wishes(whole, [wish], **week).problem(), seconds=5, workers=1)


class TestBreadWeek:
    def test_about_forty_sittings(self, bread: Document) -> None:
        assert sittings_wished(bread) == 41
        assert sittings_wished(bread, Rank.STAPLE) == 20

    @pytest.mark.parametrize(
        ("day", "meal", "times"),
        [
            ("wednesday", "lunch", 1),
            ("thursday", "lunch", 1),
            ("tuesday", "lunch", 1),
            ("monday", "lunch", 0),
            ("monday", "snack", 1),
            ("friday", "lunch", 0),
        ],
    )
    def test_when_bread_is_eaten(self, bread: Document, day: str, meal: str, times: int) -> None:
        assert len(baked(bread, day, meal).bookings) == 4 * times

    def test_on_tuesday_the_other_adult_shapes_it_for_lunch(self, bread: Document) -> None:
        by_sitting = {b.sitting: b.helpers for b in baked(bread, "tuesday", "lunch").bookings}
        assert by_sitting[1] == ("theo",)

    def test_on_tuesday_alone_it_is_a_snack(self, bread: Document) -> None:
        assert not baked(bread, "tuesday", "lunch", hours={"theo": []}).bookings
        alone = baked(bread, "tuesday", "snack", hours={"theo": []}).bookings
        starts = {b.sitting: clock_text(b.start) for b in alone}
        assert starts[1] == "12:05", "home again, at the far end of the first rise"
        assert "12:50" <= starts[2] <= "13:20"
