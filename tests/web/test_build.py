"""The page as it is shipped: fresh types, little weight, nothing from elsewhere, nothing inline."""

from __future__ import annotations

import gzip
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from service.static import PAGE
from service.views import WeekView
from solver.domain.activity import Hazard, Kind, Together, Weather
from solver.domain.people import Allergen
from solver.domain.week import Problem

ROOT = Path(__file__).parents[2]
WEB = ROOT / "web"
HERE = {**os.environ, "PYTHONPATH": str(ROOT)}
SCRIPT_LIMIT = 60 * 1024
LINE_CAP = 300
MEDIAN_CAP = 60
TEXTS = ("*.html", "*.js", "*.css", "*.svg")


@pytest.mark.parametrize("tongue", ["en", "es"])
def test_every_choice_of_an_activity_has_its_word(tongue: str) -> None:
    """The page offers what has a word: one that lacked it could not be chosen."""
    words = json.loads((WEB / "src" / "words" / f"house.{tongue}.json").read_text())
    choices = {"kinds": Kind, "hazards": Hazard, "weather": Weather, "together": Together}
    for name, wanted in choices.items():
        assert set(words["acts"][name]) == {one.value for one in wanted}
    assert set(words["house"]["allergens"]) == {one.value for one in Allergen}


def test_a_class_has_one_home() -> None:
    """Every sheet of styles is always there, so that a second rule of one name would dress both."""
    homes: dict[str, set[str]] = {}
    for sheet in (WEB / "src" / "styles").glob("*.css"):
        # What a narrow screen or paper changes is meant to change what stands elsewhere.
        if sheet.stem not in ("phone", "print"):
            plain = re.sub(r"/\*.*?\*/", "", sheet.read_text(), flags=re.DOTALL)
            for selectors in re.findall(r"(?:^|\})\s*([^{}@]+)\{", plain):
                for one in re.findall(r"(?:^|,)\s*\.([\w-]+)\s*(?=,|$)", selectors):
                    homes.setdefault(one, set()).add(sheet.name)
    assert len(homes) > 50
    assert {name: sorted(where) for name, where in homes.items() if len(where) > 1} == {}


def _sources() -> list[Path]:
    return [path for path in (WEB / "src").rglob("*") if path.suffix in (".ts", ".tsx")]


def test_types_are_made_from_todays_contract(tmp_path: Path) -> None:
    """Mend: ``web/fresh-types``."""
    document, made = tmp_path / "openapi.json", tmp_path / "contract.ts"
    ask = [sys.executable, "web/wanted.py"]
    document.write_bytes(subprocess.run(ask, check=True, cwd=ROOT, env=HERE, capture_output=True).stdout)
    node = shutil.which("node")
    assert node is not None
    maker = WEB / "node_modules" / "openapi-typescript" / "bin" / "cli.js"
    options = ["--root-types", "--root-types-no-schema-prefix", "--output", str(made)]
    subprocess.run([node, str(maker), str(document), *options], check=True, cwd=WEB, capture_output=True)
    assert made.read_text(encoding="utf-8") == (WEB / "src" / "contract.ts").read_text(encoding="utf-8")


def test_the_shown_week_is_one_the_service_could_send() -> None:
    view = WeekView.model_validate_json((WEB / "fixtures" / "view.json").read_text(encoding="utf-8"))
    parts = {"household": view.household, "activities": view.activities, "week": view.week}
    Problem.model_validate(parts)
    booked = {booking.id for booking in view.stored.plan.bookings} if view.stored else set()
    assert booked == set(view.adult_times)


def test_scripts_stay_light() -> None:
    weight = sum(len(gzip.compress(file.read_bytes())) for file in PAGE.rglob("*.js"))
    assert 0 < weight < SCRIPT_LIMIT


@pytest.mark.parametrize("kind", TEXTS)
def test_nothing_is_asked_from_elsewhere(kind: str) -> None:
    for file in PAGE.rglob(kind):
        text = re.sub(r"http://www\.w3\.org/[\w/.]+", "", file.read_text(encoding="utf-8"))
        assert not re.search(r"(?:src|href|url|from|import)\W{0,3}(?:https?:)?//", text), file.name


def test_the_page_has_nothing_inline() -> None:
    html = (PAGE / "index.html").read_text(encoding="utf-8")
    assert not re.search(r"<script(?![^>]*\bsrc=)", html)
    assert not re.search(r"<style|\sstyle=|\son\w+=", html)


def test_the_lock_file_names_no_registry() -> None:
    lock = json.loads((WEB / "package-lock.json").read_text(encoding="utf-8"))
    assert not [name for name, package in lock["packages"].items() if "resolved" in package]


def test_what_is_shipped_brings_its_licence() -> None:
    wanted = json.loads((WEB / "package.json").read_text(encoding="utf-8"))["dependencies"]
    texts = [path.read_text(encoding="utf-8") for path in (PAGE / "licences").glob("*.txt")]
    assert len(texts) == len(wanted)
    assert all("Copyright" in text for text in texts)
    listed = json.loads((PAGE / "licences" / "parts.json").read_text(encoding="utf-8"))
    assert {part["name"]: part["version"] for part in listed} == wanted


def test_source_files_stay_short() -> None:
    lengths = {
        path.name: len(path.read_text(encoding="utf-8").splitlines())
        for path in _sources()
        if path.name != "contract.ts"
    }
    assert max(lengths.values()) <= LINE_CAP, lengths
    assert sorted(lengths.values())[len(lengths) // 2] <= MEDIAN_CAP, lengths
