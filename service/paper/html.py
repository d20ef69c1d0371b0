"""The frame of every printed page: one file, no script, nothing fetched."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape
from importlib import resources

Read = Callable[[str], str]
"""A piece of HTML as it will be read: in another language it is longer, and wants smaller print."""
ADVICE = "Not medical or legal advice. Your own doctor, the maker’s label and local rules come first."
STYLE_ADDRESS = "/api/paper/style.css"
MARK_ADDRESS = "/api/paper/mark.svg"


def style() -> str:
    """The style sheet of all paper."""
    return _own("paper.css")


def mark() -> str:
    """Our mark, as an SVG."""
    return _own("mark.svg")


def _own(name: str) -> str:
    return (resources.files("service") / "paper" / name).read_text(encoding="utf-8")


def page(title: str, body: str, kind: str, *, linked: bool = False, size: str = "") -> str:
    """A whole document. ``linked`` is for the server, whose policy forbids styles inside a page."""
    links = f'<link rel="stylesheet" href="{STYLE_ADDRESS}">\n<link rel="icon" href="{MARK_ADDRESS}">'
    dress = links if linked else f"<style>{style()}</style>"
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{text(title)}</title>\n{dress}\n</head>\n"
        f'<body class="{kind} {size}">\n{body}\n</body>\n</html>\n'
    )


def text(value: object) -> str:
    """Text as text, whatever a family typed."""
    return escape("".join(sign if sign.isprintable() or sign == "\n" else " " for sign in str(value)))


def tag(name: str, inner: str, kind: str = "") -> str:
    """An element around what is already HTML."""
    return f'<{name} class="{kind}">{inner}</{name}>' if kind else f"<{name}>{inner}</{name}>"


def listed(items: Iterable[str], kind: str = "") -> str:
    """A list of pieces of HTML, or nothing when there are none."""
    found = [tag("li", item) for item in items]
    return tag("ul", "".join(found), kind) if found else ""


def each(items: Iterable[object], joint: str) -> str:
    """Pieces of text in a row, each an element: what one of them says is read without the others."""
    return joint.join(tag("span", text(item)) for item in items)


def section(heading: str, inner: str, kind: str = "") -> str:
    """A headed section, or nothing when it is empty."""
    return tag("section", tag("h2", text(heading)) + inner, kind) if inner else ""
