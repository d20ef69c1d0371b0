"""What the look-up of known flaws makes of the tools' answers, in the forms in which they gave them."""

from __future__ import annotations

import json

import pytest

from tests.audit import KNOWN, SILENT, Found, of_page, of_python

SILENT_MIRROR = {
    "dependencies": [{"name": "acorn", "skip_reason": "Dependency not found on PyPI"}],
    "fixes": [],
}
SOUND = {"dependencies": [{"name": "acorn", "version": "1.0", "vulns": []}], "fixes": []}
FLAWED = {
    "dependencies": [
        *SILENT_MIRROR["dependencies"],
        {"name": "burr", "version": "0.9", "vulns": [{"id": "PYSEC-0000-1", "fix_versions": ["1.0"]}]},
    ],
    "fixes": [],
}
LOCKED = json.dumps({"packages": {"": {}, "node_modules/moss": {}, "node_modules/fern": {}}})


@pytest.mark.parametrize(
    ("said", "found", "code"),
    [
        (SILENT_MIRROR, Found(1, 0, ()), SILENT),
        (SOUND, Found(1, 1, ()), 0),
        (FLAWED, Found(2, 1, ("burr 0.9: PYSEC-0000-1",)), KNOWN),
    ],
)
def test_python_packages(said: object, found: Found, code: int) -> None:
    assert of_python(json.dumps(said)) == found
    assert found.code == code


@pytest.mark.parametrize(
    ("said", "found", "code"),
    [
        ({"message": "405 Method Not Allowed", "statusCode": 405}, Found(2, 0, ()), SILENT),
        ({"vulnerabilities": {}, "metadata": {}}, Found(2, 2, ()), 0),
        (
            {"vulnerabilities": {"moss": {"severity": "high", "range": "<2"}}},
            Found(2, 2, ("moss: high, <2",)),
            KNOWN,
        ),
    ],
)
def test_packages_of_the_page(said: object, found: Found, code: int) -> None:
    assert of_page(json.dumps(said), LOCKED) == found
    assert found.code == code


def test_silence_is_not_called_none() -> None:
    assert "no answer" in Found(7, 0, ()).line("packages")
    assert "0 known flaws; 7 of 7" in Found(7, 7, ()).line("packages")
