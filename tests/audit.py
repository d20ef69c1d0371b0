"""Asks the registries for known flaws in what Lapful is made with: ``python tests/audit.py``.

Ends with 1 when there are some, and with 3 when a registry gave no answer about anything: a mirror may hold
the packages and nothing on their flaws, and silence is not the same as none.
"""

from __future__ import annotations

import json
import subprocess
import sys
import venv
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
TOOLS = ROOT / ".venv" / "audit"
PINS = ROOT / "tests" / "constraints.txt"
KNOWN, SILENT = 1, 3


class Found(NamedTuple):
    """What a registry said."""

    asked: int
    answered: int
    flaws: tuple[str, ...]

    @property
    def code(self) -> int:
        """The exit code that this comes to."""
        return KNOWN if self.flaws else 0 if self.answered else SILENT

    def line(self, what: str) -> str:
        """The same in a sentence."""
        if not self.answered:
            return f"{what}: the registry gave no answer about flaws in any of {self.asked}"
        return f"{what}: {len(self.flaws)} known flaws; {self.answered} of {self.asked} were looked up"


def of_python(said: str) -> Found:
    """What pip-audit's JSON tells."""
    parts = json.loads(said)["dependencies"]
    answered = [one for one in parts if "skip_reason" not in one]
    flaws = [f"{one['name']} {one['version']}: {flaw['id']}" for one in answered for flaw in one["vulns"]]
    return Found(len(parts), len(answered), tuple(flaws))


def of_page(said: str, locked: str) -> Found:
    """What npm's JSON tells, and how many packages its lock file names."""
    asked = len(json.loads(locked)["packages"]) - 1
    answer = json.loads(said)
    if "vulnerabilities" not in answer:
        return Found(asked, 0, ())
    flaws = [f"{name}: {one['severity']}, {one['range']}" for name, one in answer["vulnerabilities"].items()]
    return Found(asked, asked, tuple(flaws))


def _ask(*words: str | Path) -> str:
    return subprocess.run(words, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=False).stdout


def _ask_python() -> Found:
    if not TOOLS.exists():
        venv.create(TOOLS, with_pip=True)
        subprocess.run([TOOLS / "bin" / "pip", "install", "--quiet", "pip-audit"], check=True)
    tool, pinned = TOOLS / "bin" / "pip-audit", ("--no-deps", "--disable-pip", "--requirement", PINS)
    return of_python(_ask(tool, "--format", "json", "--progress-spinner", "off", *pinned))


def _ask_page() -> Found:
    said = _ask("npm", "audit", "--json", "--prefix", "web")
    return of_page(said, (ROOT / "web" / "package-lock.json").read_text(encoding="utf-8"))


def main() -> None:
    """Ask both registries."""
    found = {"Python packages": _ask_python(), "packages of the page": _ask_page()}
    for what, one in found.items():
        print(one.line(what), *one.flaws, sep="\n  ")
    codes = {one.code for one in found.values()}
    sys.exit(KNOWN if KNOWN in codes else max(codes))


if __name__ == "__main__":
    main()
