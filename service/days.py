"""Days that a family can mean: far enough from both ends of the calendar to count from them."""

from __future__ import annotations

import datetime
from typing import Annotated

from pydantic import Field

EVER, FOREVER = datetime.date(1970, 1, 1), datetime.date(2199, 12, 31)
SaneDay = Annotated[datetime.date, Field(ge=EVER, le=FOREVER)]
