"""What Lapful is made of, in the CycloneDX format (ECMA-424), for whoever checks it against known flaws."""

from __future__ import annotations

import datetime
import json
import uuid
from collections.abc import Iterator
from importlib.metadata import Distribution
from typing import Any
from urllib.parse import quote

from service.care.licences import PagePart, licence_of, made_with, page_parts, plain_name, wanted_by
from service.routes import our_version

SPEC = "1.6"


def sbom() -> str:
    """The list of parts as CycloneDX JSON: ourselves, what is installed, what is inside the page."""
    installed, page = made_with(), page_parts()
    us = {"type": "application", "bom-ref": "lapful", "name": "lapful", "version": our_version()}
    made: dict[str, Any] = {
        "$schema": f"http://cyclonedx.org/schema/bom-{SPEC}.schema.json",
        "bomFormat": "CycloneDX",
        "specVersion": SPEC,
        "serialNumber": f"urn:uuid:{uuid.uuid4()}",
        "version": 1,
        "metadata": {
            "timestamp": datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds"),
            "component": us,
        },
        "components": [*map(_installed, installed.values()), *map(_in_the_page, page)],
        "dependencies": [*_dependencies(installed, page)],
    }
    return json.dumps(made, indent=2, ensure_ascii=False)


def _installed(one: Distribution) -> dict[str, Any]:
    name, licence = plain_name(one.name), licence_of(one)
    expressed = "License-Expression" in one.metadata
    return _part(
        f"pkg:pypi/{quote(name)}@{quote(one.version)}",
        name=name,
        version=one.version,
        licences=[{"expression": licence} if expressed else {"license": {"name": licence}}],
    )


def _in_the_page(one: PagePart) -> dict[str, Any]:
    # A purl keeps the slash of a scope, and escapes its sign.
    purl = f"pkg:npm/{quote(one['name'])}@{quote(one['version'])}"
    return _part(
        purl,
        name=one["name"],
        version=one["version"],
        licences=[{"expression": one["licence"]}],
    )


def _part(purl: str, *, name: str, version: str, licences: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "type": "library",
        "bom-ref": purl,
        "name": name,
        "version": version,
        "purl": purl,
        "licenses": licences,
    }


def _dependencies(installed: dict[str, Distribution], page: list[PagePart]) -> Iterator[dict[str, Any]]:
    refs = {key: _installed(one)["bom-ref"] for key, one in installed.items()}
    inside = [_in_the_page(one)["bom-ref"] for one in page]
    yield {"ref": "lapful", "dependsOn": sorted({*_known(wanted_by(None), refs), *inside})}
    for key, one in installed.items():
        yield {"ref": refs[key], "dependsOn": sorted({*_known(wanted_by(one), refs)})}
    yield from ({"ref": one, "dependsOn": []} for one in inside)


def _known(names: list[str], refs: dict[str, str]) -> Iterator[str]:
    return (refs[name] for name in names if name in refs)
