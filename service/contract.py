"""Our OpenAPI document, from which the page's types are made."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from service.errors import Problem, StaleProblem
from service.problems import MEDIA_TYPE
from solver.domain.faults import Fault

_REFERENCE = "#/components/schemas/"
DEFAULT_RESPONSES: dict[int | str, dict[str, Any]] = {
    "default": {
        "description": "What went wrong, and how to mend it (RFC 9457)",
        "content": {MEDIA_TYPE: {"schema": {"$ref": f"{_REFERENCE}Problem"}}},
    }
}


def contract(app: FastAPI) -> dict[str, Any]:
    """The OpenAPI document, made once."""
    if app.openapi_schema is None:
        made = get_openapi(title=app.title, version=app.version, summary=app.summary, routes=app.routes)
        schemas = made["components"]["schemas"]
        schemas["Problem"] = Problem.model_json_schema(
            mode="serialization", ref_template=_REFERENCE + "{model}"
        )
        schemas["Problem"].pop("$defs", None)
        schemas["StaleProblem"] = StaleProblem.model_json_schema(
            mode="serialization", ref_template=_REFERENCE + "{model}"
        )
        schemas["StaleProblem"].pop("$defs", None)
        _tell_stale(made)
        schemas["Fault"] = Fault.model_json_schema(mode="serialization")
        app.openapi_schema = _plain_names(made)
    return app.openapi_schema


def _tell_stale(document: dict[str, Any]) -> None:
    """Every write that asks for a version may be answered with both."""
    described = {
        "description": "It was changed in the meantime; both versions are told",
        "content": {MEDIA_TYPE: {"schema": {"$ref": f"{_REFERENCE}StaleProblem"}}},
    }
    for path in document["paths"].values():
        for operation in path.values():
            if any(one["name"] == "if-match" for one in operation.get("parameters", ())):
                operation["responses"]["412"] = described


def _plain_names(document: dict[str, Any]) -> dict[str, Any]:
    """What is sent has the domain's name; what is taken, where it differs, ends in ``Input``."""
    text = json.dumps(document)
    text = re.sub(r'([/"])([A-Za-z]+)-Output"', r'\1\2"', text)
    text = re.sub(r'([/"])([A-Za-z]+)-Input"', r'\1\2Input"', text)
    named: dict[str, Any] = json.loads(text)
    return named


def codes_in(document: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Each field of the contract with the values it may have, where these are fixed."""
    schemas = document["components"]["schemas"]
    for schema in schemas.values():
        for name, field in schema.get("properties", {}).items():
            yield from ((name, value) for value in _fixed(field, schemas))


def _fixed(field: Any, schemas: dict[str, Any]) -> Iterator[str]:
    if isinstance(field, list):
        for one in field:
            yield from _fixed(one, schemas)
    elif isinstance(field, dict):
        named = schemas.get(str(field.get("$ref")).removeprefix(_REFERENCE), {})
        for values in (field.get("enum", ()), named.get("enum", ())):
            yield from (value for value in values if isinstance(value, str))
        yield from _fixed([field[key] for key in ("anyOf", "oneOf", "items") if key in field], schemas)
