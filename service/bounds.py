"""Bodies as routes take them: a flood of faults is one fault, so that nonsense is refused at once."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError, WrapValidator
from pydantic_core import PydanticCustomError
from pydantic_core.core_schema import ValidatorFunctionWrapHandler

FAULTS_TOLD_MOST = 1000


def _in_short(value: Any, inside: ValidatorFunctionWrapHandler) -> Any:
    try:
        return inside(value)
    except ValidationError as error:
        if error.error_count() <= FAULTS_TOLD_MOST:
            raise
        # Spelling out some hundred thousand faults takes seconds, and nobody would read them.
        raise PydanticCustomError(
            "too_many_faults", "this has more than a thousand faults; it is no household of ours"
        ) from None


InShort = WrapValidator(_in_short)
"""To be added to the type of a large body: ``Annotated[Household, InShort]``."""
