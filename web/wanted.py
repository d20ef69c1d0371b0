"""Prints the part of our OpenAPI document that the page reads, from which its types are made.

The service may grow resources that the page does not know; they need not touch its types.
"""

from __future__ import annotations

import json
import re
from typing import Any

from service.openapi import document_text

READ = (
    "WeekView", "Job", "Problem", "Item", "Marks", "Arrived", "WhyAnswer", "MoveVerdict",
    "Change", "Activity", "Kept", "Moment", "Device", "Invitation",
    "Draft", "Friday", "LogLine", "Observation", "Proposal", "Report", "Answers", "Choices", "Started",
    "Ahead", "ThemeCost", "SoftWeek", "Step", "Shelved", "Imported", "ForChildren", "Printable", "Loan",
    "Feed", "FeedMade", "CoopDay", "Clear", "Turns", "Complaint", "GentleNote", "CrossWalk",
)  # fmt: skip
_REFERENCE = re.compile(r'"#/components/schemas/(\w+)"')


def reachable(schemas: dict[str, Any]) -> dict[str, Any]:
    """The schemas that the page reads, with all that they mention."""
    open_names, found = list(READ), {}
    while open_names:
        name = open_names.pop()
        if name not in found:
            found[name] = schemas[name]
            open_names += _REFERENCE.findall(json.dumps(schemas[name]))
    return dict(sorted(found.items()))


def wanted_text() -> str:
    """A document with those schemas alone."""
    whole = json.loads(document_text())
    schemas = reachable(whole["components"]["schemas"])
    about = {"title": whole["info"]["title"], "version": "0"}
    part = {"openapi": whole["openapi"], "info": about, "paths": {}, "components": {"schemas": schemas}}
    return json.dumps(part)


if __name__ == "__main__":
    print(wanted_text())
