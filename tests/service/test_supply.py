"""What Lapful is made of: licences, pins, and the list of parts in a format that others read."""

from __future__ import annotations

import json
from functools import cache
from importlib import resources
from importlib.metadata import distribution
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from license_expression import get_spdx_licensing
from packageurl import PackageURL

from service.care import licences
from service.care.licences import licence_of
from tests.service.saying import Lapful

ROOT = Path(__file__).parents[2]
SCHEMAS = resources.files("cyclonedx") / "schema" / "_res"


def test_licences_are_listed(lapful: Lapful) -> None:
    """Against what two packages' own metadata say."""
    said = lapful("licences").out.splitlines()
    assert any(line.startswith("fastapi ") and line.endswith("MIT") for line in said)
    assert any(line.startswith("ortools ") and "Apache" in line for line in said)
    assert not any("pytest" in line for line in said), "what only the tests need is not shipped"
    assert all(
        licence_of(distribution(line.split()[0])) in line for line in said if not line.startswith("in ")
    )


def test_what_is_needed_is_pinned_for_the_tests() -> None:
    pins = {line.split("==")[0].lower() for line in (ROOT / "tests" / "constraints.txt").read_text().split()}
    for name in ("segno", "schemathesis", "fastapi", "ortools"):
        assert name in pins


@pytest.fixture
def parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page's list as its build writes it."""
    made = [
        {"name": "preact", "version": "11.2.0", "licence": "MIT"},
        {"name": "@preact/signals", "version": "2.11.4", "licence": "MIT"},
    ]
    (tmp_path / "licences").mkdir()
    (tmp_path / "licences" / "parts.json").write_text(json.dumps(made))
    monkeypatch.setattr(licences, "PAGE", tmp_path)


@cache
def published(name: str) -> Any:
    return json.loads((SCHEMAS / f"{name}.SNAPSHOT.schema.json").read_text(encoding="utf-8"))


def said(lapful: Lapful) -> Any:
    return json.loads(lapful("sbom").out)


def test_the_list_of_parts_is_what_the_standard_asks_for(lapful: Lapful) -> None:
    """CycloneDX 1.6 (ECMA-424), the schema as its own Python library carries it."""
    beside = ["spdx", "jsf-0.82", "cryptography-defs"]
    known = [(f"http://cyclonedx.org/schema/{one}.SNAPSHOT.schema.json", published(one)) for one in beside]
    registry = jsonschema_rs.Registry(known)
    validator = jsonschema_rs.Draft7Validator(published("bom-1.6"), registry=registry)
    made = said(lapful)
    assert [str(error) for error in validator.iter_errors(made)] == []
    assert not validator.is_valid(made | {"components": [{"name": "no type"}]})


def test_each_part_is_named_as_others_name_it(lapful: Lapful) -> None:
    """Package URLs by their specification, licences by SPDX, each by a reference library."""
    spdx = get_spdx_licensing()
    found = said(lapful)["components"]
    assert {"fastapi", "ortools", "typing-extensions"} <= {one["name"] for one in found}
    for one in found:
        purl = PackageURL.from_string(one["purl"])
        full = f"{purl.namespace}/{purl.name}" if purl.namespace else purl.name
        assert (full, purl.version) == (one["name"], one["version"])
        assert purl.to_string() == one["purl"]
        (licence,) = one["licenses"]
        if "expression" in licence:
            assert spdx.validate(licence["expression"]).errors == []
        if purl.type == "pypi":
            assert distribution(one["name"]).version == one["version"]


def test_what_needs_what_names_parts_of_the_list(lapful: Lapful) -> None:
    made = said(lapful)
    refs = {one["bom-ref"] for one in made["components"]}
    needs = {one["ref"]: one["dependsOn"] for one in made["dependencies"]}
    assert set(needs) == {"lapful", *refs}
    assert set().union(*needs.values()) == refs, "nothing is in the list that nothing needs"
    (fastapi,) = [needed for ref, needed in needs.items() if ref.startswith("pkg:pypi/fastapi@")]
    assert any(one.startswith("pkg:pypi/starlette@") for one in fastapi)


@pytest.mark.usefixtures("parts")
def test_what_is_inside_the_page_is_listed_too(lapful: Lapful) -> None:
    found = {one["purl"] for one in said(lapful)["components"]}
    assert {"pkg:npm/preact@11.2.0", "pkg:npm/%40preact/signals@2.11.4"} <= found
    assert "in the page: @preact/signals 2.11.4: MIT" in lapful("licences").out.splitlines()
