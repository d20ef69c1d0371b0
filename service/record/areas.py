"""Learning areas in the words of one published framework, and which of the household's own they are.

Source: Head Start Early Learning Outcomes Framework, Office of Head Start, US Department of Health and Human
Services, 2015 (public domain): the preschool domains. Tags beside them are our own and say so.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from solver.domain.activity import AreaTarget, Kind
from solver.domain.base import AreaId, Frozen, Name, Text

SOURCE = "Head Start Early Learning Outcomes Framework, US HHS, Office of Head Start, 2015"


class Domain(StrEnum):
    """The preschool domains, named as published."""

    APPROACHES = "Approaches to Learning"
    SOCIAL = "Social and Emotional Development"
    LANGUAGE = "Language and Communication"
    LITERACY = "Literacy"
    MATHS = "Mathematics Development"
    SCIENCE = "Scientific Reasoning"
    MOTOR = "Perceptual, Motor, and Physical Development"


class OwnTag(StrEnum):
    """Tags of our own, for what the framework has no domain of its own for."""

    ARTS = "creative arts"
    MUSIC = "music and rhyme"
    PRACTICAL = "practical life"
    WORLD = "people, places, past"
    SECOND_LANGUAGE = "second language"


OWN_MARK = "our own tag, not in the framework"
_BY_AREA: dict[str, Domain | OwnTag] = {
    "MA": Domain.MATHS,
    "SC": Domain.SCIENCE,
    "AR": OwnTag.ARTS,
    "PR": Domain.APPROACHES,
    "MU": OwnTag.MUSIC,
    "GM": Domain.MOTOR,
    "FM": Domain.MOTOR,
    "SE": Domain.SOCIAL,
    "PL": OwnTag.PRACTICAL,
    "WO": OwnTag.WORLD,
    "L2": OwnTag.SECOND_LANGUAGE,
    "AL": Domain.APPROACHES,
}
_WITH_PRINT = (Kind.READ_ALOUD, Kind.LETTERS, Kind.ONE_ON_ONE)
"""Kinds whose talk is about books and letters: Literacy; other talk is Language and Communication."""


class Subject(Frozen):
    """What minutes are added up under."""

    name: Name
    own: bool
    """True: a tag of our own or of the household."""


class CrossWalk(Frozen):
    """Where a domain goes on in kindergarten."""

    domain: Domain
    goes_on_in: Text
    standing: Annotated[str, Field(max_length=200)]


_CCSS = "Common Core State Standards, kindergarten, NGA Center and CCSSO 2010 (counts quoted)"
KINDERGARTEN: tuple[CrossWalk, ...] = (
    CrossWalk(
        domain=Domain.MATHS,
        goes_on_in="K.CC counting and cardinality (7), K.OA operations (5), K.NBT numbers to 19 (1), "
        "K.MD measurement and data (3), K.G geometry (6)",
        standing=_CCSS,
    ),
    CrossWalk(domain=Domain.LITERACY, goes_on_in="RF.K print, sounds, letters", standing=_CCSS),
    CrossWalk(
        domain=Domain.LANGUAGE,
        goes_on_in="SL.K speaking and listening, L.K language",
        standing="Common Core State Standards 2010, from memory",
    ),
    CrossWalk(
        domain=Domain.SCIENCE,
        goes_on_in="K-PS2 pushes and pulls, K-PS3 sunlight, K-LS1 what living things need, K-ESS2 and K-ESS3 "
        "weather and places",
        standing="Next Generation Science Standards 2013 (quoted)",
    ),
    CrossWalk(
        domain=Domain.MOTOR,
        goes_on_in="no domain in these documents; many places have their own",
        standing="our own note",
    ),
    CrossWalk(
        domain=Domain.SOCIAL,
        goes_on_in="no domain in these documents; many places have their own",
        standing="our own note",
    ),
    CrossWalk(
        domain=Domain.APPROACHES,
        goes_on_in="no domain in these documents; many places have their own",
        standing="our own note",
    ),
)


def subject_of(area: AreaId, kind: Kind | None, areas: tuple[AreaTarget, ...]) -> Subject:
    """The domain or own tag of one of the household's areas."""
    if area == "LL":
        domain = Domain.LITERACY if kind in _WITH_PRINT else Domain.LANGUAGE
        return Subject(name=domain.value, own=False)
    known = _BY_AREA.get(area)
    if known is not None:
        return Subject(name=known.value, own=isinstance(known, OwnTag))
    name = next((one.name for one in areas if one.id == area), area)
    return Subject(name=name, own=True)
