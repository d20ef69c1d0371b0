"""Compose the demo documents from ``demo/parts``, where every fact has one home.

Run ``python demo/make.py`` after changing a part. What it writes are whole household files: each can be
handed to ``lapful plan`` without the others.

How the catalogue's figures were laid down, where that is not plain to see:

* Set-up and clear-up belong to a sitting. Those of one minute are part of the change to the next thing
  (``Limits.change_min``) and are left out.
* Making ready that must happen shortly before (choosing tonight's page, swapping the bins, queueing the
  story, checking the film, writing numbers, mixing salt dough) is set-up, not an evening's prep.
* After shaping rolls the board is wiped while they bake; what is eaten at a meal is laid and cleared with it.
* A book on loan needs no prep: ``Book.due`` and ``Book.arrives`` say when it can be read.
* What perishes keeps for the days that it usually has from the shop (common practice, no source).
* ``cost`` holds what the shopping list does not: what is bought has its price in the cupboard.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
PARTS = HERE / "parts"
LINE = 112


def part(name: str) -> Any:
    """One part, by the name of its file."""
    return json.loads((PARTS / f"{name}.json").read_text(encoding="utf-8"))


def household(name: str) -> dict[str, Any]:
    """A household with the rooms, learning areas and the day's stretches it does not give itself."""
    return {**part("house"), "materials": part("cupboard"), **part(name)}


def week(name: str, *wishes: str, base: str | None = None) -> dict[str, Any]:
    """A week: what recurs in its kind of week, what is its own, and its wishes."""
    lists = [part(one) for one in wishes]
    return {**(part(base) if base else {}), **part(name), "wishes": [w for some in lists for w in some]}


def document(house: dict[str, Any], activities: list[Any], one_week: dict[str, Any]) -> dict[str, Any]:
    """A household file."""
    return {"format": "lapful/1", "household": house, "activities": activities, "weeks": [one_week]}


def sittings_of(activity: dict[str, Any]) -> list[dict[str, Any]]:
    """The usual sittings and the lighter one."""
    return [*activity["sittings"], activity["lighter"]["sitting"]]


def narrowed(whole: dict[str, Any], wanted: set[str]) -> dict[str, Any]:
    """The document with only some activities, and only what these use."""
    chosen = [activity for activity in whole["activities"] if activity["id"] in wanted]
    sittings = [sitting for activity in chosen for sitting in sittings_of(activity)]
    used = {need["material"] for sitting in sittings for need in sitting.get("needs", ())}
    places = {place for sitting in sittings for place in sitting["places"]}
    house = dict(whole["household"])
    house["materials"] = [item for item in house["materials"] if item["id"] in used]
    meals_at = {point["place"] for point in house["fixed_points"]}
    house["places"] = [place for place in house["places"] if place["id"] in places | meals_at]
    return {**whole, "household": house, "activities": chosen}


def documents() -> dict[str, dict[str, Any]]:
    """Every demo document by the name of its file."""
    catalogue = part("catalogue")
    home = household("household-a")
    pond = week("pond-week", "staples", "pond-wishes", base="late-week")
    bread = week("bread-week", "staples", "bread-wishes", base="late-week")
    broken = week("broken-promise-week", "staples", "pond-wishes", base="late-week")
    small = week("small-week", "small-wishes")
    first_look = document(household("small-household"), catalogue, small)
    return {
        "pond-week.json": document(home, catalogue, pond),
        "bread-week.json": document(home, catalogue, bread),
        "broken-promise.json": document(home, catalogue, broken),
        "small.json": narrowed(first_look, {wish["activity"] for wish in small["wishes"]}),
    }


def laid_out(value: Any, depth: int = 0) -> str:
    """JSON for people: what fits on a line stays on it, the rest is indented."""
    line = json.dumps(value, ensure_ascii=False)
    if not value or not isinstance(value, dict | list) or 2 * depth + len(line) <= LINE:
        return line
    inner, outer = "  " * (depth + 1), "  " * depth
    if isinstance(value, dict):
        body = [f"{inner}{json.dumps(key)}: {laid_out(item, depth + 1)}" for key, item in value.items()]
        return "{\n" + ",\n".join(body) + f"\n{outer}}}"
    return "[\n" + ",\n".join(inner + laid_out(item, depth + 1) for item in value) + f"\n{outer}]"


def main() -> None:
    """Write every document beside this file."""
    for name, made in documents().items():
        (HERE / name).write_text(laid_out(made) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
