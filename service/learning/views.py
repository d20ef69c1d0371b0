"""Proposals."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from pydantic import Field

from solver.domain.base import Frozen, Text
from solver.domain.document import Document

REFUSED = "refused_proposal"
LEAST = 3
"""So many times before anything is proposed."""
LATEST = 5
"""The median of the latest few: robust against one odd day, and it follows a child who grows."""


class ProposalKind(StrEnum):
    """What would be changed."""

    MINUTES = "minutes"
    SETUP = "set-up"
    CLEANUP = "clean-up"
    NAP = "nap"
    DISLIKE = "dislike"
    SPAN = "span"
    GOOD_HOURS = "good hours"
    LOW_HOURS = "low hours"


class Evidence(Frozen):
    """One time."""

    date: datetime.date
    value: Text


class Proposal(Frozen):
    """What the log suggests; nothing changes until somebody takes it."""

    id: Annotated[str, Field(pattern=r"^[0-9a-f]{16}$")]
    kind: ProposalKind
    sentence: Text
    was: Text
    now: Text
    how: Text
    """How it was worked out, so that anybody can do it by hand."""
    evidence: tuple[Evidence, ...]


class Refused(Frozen):
    """A proposal that was refused, and the last day that spoke for it then."""

    until: datetime.date


@dataclass(frozen=True)
class Found:
    """A proposal with the change it stands for."""

    proposal: Proposal
    edit: Callable[[Document], Document]
