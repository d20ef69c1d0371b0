"""The command from the outside: what it prints where, and its exit codes."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx2 as httpx
import pytest

from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.domain.week import Problem
from tests.service.conftest import until
from tests.service.house import NEXT_WEEK, WEEK, document_json
from tests.service.saying import Lapful, write


def test_a_plan_is_printed_by_day(lapful: Lapful, orchard: Path) -> None:
    said = lapful("plan", orchard, "--seconds", 2, "--workers", 1)
    assert said.code == 0
    assert "Orchard hedgehogs · 2027-W05, from Monday 1 February 2027 · Autumn leaves" in said.out
    for words in ("Monday", "Friday", "Lunch", "Leaf story", "Bramble", "Nest", "proved best"):
        assert words in said.out
    assert said.out.count("Leaf story") == 2, "the wish asks for two goes"
    assert said.err == "", "no live line where there is no terminal"


def test_json_is_the_plan_alone(lapful: Lapful, orchard: Path) -> None:
    said = lapful("plan", orchard, "--seconds", 2, "--workers", 1, "--json")
    plan = Plan.model_validate_json(said.out)
    assert plan.week == WEEK
    assert {"bookings", "prep", "left_over", "tiers"} <= set(json.loads(said.out))
    assert said.err == ""


def test_another_week(lapful: Lapful, orchard: Path) -> None:
    said = lapful("plan", orchard, "--week", NEXT_WEEK, "--seconds", 2, "--json")
    assert json.loads(said.out)["week"] == NEXT_WEEK


def test_a_plan_of_ours_holds(lapful: Lapful, orchard: Path, tmp_path: Path) -> None:
    printed = lapful("plan", orchard, "--week", NEXT_WEEK, "--seconds", 2, "--json").out
    (tmp_path / "plan.json").write_text(printed)
    said = lapful("check", orchard, tmp_path / "plan.json")
    assert said.code == 0, said
    assert "no rule broken" in said.out


def test_a_plan_that_does_not_hold(lapful: Lapful, orchard: Path, tmp_path: Path) -> None:
    plan = json.loads(lapful("plan", orchard, "--seconds", 2, "--json").out)
    plan["bookings"][0]["start"] = "12:05"  # lunch lasts from 12:00 to 12:45
    said = lapful("check", orchard, write(tmp_path / "plan.json", plan))
    assert said.code == 1
    keys = {line.split(":")[0] for line in said.out.splitlines()}
    assert "child_free" in keys


@pytest.mark.parametrize("name", ["pond-week.json", "bread-week.json", "broken-promise.json", "small.json"])
def test_every_demo_household_can_be_read(name: str) -> None:
    from service.demo import demo_file
    from service.files import read_document

    assert read_document(demo_file(name)).weeks


BAD_FILES: dict[str, tuple[bytes | None, str]] = {
    "missing": (None, "there is no such file"),
    "empty": (b"", "line 1, column 0: not JSON"),
    "broken": (b'{\n  "household": [1,,2]}', "line 2, column 19: not JSON"),
    "not utf-8": (b'{"household": "\xff"}', "not UTF-8 at byte 15"),
    "utf-16": ('{"household": 1}'.encode("utf-16"), "not UTF-8 at byte 0"),
    "a list": (b"[]", "the document"),
    "a number": (b"7", "the document"),
    "deep": (b"[" * 100_000, "not JSON: recursion limit"),
    "NaN": (b"NaN", "the document"),
}


@pytest.mark.parametrize("kind", BAD_FILES)
def test_files_that_cannot_be_read(lapful: Lapful, tmp_path: Path, kind: str) -> None:
    content, message = BAD_FILES[kind]
    file = tmp_path / "home.json"
    if content is not None:
        file.write_bytes(content)
    for words in (("plan", file), ("check", file, file), ("serve", file, "--data", tmp_path / "d")):
        said = lapful(*words)
        assert said.code == 2
        assert said.out == ""
        assert said.err.startswith(str(file))
        assert message in said.err
        assert len(said.err.splitlines()) == 1
        assert "Traceback" not in said.err


def test_a_byte_order_mark_does_no_harm(lapful: Lapful, orchard: Path) -> None:
    orchard.write_bytes(b"\xef\xbb\xbf" + orchard.read_bytes())
    assert lapful("plan", orchard, "--seconds", 1, "--json").code == 0


def test_a_folder_instead_of_a_file(lapful: Lapful, tmp_path: Path) -> None:
    said = lapful("plan", tmp_path)
    assert said.code == 2
    assert "this is a folder" in said.err


def _edited(change: Callable[[dict[str, Any]], None]) -> dict[str, Any]:
    document = document_json()
    change(document)
    return document


def _set(path: str, value: Any) -> Callable[[dict[str, Any]], None]:
    def change(document: dict[str, Any]) -> None:
        *steps, last = [int(step) if step.isdecimal() else step for step in path.split("/")]
        there: Any = document
        for step in steps:
            there = there[step]
        there[last] = value

    return change


BAD_FIELDS = [
    ("household/pets", [], "household.pets: this field is not known"),
    ("household/adults", [], "household.adults: "),
    ("weeks/0/id", "2027-W53", "weeks[0].id: there is no week 2027-W53: 2027 has weeks W01 to W52"),
    ("weeks/0/id", "next", "weeks[0].id: 'next' is not a week; write it as 2027-W05"),
    ("activities/0/sittings/0/setup_min", -5, "activities[0].sittings[0].setup_min: "),
    ("weeks/0/wishes/1/activity", "brook-wolk", "did you mean 'brook-walk'?"),
    ("household/children/1/id", "burr", "two people share the id 'burr'"),
    ("household/stretches/0/end", "25:00", "write it as HH:MM"),
]


@pytest.mark.parametrize(("path", "value", "line"), BAD_FIELDS)
def test_fields_that_need_mending(lapful: Lapful, tmp_path: Path, path: str, value: Any, line: str) -> None:
    file = write(tmp_path / "home.json", _edited(_set(path, value)))
    said = lapful("plan", file)
    assert said.code == 2
    assert line in said.err
    assert all(one.startswith(f"{file}: ") for one in said.err.splitlines())


def test_every_fault_has_a_line(lapful: Lapful, tmp_path: Path) -> None:
    def spoil(document: dict[str, Any]) -> None:
        del document["household"]["name"]
        document["weeks"][1]["colour"] = "green"

    said = lapful("plan", write(tmp_path / "home.json", _edited(spoil)))
    assert len(said.err.splitlines()) == 2


def test_a_name_cannot_steer_the_terminal(lapful: Lapful, tmp_path: Path) -> None:
    escape = "\x1b[31mred\x1b[0m [bold]loud[/bold]"
    file = write(tmp_path / "home.json", _edited(_set("activities/0/title", escape)))
    said = lapful("plan", file, "--seconds", 1)
    assert "\x1b" not in said.out
    assert "[bold]" in said.out
    file = write(tmp_path / "home.json", document_json() | {escape: 1})
    assert "\x1b" not in lapful("plan", file).err


def test_a_week_that_is_not_there(lapful: Lapful, orchard: Path, tmp_path: Path) -> None:
    said = lapful("plan", orchard, "--week", "2027-W44")
    assert said.code == 2
    assert said.err.startswith("--week: there is no week '2027-W44'")
    assert WEEK in said.err
    plan = write(tmp_path / "plan.json", {"week": "2027-W44"})
    assert lapful("check", orchard, plan).code == 2


@pytest.mark.parametrize(
    "words",
    [
        ("plan",),
        ("plan", "x", "--seconds", "0"),
        ("plan", "x", "--seconds", "nan"),
        ("plan", "x", "--workers", "-1"),
        ("plan", "x", "--seed", "many"),
        ("plan", "x", "--colour"),
        ("dance",),
        ("serve", "x", "--demo"),
        ("serve", "--port", "99999"),
    ],
)
def test_wrong_words_on_the_command_line(lapful: Lapful, words: tuple[str, ...]) -> None:
    said = lapful(*words)
    assert said.code == 2
    assert said.err
    assert "Traceback" not in said.err


def test_the_schema_describes_the_file(lapful: Lapful) -> None:
    """JSON Schema 2020-12: the dialect is named, and every reference leads somewhere."""
    schema = json.loads(lapful("schema").out)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert set(schema["properties"]) == set(Document.model_fields)
    text = json.dumps(schema)
    for name in set(text.split('"#/$defs/')[1:]):
        assert name.split('"')[0] in schema["$defs"]


def test_the_contract_is_the_one_that_is_served(lapful: Lapful, client: Any) -> None:
    assert json.loads(lapful("openapi").out) == client.get("/api/openapi.json").json()


def test_only_planning_loads_the_solver() -> None:
    code = (
        "import sys, service.app, service.command, service.serving, service.worker; "
        "print([name for name in ('ortools', 'pandas', 'numpy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_a_port_that_is_taken(lapful: Lapful, tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        said = lapful("serve", "--data", tmp_path / "d", "--port", other.getsockname()[1])
    assert said.code == 2
    assert said.err.startswith("--port: ")
    assert "another --port" in said.err


@pytest.mark.parametrize("host", ["no such host", "203.0.113.7", ""])
def test_a_host_that_is_not_ours(lapful: Lapful, tmp_path: Path, host: str) -> None:
    """203.0.113.0/24 is kept for documentation (RFC 5737), so no machine has it."""
    said = lapful("serve", "--data", tmp_path / "d", "--port", 0, "--host", host)
    assert said.code == 2
    assert "Traceback" not in said.err


def test_a_data_folder_that_is_a_file(lapful: Lapful, orchard: Path) -> None:
    said = lapful("serve", "--data", orchard, "--port", 0)
    assert said.code == 2
    assert str(orchard) in said.err


class Served:
    """``lapful serve`` in a process of its own, with the address that it printed."""

    def __init__(self, *words: object) -> None:
        command = [sys.executable, "-m", "service", "serve", "--port", "0", *map(str, words)]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        self.first = self.process.stdout.readline()
        self.folder = Path(self.process.stdout.readline().removeprefix("Data: ").strip())
        self.address = self.first.split(" at ")[1].split()[0].rstrip("/")

    def get(self, path: str) -> Any:
        return httpx.get(self.address + path).json()

    def stop(self, number: int) -> int:
        self.process.send_signal(number)
        self.process.communicate(timeout=60)
        return self.process.returncode


def _planned(server: Served, week: str) -> dict[str, Any]:
    def ask() -> dict[str, Any] | None:
        view: dict[str, Any] = server.get(f"/api/weeks/{week}/view")
        job = view["job"]
        return view if job and job["state"] in ("done", "failed", "cancelled") else None

    found: dict[str, Any] = until(ask, 60)
    return found


def test_a_served_household_is_planned_at_once(orchard: Path, tmp_path: Path) -> None:
    server = Served(orchard, "--data", tmp_path / "data")
    try:
        assert WEEK in server.first
        view = _planned(server, WEEK)
        assert view["job"]["state"] == "done", view["job"]
        assert len(view["stored"]["plan"]["bookings"]) == 3
        assert set(view["adult_times"]) == {one["id"] for one in view["stored"]["plan"]["bookings"]}
    finally:
        assert server.stop(signal.SIGINT) == 0


def test_a_demo_leaves_nothing_behind_and_stops_quickly() -> None:
    """Stopped in the middle of its search."""
    server = Served("--demo")
    try:
        assert server.get("/api/health")["has_household"] is True
        assert server.folder.is_dir()
    finally:
        begun = time.monotonic()
        assert server.stop(signal.SIGTERM) == 0
    # So long systemd waits (lapful unit) before it kills.
    assert time.monotonic() - begun < 15
    assert not server.folder.exists()


def test_what_was_written_survives_a_kill(orchard: Path, tmp_path: Path) -> None:
    folder = tmp_path / "data"
    server = Served(orchard, "--data", folder)
    put = httpx.put(f"{server.address}/api/weeks/{NEXT_WEEK}/wishes", json=[])
    assert put.status_code == 200
    server.stop(signal.SIGKILL)
    again = Served("--data", folder)
    try:
        assert again.get(f"/api/weeks/{NEXT_WEEK}")["wishes"] == []
    finally:
        again.stop(signal.SIGINT)


def test_the_family_s_data_are_not_overwritten(lapful: Lapful, orchard: Path, tmp_path: Path) -> None:
    from service.store import Store

    folder = tmp_path / "data"
    store = Store(folder)
    other = _edited(_set("household/name", "The meadow"))
    store.put_document(Document.model_validate(other))
    for words in ((orchard,), ("--demo",)):
        said = lapful("serve", *words, "--data", folder, "--port", 0)
        assert said.code == 2
        assert "already holds 'The meadow'" in said.err
    assert store.current().document.household.name == "The meadow"
    server = Served(orchard, "--data", folder, "--replace")
    server.stop(signal.SIGINT)
    assert store.current().document.household.name == "Orchard hedgehogs"


def test_a_folder_in_use(lapful: Lapful, orchard: Path, tmp_path: Path) -> None:
    server = Served(orchard, "--data", tmp_path / "data")
    try:
        said = lapful("serve", "--data", tmp_path / "data", "--port", 0)
        assert said.code == 2
        assert "another Lapful server works here" in said.err
    finally:
        server.stop(signal.SIGINT)


def test_ctrl_c_shows_the_best_week_so_far(
    lapful: Lapful, orchard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The search hears of it while it runs, and what it gives then is printed as usual."""
    import solver.search

    def search(problem: Problem, *, should_stop: Callable[[], bool], **_: object) -> Plan:
        os.kill(os.getpid(), signal.SIGINT)
        until(should_stop)
        return Plan(week=problem.week.id, stopped=True)

    monkeypatch.setattr(solver.search, "solve", search)
    before = signal.getsignal(signal.SIGINT)
    said = lapful("plan", orchard, "--json")
    assert said.code == 0
    assert json.loads(said.out)["stopped"] is True
    assert signal.getsignal(signal.SIGINT) is before


def test_a_second_ctrl_c_ends_it_at_once(orchard: Path) -> None:
    code = (
        "import os, signal, sys, threading, solver.search\n"
        "def search(*_, should_stop, **__):\n"
        "    while not should_stop(): os.kill(os.getpid(), signal.SIGINT)\n"
        "    os.kill(os.getpid(), signal.SIGINT)\n"
        "    threading.Event().wait()\n"
        "solver.search.solve = search\n"
        f"sys.argv = ['lapful', 'plan', {str(orchard)!r}]\n"
        "from service.command import main; main()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, timeout=60)
    assert done.returncode == 130
