"""What is installed with Lapful, as each package's own metadata declares its licence."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from service.static import PAGE

_US = "lapful"
_NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9._-]*")
_LONGEST = 60


def licence_lines() -> Iterator[str]:
    """Name, version and licence of Lapful, of everything that it needs, and of what is in the page."""
    needed: dict[str, Distribution] = {}
    for name in (_US, *_in_the_repository()):
        _gather(name, needed)
    for name in sorted(needed):
        one = needed[name]
        yield f"{one.metadata['Name']} {one.version}: {licence_of(one)}"
    yield from _page_lines(PAGE / "licences")


def _in_the_repository() -> list[str]:
    """What Lapful needs, where it is run without being installed."""
    file = Path(__file__).parents[2] / "pyproject.toml"
    if not file.is_file():
        return []
    lines = tomllib.loads(file.read_text())["project"]["dependencies"]
    return [found.group() for found in map(_NAME.match, lines) if found]


def _gather(name: str, found: dict[str, Distribution]) -> None:
    key = re.sub(r"[-_.]+", "-", name).lower()
    if key in found:
        return
    try:
        found[key] = distribution(name)
    except PackageNotFoundError:
        # Needed on other systems only, or Lapful itself run without being installed.
        return
    for line in found[key].requires or ():
        wanted = _NAME.match(line)
        if wanted and "extra ==" not in line:
            _gather(wanted.group(), found)


def licence_of(one: Distribution) -> str:
    """The licence expression (PEP 639), else what older metadata say."""
    metadata = one.metadata
    if "License-Expression" in metadata:
        return metadata["License-Expression"]
    classifiers = metadata.get_all("Classifier") or []
    named = [text.split(" :: ")[-1] for text in classifiers if text.startswith("License :: OSI")]
    first = metadata["License"].strip().splitlines() if "License" in metadata else []
    return ", ".join(named) or (first[0][:_LONGEST] if first else "not declared")


def _page_lines(folder: Path) -> Iterator[str]:
    if folder.is_dir():
        for file in sorted(one for one in folder.rglob("*") if one.is_file()):
            yield f"in the page: {file.relative_to(folder)}"
