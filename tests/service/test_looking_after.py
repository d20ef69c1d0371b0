"""The commands that look after a server: doctor, devices, unit; and what the log says."""

from __future__ import annotations

import ast
import json
import logging
import os
import shlex
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import httpx2 as httpx
import pytest

from service.care.doctor import findings
from service.log import JsonLines
from service.store import FolderLock, Store
from service.store.copies import FILE_NAME
from service.store.devices import Devices
from service.whereabouts import Serving, telling, whereabouts
from tests.service.house import document
from tests.service.saying import Lapful


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with closing(Store(tmp_path / "data")) as store:
        store.put_document(document())
    return tmp_path / "data"


def test_backup_and_restore(lapful: Lapful, folder: Path, tmp_path: Path) -> None:
    made = lapful("backup", "--data", folder, "--out", tmp_path / "copy.db")
    assert made.code == 0
    assert str(tmp_path / "copy.db") in made.out
    again = lapful("backup", "--data", folder, "--out", tmp_path / "copy.db")
    assert (again.code, again.out) == (2, "")
    assert again.err.startswith("--out: ")
    back = lapful("restore", tmp_path / "copy.db", "--data", folder)
    assert back.code == 0
    assert "Orchard hedgehogs" in back.out
    assert "kept in" in back.out


def test_a_damaged_backup_is_refused(lapful: Lapful, folder: Path, tmp_path: Path) -> None:
    (tmp_path / "bad.db").write_text("no database")
    said = lapful("restore", tmp_path / "bad.db", "--data", folder)
    assert said.code == 2
    assert "nothing was changed" in said.err
    assert "Traceback" not in said.err


def test_a_healthy_folder(lapful: Lapful, folder: Path) -> None:
    lapful("backup", "--data", folder)
    said = lapful("doctor", "--data", folder, "--port", 1)
    assert "the store is sound" in said.out
    assert "2 weeks are kept" in said.out
    assert "1 copies" in said.out
    for words in ("SQLite", "ortools", "MiB free", "backups"):
        assert words in said.out


def test_what_needs_looking_at_comes_with_what_to_do(lapful: Lapful, folder: Path) -> None:
    os.chmod(folder, 0o755)
    (folder / FILE_NAME).write_bytes(b"not pages" * 4000)
    said = lapful("doctor", "--data", folder)
    assert said.code == 1
    looks = [line for line in said.out.splitlines() if line.startswith("LOOK")]
    assert any("chmod 700" in line for line in looks)
    assert any("lapful restore" in line for line in looks)


def test_the_doctor_changes_nothing(folder: Path) -> None:
    def everything() -> bytes:
        with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
            return "".join(connection.iterdump()).encode()

    before, names = everything(), sorted(one.name for one in folder.rglob("*.db"))
    findings(folder, 8027)
    assert everything() == before
    assert sorted(one.name for one in folder.rglob("*.db")) == names


def test_the_doctor_says_where_a_tablet_finds_the_server(folder: Path) -> None:
    with closing(FolderLock(folder)), telling(folder, Serving(host="192.168.7.2", port=8027)):
        said = [one.what for one in findings(folder, 8027)]
    assert "a tablet finds it at http://192.168.7.2:8027/" in said


def test_a_killed_server_s_note_is_not_believed(folder: Path) -> None:
    (folder / "serving.json").write_text(Serving(host="0.0.0.0", port=1).model_dump_json())
    assert whereabouts(folder) is None


def test_devices_are_listed_and_shut_out(lapful: Lapful, folder: Path) -> None:
    with closing(Store(folder)) as store:
        made = Devices(store).pair(Devices(store).offer(), "Kitchen \x1b[31mtablet")
        assert made
    said = lapful("devices", "--data", folder)
    assert made.device.id in said.out
    assert "\x1b" not in said.out
    assert made.token not in said.out
    said = lapful("devices", "--data", folder, "--shut-out", made.device.id)
    assert "No device is paired" in said.out
    assert lapful("devices", "--data", folder, "--shut-out", "none").code == 2


