/** The hand-made week that the tests of the page share; `tests/web` proves that it is a valid one. */
import { readFileSync } from "node:fs";
import type { WeekView } from "../src/model";
import type { Room } from "../src/vm/cards";
import { loomOf } from "../src/vm/loom";
import { namesOf } from "../src/vm/names";

export const view = JSON.parse(readFileSync(new URL("../fixtures/view.json", import.meta.url), "utf8")) as WeekView;

export function roomOf(shown: WeekView = view): Room {
  return { view: shown, names: namesOf(shown), loom: loomOf(shown) };
}
