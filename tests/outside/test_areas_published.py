"""The record's areas against the published framework, and its figures against published ones.

Sources: Head Start Early Learning Outcomes Framework, Office of Head Start, US HHS, 2015 (public domain): the
preschool domains ("for preschoolers, cognition expands to include mathematical development and scientific
reasoning"); Common Core State Standards for Mathematics, kindergarten, 2010: 22 standards, CC 7, OA 5, NBT 1,
MD 3, G 6 (quoted); 24 P.S. section 13-1327.1 (180 days or 900 hours, an example only); WHO 2019.
"""

from __future__ import annotations

import re

from service.record.areas import KINDERGARTEN, Domain, OwnTag, subject_of
from service.record.gentle import SCREEN_MOST
from service.record.minutes import each
from solver.domain.activity import Kind
from solver.domain.document import Document
from tests.outside.test_sleep_published import DEMO

ELOF_2015_PRESCHOOL = [
    "Approaches to Learning",
    "Social and Emotional Development",
    "Language and Communication",
    "Literacy",
    "Mathematics Development",
    "Scientific Reasoning",
    "Perceptual, Motor, and Physical Development",
]


def test_domains_are_named_as_published() -> None:
    assert [domain.value for domain in Domain] == ELOF_2015_PRESCHOOL


def test_nothing_of_our_own_passes_for_published() -> None:
    house = Document.model_validate_json(DEMO[0].read_text()).household
    for area in house.areas:
        subject = subject_of(area.id, Kind.CIRCLE, house.areas)
        assert subject.own == (subject.name not in ELOF_2015_PRESCHOOL)
    assert not {tag.value for tag in OwnTag} & set(ELOF_2015_PRESCHOOL)
    assert subject_of("AR", None, house.areas).name == "creative arts"
    assert subject_of("PL", None, house.areas).name == "practical life"


def test_books_and_letters_are_literacy_other_talk_is_language() -> None:
    assert subject_of("LL", Kind.LETTERS, ()).name == "Literacy"
    assert subject_of("LL", Kind.CIRCLE, ()).name == "Language and Communication"


def test_the_kindergarten_cross_walk_names_the_domains_of_the_standards() -> None:
    assert [one.domain.value for one in KINDERGARTEN if one.domain is Domain.MATHS]
    maths = next(one for one in KINDERGARTEN if one.domain is Domain.MATHS).goes_on_in
    counts = [int(number) for number in re.findall(r"\((\d+)\)", maths)]
    assert counts == [7, 5, 1, 3, 6]
    assert sum(counts) == 22
    assert re.findall(r"K\.[A-Z]+", maths) == ["K.CC", "K.OA", "K.NBT", "K.MD", "K.G"]
    assert {one.domain for one in KINDERGARTEN} == set(Domain)
    assert all("1-ESS1" not in one.goes_on_in for one in KINDERGARTEN), "that is grade 1"


def test_nine_hundred_hours_in_a_hundred_and_eighty_days_are_five_a_day() -> None:
    assert each(900, 180) == 5


def test_the_screen_figure_is_the_published_one() -> None:
    assert SCREEN_MOST == 60