def test_pairing_needs_a_server_for_the_home_network(lapful: Lapful, folder: Path, tmp_path: Path) -> None:
    assert "no server runs" in lapful("pair", "--data", folder).err
    assert "nothing kept" in lapful("pair", "--data", tmp_path).err
    with closing(FolderLock(folder)), telling(folder, Serving(host="127.0.0.1", port=8027)):
        assert "--home-network" in lapful("pair", "--data", folder).err
    with closing(FolderLock(folder)), telling(folder, Serving(host="0.0.0.0", port=8027)):
        said = lapful("pair", "--data", folder)
    assert ":8027/pair#" in said.out
    assert "▀" in said.out or "█" in said.out


def test_the_unit_starts_what_it_names(lapful: Lapful, tmp_path: Path) -> None:
    """systemd.syntax(7): sections in brackets, key=value; systemd.service(5): % and $ are doubled."""
    odd = tmp_path / 'the "week" of 100% $HOME'
    said = lapful("unit", "--data", odd, "--home-network").out
    sections = [line for line in said.splitlines() if line.startswith("[")]
    assert sections == ["[Unit]", "[Service]", "[Install]"]
    (start,) = [line.partition("=")[2] for line in said.splitlines() if line.startswith("ExecStart=")]
    words = shlex.split(start.replace("%%", "%").replace("$$", "$"))
    assert Path(words[0]).is_absolute()
    assert words[-4:] == ["serve", "--data", str(odd), "--home-network"]


def _formatted(error: Exception) -> dict[str, object]:
    try:
        raise error
    except Exception:
        record = logging.LogRecord("lapful", logging.ERROR, __file__, 1, "broke", (), sys.exc_info())
    line: dict[str, object] = json.loads(JsonLines().format(record))
    return line


def test_the_log_never_quotes_what_a_family_wrote() -> None:
    line = _formatted(KeyError("Burr is allergic to nuts"))
    assert line["error"] == "KeyError"
    assert "_formatted" in str(line["where"])
    assert "Burr" not in json.dumps(line)


def test_no_secret_and_no_name_is_in_anything_the_server_says(folder: Path) -> None:
    """A home server that pairs a device, refuses another, and is stopped; all it says is looked through."""
    words = ["serve", "--port", "0", "--home-network", "--data", str(folder)]
    server = subprocess.Popen(
        [sys.executable, "-m", "service", *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert server.stdout is not None
    first = [server.stdout.readline()]
    while first[-1] and "lapful pair" not in first[-1]:
        first.append(server.stdout.readline())
    port = first[0].rsplit(":", 1)[1].split("/")[0]
    try:
        with httpx.Client(base_url=f"http://127.0.0.1:{port}") as here:
            secret = here.post("/api/pairing/offer").json()["address"].partition("#")[2]
            paired = here.post("/api/pairing", json={"secret": secret, "name": "Auntie's phone"})
            refused = here.post("/api/pairing", json={"secret": "wrong" * 8, "name": "Guesser"})
            here.put("/api/household", content=b'{"name": "Burr at home"')
        assert (paired.status_code, refused.status_code) == (201, 401)
        token = paired.cookies["lapful_device"]
    finally:
        server.send_signal(signal.SIGTERM)
        out, err = server.communicate(timeout=60)
    said = "".join(first) + out + err
    for kept in (secret, token, "wrongwrong", "Auntie", "Guesser", "Burr", "hedgehog"):
        assert kept not in said
    assert "lapful pair" in said, "the picture is for terminals; this may be a log"
    notes = [json.loads(line)["what"] for line in err.splitlines()]
    assert notes == ["a device was paired", "the server stopped"]
    assert server.returncode == 0
    assert not (folder / "serving.json").exists()


def test_no_note_quotes_a_title_or_a_reason() -> None:
    """What is noted with ``note`` names ids, counts and kinds: a title may hold a child's name."""
    told: list[str] = []
    for file in (Path(__file__).parents[2] / "service").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "note":
                told += [f"{file.name}: {word.arg}" for word in node.keywords]
    assert told
    allowed = {"job", "state", "device", "week", "why"}
    assert [one for one in told if one.split(": ")[1] not in allowed] == []
