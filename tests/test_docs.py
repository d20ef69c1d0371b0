"""What is said about Lapful is whole and true to the code, and nothing is said that must not be."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from service.command import app
from solver.check import CHECKS, COSTS, TIERS
from solver.domain.document import FORMAT

ROOT = Path(__file__).parents[1]
DOCUMENTS = ("README.md", "DEVELOPERS.md")
NOT_OURS = {
    ".git", ".venv", "venv", "node_modules", "__pycache__", ".mypy_cache", ".ruff_cache", ".pytest_cache",
    ".hypothesis", "dist", "build", "page", "out",
}  # fmt: skip
COMMANDS = sorted(getattr(get_command(app), "commands", {}))
FIXED_COMMANDS = [
    "serve", "plan", "check", "mend", "why", "export", "import", "bench", "backup", "restore", "doctor",
    "schema",
]  # fmt: skip


def read(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def told() -> str:
    """Either may hold it; that both are there is asked of each by itself."""
    return "".join(read(name) for name in DOCUMENTS if (ROOT / name).exists())


def paragraphs(text: str) -> list[str]:
    """Prose only: no headings, pictures, quotations or code."""
    blocks = [block.strip() for block in re.split(r"\n\s*\n", text)]
    return [block for block in blocks if block and block[0] not in "#!`<>[|"]


class TestReadme:
    def test_its_first_paragraph_states_the_job(self) -> None:
        first = paragraphs(read("README.md"))[0].lower()
        assert re.search(r"\bweek\b", first)
        assert re.search(r"\bchildren\b", first)

    def test_it_names_every_demo_household(self) -> None:
        text = read("README.md")
        for path in (ROOT / "demo").glob("*.json"):
            assert path.name in text

    def test_it_says_which_format_a_file_has(self) -> None:
        assert f'"{FORMAT}"' in read("README.md")

    @pytest.mark.parametrize("name", DOCUMENTS)
    def test_its_links_lead_somewhere(self, name: str) -> None:
        for target in re.findall(r"\]\((?!https?:|#|mailto:)([^)#\s]+)", read(name)):
            assert (ROOT / target).exists(), target

    @pytest.mark.parametrize("name", DOCUMENTS)
    def test_the_commands_in_it_exist(self, name: str) -> None:
        for line in re.findall(r"^\s*(?:\$ )?(?:\S*/)?lapful +([a-z]+)", read(name), re.MULTILINE):
            assert line in COMMANDS, line


class TestCommand:
    @pytest.mark.parametrize("command", FIXED_COMMANDS)
    def test_what_scripts_rely_on_is_there(self, command: str) -> None:
        assert command in COMMANDS

    @pytest.mark.parametrize("command", COMMANDS)
    def test_it_is_documented(self, command: str) -> None:
        assert re.search(rf"\blapful {command}\b", told())

    @pytest.mark.parametrize("command", COMMANDS)
    def test_it_explains_itself(self, command: str) -> None:
        result = CliRunner().invoke(app, [command, "--help"])
        assert result.exit_code == 0
        (help_text,) = [one.help for name, one in get_command(app).commands.items() if name == command]  # type: ignore[attr-defined]
        assert help_text
        assert help_text.strip().endswith(".")

    def test_all_of_them_are_listed(self) -> None:
        listed = CliRunner().invoke(app, ["--help"]).output
        assert COMMANDS
        assert not [command for command in COMMANDS if command not in listed]


class TestRules:
    @pytest.mark.parametrize("key", [*CHECKS, *COSTS])
    def test_every_key_is_documented(self, key: str) -> None:
        assert f"`{key}`" in told()

    @pytest.mark.parametrize("tier", TIERS)
    def test_every_tier_is_documented(self, tier: str) -> None:
        assert re.search(rf"^\| {tier} \|", told(), re.MULTILINE)


def files() -> Iterator[Path]:
    """Every text file of the repository, as far as it is ours."""
    for path in sorted(ROOT.rglob("*")):
        inside = path.relative_to(ROOT).parts
        if path.is_file() and not NOT_OURS & set(inside) and not path.name.endswith(".egg-info"):
            yield path


def holding(*words: str) -> list[str]:
    """The files whose name or text holds one of the words, in whatever case."""
    found = []
    for path in files():
        name = path.relative_to(ROOT).as_posix()
        text = name + path.read_bytes().decode("utf-8", errors="ignore")
        if any(word in text.lower() for word in words):
            found.append(name)
    return found


class TestWhatIsNotSaid:
    """The words are put together here, so that this file does not hold them itself."""

    def test_the_search_finds_what_is_there(self) -> None:
        assert "tests/test_docs.py" in holding("put together here")
        assert not holding("zyx" + "wvu" + "tsr")

    def test_nothing_of_where_it_came_from(self) -> None:
        assert not holding(
            "trans" + "cript", "seed" + " document", "seed" + "-document", "seed" + "_document"
        )

    def test_no_registry_by_its_host(self) -> None:
        """Packages come through whatever index the machine is set to."""
        hosts = (
            "py" + "pi.org",
            "npm" + "js.",
            "python" + "hosted.",
            "regi" + "stry.npm",
            "regi" + "stry.yarn",
        )
        assert not holding(*hosts)

    def test_the_page_does_not_scold(self) -> None:
        """Nothing is counted against anybody: no such label in what the page or the command shows."""
        shown = [*(ROOT / "web" / "src").rglob("*.ts*"), *(ROOT / "service" / "show").glob("*.py")]
        shown += [ROOT / "solver" / "words.py"]
        assert len(shown) > 5
        scolding = re.compile(
            r"[\"'`>][^\"'`<>\n]*\b(overdue|streak|you (?:failed|missed|are behind)|falling behind)\b"
        )
        assert not [path.name for path in shown if scolding.search(path.read_text(encoding="utf-8").lower())]


class TestPackage:
    def test_the_command_is_called_lapful(self) -> None:
        project = tomllib.loads(read("pyproject.toml"))["project"]
        assert project["name"] == "lapful"
        assert project["scripts"] == {"lapful": "service.command:main"}
        assert project["readme"] == "README.md"

    def test_the_ci_runs_the_script_that_runs_everything(self) -> None:
        assert "tests/run" in read(".ci/run")
        assert (ROOT / "tests" / "run").stat().st_mode & 0o100
