"""A real ``lapful serve`` in a process of its own, or the same with a search that never ends."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]
_ADDRESS = re.compile(r"http://[\w.:]+/")


@contextmanager
def serving(
    folder: Path,
    *,
    patient: bool = False,
    port: int = 0,
    home: bool = False,
    https: bool = False,
    pulled: bool = False,
) -> Iterator[str]:
    """The address of a server on a data folder, for as long as the block runs.

    ``pulled``: it ends as if the plug were pulled, without a word.
    """
    real = ["service", "serve", "--data", str(folder), "--port", str(port)]
    real += ["--home-network"] if home else []
    real += ["--https"] if https else []
    command = [sys.executable, "-u", "-m", *(["tests.browser.patient", str(folder)] if patient else real)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as server:
        try:
            yield _address(server)
        finally:
            server.kill() if pulled else server.terminate()
            server.communicate(timeout=20)


def _address(server: subprocess.Popen[str]) -> str:
    assert server.stdout is not None
    said = []
    for line in server.stdout:
        said.append(line)
        if found := _ADDRESS.search(line):
            return found.group()
    raise AssertionError(f"the server ended before it said where it listens: {''.join(said)}")
