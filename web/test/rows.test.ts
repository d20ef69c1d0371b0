import { describe, expect, it } from "vitest";
import { layRows } from "../src/vm/rows";
import type { Item } from "../src/vm/types";

function nap(id: string, column: number | "all", start: number, end: number): Item {
  return { kind: "nap", id, column, span: { start, end }, nap: { id, name: id, when: "", note: "" } };
}

function gap(start: number, end: number): Item {
  return { kind: "gap", id: `gap-${start}`, column: "cord", span: { start, end }, gap: { id: "", minutes: end - start, note: "" } };
}

const seats = (items: Item[]) => layRows(items).map((one) => [one.id, one.row, one.rows]);

describe("rows", () => {
  it("keeps the order of time", () => {
    expect(seats([nap("later", "all", 30, 40), nap("first", "all", 0, 10)])).toEqual([["first", 1, 1], ["later", 2, 1]]);
  });

  it("puts two strands that begin together side by side", () => {
    expect(seats([nap("left", 1, 0, 20), nap("right", 3, 10, 30)])).toEqual([["left", 1, 1], ["right", 1, 1]]);
  });

  it("gives what begins a quarter of an hour later a row of its own", () => {
    expect(seats([nap("left", 1, 0, 20), nap("right", 3, 15, 30)])).toEqual([["left", 1, 2], ["right", 2, 1]]);
  });

  it("lets a long thing reach down beside the short ones", () => {
    expect(seats([nap("long", 3, 0, 75), nap("one", 1, 5, 25), nap("two", 1, 35, 50)]))
      .toEqual([["long", 1, 2], ["one", 1, 1], ["two", 2, 1]]);
  });

  it("ends a long thing before something that runs across", () => {
    const placed = layRows([nap("long", 3, 0, 90), nap("across", "all", 40, 50), nap("short", 1, 0, 20)]);
    expect(placed.find((one) => one.id === "long")?.rows).toBe(1);
  });

  it("narrows free minutes that lie beside something, and only those", () => {
    const [, beside] = layRows([nap("long", 3, 0, 75), gap(30, 60)]);
    expect(beside?.isBeside).toBe(true);
    const [alone] = layRows([gap(30, 60), nap("after", "all", 60, 90)]);
    expect(alone?.isBeside).toBe(false);
  });
});
