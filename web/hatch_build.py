"""Builds the page into the wheel, so that whoever installs the wheel needs no node."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class PageHook(BuildHookInterface[Any]):
    """Runs npm where the sources are; an sdist carries the page already built."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the page before the wheel is packed; an editable install reads it where it lies."""
        if version == "editable":
            return
        page = Path(self.root) / "service" / "page"
        if not (page / "index.html").is_file() or self._has_npm():
            self._build()

    def _has_npm(self) -> bool:
        return shutil.which("npm") is not None

    def _build(self) -> None:
        if not self._has_npm():
            raise RuntimeError("the page is not built and there is no npm; install node 20 with npm first")
        web = Path(self.root) / "web"
        for step in (["ci", "--no-audit", "--no-fund"], ["run", "build"]):
            subprocess.run(["npm", *step], cwd=web, check=True)
