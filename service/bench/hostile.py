"""What a clumsy program or an unkind neighbour might send: bodies spoiled, torn, flooded or impossible."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Iterator
from typing import Any

_DEEP = 60
_MANY = 190_000
VALUES: tuple[Any, ...] = (
    None,
    True,
    [],
    {},
    "",
    " ",
    "\ud83d",
    "\x00",
    "x" * 70_000,
    "<script>alert(1)</script>",
    "=1+1",
    "../../etc/passwd",
    "2027-W53",
    "2027-W01",
    "24:00",
    "25:61",
    "9999-12-31",
    "0000-00-00",
    0,
    -1,
    1,
    2**31,
    2**63,
    10**300,
    1e308,
    float("nan"),
    float("inf"),
    0.1,
    [[]] * 50,
)
RAW: tuple[bytes, ...] = (
    b"",
    b"null",
    b"7",
    b'"x"',
    b"[" * 200_000,
    b'{"a":' * 200_000,
    b"[" * 400 + b"]" * 400,
    b'"' + b'\\"' * 500_000,
    b"[" + b"0," * 190_000 + b"0]",
    b"[" + b"{}," * 190_000 + b"{}]",
    b"[" + b"[]," * 500_000 + b"[]]",
    b'{"household": ' + b"9" * 6000 + b"}",
    b"\xff\xfe\x00",
    b"\xef\xbb\xbf{}",
    b"\xef\xbb\xbf" + b"[" * 400 + b"]" * 400,
    ("[" * 400 + "]" * 400).encode("utf-16"),
    ("[" + "[]," * 190_000 + "[]]").encode("utf-32"),
    b'{"a": NaN, "a": Infinity}',
    b'{"name": "\\ud800"}',
    b" " * 1_000_000,
    b'{"' + b"k" * 1_000_000 + b'": 1}',
    b"{" + b",".join(b'"k%d":0' % number for number in range(100_000)) + b"}",
)


def spoiled(body: Any, chance: random.Random) -> Any:
    """A copy of a body with one to three things in it changed for the worse."""
    made = copy.deepcopy(body)
    for _ in range(chance.randint(1, 3)):
        spots = list(_spots(made))
        if spots:
            _spoil(*chance.choice(spots), made, chance)
    return made


def floods(body: Any) -> Iterator[Any]:
    """A body again and again, each time with another of its lists grown out of all bounds."""
    for holder, key in list(_spots(body)):
        if isinstance(holder, dict) and isinstance(holder[key], list):
            kept = holder[key]
            holder[key] = [0] * _MANY
            yield body
            holder[key] = kept


def torn(text: bytes, chance: random.Random) -> bytes:
    """A text with some bytes changed, left out or doubled."""
    made = bytearray(text)
    for _ in range(chance.randint(1, 4)):
        place = chance.randrange(len(made) + 1)
        end = min(len(made), place + chance.choice((1, 1, 2, 40)))
        made[place:end] = chance.choice(
            (b"", chance.randbytes(2), bytes(made[place:end]) * 2, b'"', b"{", b"]")
        )
    return bytes(made)


def as_text(body: Any) -> bytes:
    """JSON as Python writes it, with what RFC 8259 does not allow: NaN, infinity, half a surrogate pair."""
    return json.dumps(body).encode("utf-8", "surrogatepass")


def _spots(node: Any) -> Iterator[tuple[Any, Any]]:
    """Every place in a body: what holds it, and its key there."""
    keys = list(node) if isinstance(node, dict) else range(len(node)) if isinstance(node, list) else ()
    for key in keys:
        yield node, key
        yield from _spots(node[key])


def _spoil(holder: Any, key: Any, whole: Any, chance: random.Random) -> None:
    what = chance.randrange(8)
    if what == 0:
        del holder[key]
    elif what == 1 and isinstance(holder, list):
        holder.insert(key, copy.deepcopy(holder[key]))
    elif what == 2 and isinstance(holder, dict):
        holder[f"{key}x"] = holder[key]
    elif what == 3:
        other, where = chance.choice(list(_spots(whole)))
        holder[key] = copy.deepcopy(other[where])
    elif what == 4:
        holder[key] = _nested(holder[key], chance.randint(2, _DEEP))
    elif what == 5 and isinstance(holder[key], int | float):
        holder[key] = holder[key] * chance.choice((-1, 0, 2, 10, 1000)) + chance.choice((0, 1, 0.5))
    else:
        holder[key] = copy.deepcopy(chance.choice(VALUES))


def _nested(value: Any, depth: int) -> Any:
    for _ in range(depth):
        value = [value]
    return value
