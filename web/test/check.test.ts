import { beforeAll, describe, expect, it, vi } from "vitest";
import { readFileSync } from "node:fs";
import type { AdultText, ChildText, Faults } from "../src/rooms/check";

const words = JSON.parse(readFileSync(new URL("../src/words/house.en.json", import.meta.url), "utf8")) as { faults: Record<string, string> };
let faultsOf: (children: readonly ChildText[], adults: readonly AdultText[], month: string) => Faults;

const wren = { name: "Wren", birth_month: "2021-09", naps: [], wake: "06:30", bed: "19:00" };
const avo = { name: "Avo", hours: [{ start: "07:00", end: "20:00" }] };
const of = (child: Partial<ChildText>) => faultsOf([{ ...wren, ...child }], [avo], "2027-02");

describe("what is wrong with people as they are written", () => {
  beforeAll(async () => {
    vi.stubGlobal("fetch", () => Promise.resolve({ json: () => words }));
    ({ faultsOf } = await import("../src/rooms/check"));
  });

  it("lets a house pass in which nothing is wrong", () => {
    expect(faultsOf([wren, { ...wren, name: "Pip", naps: [{ start: "12:30", length_min: 90 }] }], [avo], "2027-02")).toEqual({});
  });

  it("names the second of two people with one name, large or small", () => {
    expect(faultsOf([wren, { ...wren, name: " wren " }], [avo], "2027-02")).toEqual({ "children[1].name": expect.stringContaining("add a letter") });
    expect(faultsOf([wren], [{ ...avo, name: "WREN" }], "2027-02")).toHaveProperty(["adults[0].name"]);
    expect(of({ name: "  " })).toEqual({ "children[0].name": words.faults["empty"] });
  });

  it("knows a month that has not come, and what is no month", () => {
    expect(of({ birth_month: "2027-02" })).toEqual({});
    expect(of({ birth_month: "2027-03" })).toEqual({ "children[0].birth_month": words.faults["unborn"] });
    expect(of({ birth_month: "2021-13" })).toEqual({ "children[0].birth_month": words.faults["month"] });
  });

  it("puts bedtime after waking, naps in between and apart", () => {
    expect(of({ bed: "06:30" })).toEqual({ "children[0].bed": words.faults["bed"] });
    expect(of({ bed: "6:30pm" })).toEqual({ "children[0].bed": words.faults["time"] });
    const naps = (...starts: string[]) => of({ naps: starts.map((start) => ({ start, length_min: 60 })) });
    expect(naps("06:30", "18:00")).toEqual({});
    expect(naps("18:05")).toEqual({ "children[0].naps[0].start": words.faults["nap"] });
    expect(naps("12:00", "13:00")).toEqual({});
    expect(naps("12:00", "12:55")).toEqual({ "children[0].naps[1].start": words.faults["napsOverlap"] });
    expect(of({ naps: [{ start: "12:00", length_min: 0 }] })).toHaveProperty(["children[0].naps[0].length_min"]);
  });

  it("lets hours end after they begin", () => {
    const hours = (start: string, end: string) => faultsOf([wren], [{ ...avo, hours: [{ start, end }] }], "2027-02");
    expect(hours("08:00", "24:00")).toEqual({});
    expect(hours("08:00", "08:00")).toEqual({ "adults[0].hours[0].end": words.faults["ends"] });
    expect(hours("", "08:00")).toEqual({ "adults[0].hours[0].start": words.faults["time"] });
  });

  it("wants somebody", () => {
    expect(faultsOf([], [], "2027-02")).toEqual({ children: words.faults["nobody"], adults: words.faults["nobody"] });
  });
});
