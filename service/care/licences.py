"""What is installed with Lapful, as each package's own metadata declares its licence."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path
from typing import TypedDict

from service.static import PAGE

_US = "lapful"
_NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9._-]*")
_LONGEST = 60


class PagePart(TypedDict):
    """A library inside the page, as the page's build notes it."""

    name: str
    version: str
    licence: str


def licence_lines() -> Iterator[str]:
    """Name, version and licence of everything that Lapful needs, and of what is in the page."""
    for one in made_with().values():
        yield f"{one.metadata['Name']} {one.version}: {licence_of(one)}"
    for part in page_parts():
        yield f"in the page: {part['name']} {part['version']}: {part['licence']}"


def made_with() -> dict[str, Distribution]:
    """Everything that is installed because Lapful needs it, by its plain name."""
    found: dict[str, Distribution] = {}
    for name in wanted_by(None):
        _gather(name, found)
    return dict(sorted(found.items()))


def wanted_by(one: Distribution | None) -> list[str]:
    """The plain names of what a package needs on any system; without one, of what Lapful needs."""
    lines = _our_lines() if one is None else one.requires or []
    named = [_NAME.match(line) for line in lines if "extra ==" not in line]
    return [plain_name(found.group()) for found in named if found]


def plain_name(name: str) -> str:
    """A package's name as names are compared (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def _our_lines() -> list[str]:
    """From the repository where Lapful is run without being installed."""
    file = Path(__file__).parents[2] / "pyproject.toml"
    if file.is_file():
        lines: list[str] = tomllib.loads(file.read_text())["project"]["dependencies"]
        return lines
    return distribution(_US).requires or []


def _gather(name: str, found: dict[str, Distribution]) -> None:
    if name in found:
        return
    try:
        found[name] = distribution(name)
    except PackageNotFoundError:
        # Needed on other systems only.
        return
    for wanted in wanted_by(found[name]):
        _gather(wanted, found)


def licence_of(one: Distribution) -> str:
    """The licence expression (PEP 639), else what older metadata say."""
    metadata = one.metadata
    if "License-Expression" in metadata:
        return metadata["License-Expression"]
    classifiers = metadata.get_all("Classifier") or []
    named = [text.split(" :: ")[-1] for text in classifiers if text.startswith("License :: OSI")]
    first = metadata["License"].strip().splitlines() if "License" in metadata else []
    return ", ".join(named) or (first[0][:_LONGEST] if first else "not declared")


def page_parts() -> list[PagePart]:
    """What is shipped inside the page; its licences lie beside the list."""
    file = PAGE / "licences" / "parts.json"
    if not file.is_file():
        return []
    parts: list[PagePart] = json.loads(file.read_text(encoding="utf-8"))
    return parts
