"""The wheel, built and installed where there is no node: it brings all it needs, and it runs by itself."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from email.parser import Parser
from pathlib import Path

import httpx2 as httpx
import pytest

from service.static import is_built
from solver.domain.plan import Plan

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
PATIENCE_S = 60


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Packed with the page as it lies there; with npm at hand it would be built anew."""
    assert is_built(), "the page is not built; run tests/run, or npm --prefix web run build"
    out = tmp_path_factory.mktemp("wheel")
    words = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(out)]
    subprocess.run(words, cwd=ROOT, env=without_node(out), check=True, capture_output=True)
    (made,) = out.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel alone; what it needs is there already, from the tests' own environment."""
    folder = tmp_path_factory.mktemp("installed")
    words = ["-m", "pip", "install", "--quiet", "--no-index", "--no-deps", "--no-compile"]
    subprocess.run([sys.executable, *words, "--target", str(folder), str(wheel)], check=True)
    return folder


def without_node(folder: Path) -> dict[str, str]:
    """An environment in which no other program is found, and Lapful only in this folder."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return kept | {
        "PATH": str(folder / "bin"),
        "PYTHONPATH": str(folder),
        "XDG_DATA_HOME": str(folder / "home"),
    }


def lapful(installed: Path, *words: object) -> str:
    command = [installed / "bin" / "lapful", *map(str, words)]
    environment = without_node(installed)
    done = subprocess.run(
        command,
        cwd=installed,
        env=environment,
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
    assert done.stderr == ""
    return done.stdout


def test_what_is_in_it(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        names = packed.namelist()
        (about,) = [name for name in names if name.endswith("METADATA")]
        needed = Parser().parsestr(packed.read(about).decode()).get_all("Requires-Dist") or []
    assert {name.split("/")[0] for name in names} == {"service", "solver", about.split("/")[0]}
    for wanted in ("service/page/index.html", "service/page/licences/parts.json", "service/paper/paper.css"):
        assert wanted in names
    assert {f"service/demo_data/{one.name}" for one in (ROOT / "demo").glob("*.json")} <= set(names)
    for folder in ("service", "solver"):
        sources = {one.relative_to(ROOT).as_posix() for one in (ROOT / folder).rglob("*.py")}
        assert sources <= set(names), "a module that was left behind"
    assert len([line for line in needed if "extra ==" not in line]) == len(PROJECT["dependencies"])


def test_it_is_the_installed_one_that_runs(installed: Path) -> None:
    said = lapful(installed, "doctor", "--port", 1)
    assert f"Lapful {PROJECT['version']} on Python" in said
    assert "the page is there" in said
    assert "not built" not in said


def test_it_plans(installed: Path) -> None:
    file = installed / "service" / "demo_data" / "small.json"
    printed = lapful(installed, "plan", file, "--seconds", 1, "--workers", 1, "--json")
    assert Plan.model_validate_json(printed).bookings


@pytest.fixture
def address(installed: Path, tmp_path: Path) -> Iterator[str]:
    command = [installed / "bin" / "lapful", "serve", "--port", "0", "--data", tmp_path / "data"]
    environment = without_node(installed)
    with subprocess.Popen(
        command, cwd=tmp_path, env=environment, stdout=subprocess.PIPE, text=True
    ) as server:
        assert server.stdout is not None
        try:
            yield server.stdout.readline().split(" at ")[1].split(" ")[0]
        finally:
            server.send_signal(signal.SIGTERM)
            server.communicate(timeout=PATIENCE_S)
        assert server.returncode == 0


def test_it_serves_the_page_with_all_its_parts(address: str) -> None:
    with httpx.Client(base_url=address, timeout=PATIENCE_S) as client:
        assert client.get("api/health").json()["page_built"] is True
        page = client.get("")
        assert page.status_code == 200
        parts = re.findall(r'(?:src|href)="\./([^"]+)"', page.text)
        assert any(part.endswith(".js") for part in parts)
        for part in parts:
            assert client.get(part).status_code == 200
