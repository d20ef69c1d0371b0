import { beforeAll, describe, expect, it, vi } from "vitest";
import type { Activity, Wait } from "../src/contract";

let room: typeof import("../src/rooms/catalogue");
beforeAll(async () => {
  vi.stubGlobal("fetch", () => Promise.resolve({ json: () => ({}) }));
  room = await import("../src/rooms/catalogue");
});

const DRY: Wait = { kind: "dry", least_min: 60, most_min: null, holder: null, units: 1 };
function inSteps(count: number, waits: readonly Wait[]): Activity {
  let one = room.freshActivity("Bread", "table");
  for (let more = 1; more < count; more += 1) one = room.withSitting(one, `step ${more + 1}`);
  return { ...one, waits: [...waits] };
}

/** The service takes one wait fewer than sittings, or as many; none at all for a single sitting. */
const fits = ({ sittings, waits }: Activity): boolean => [sittings.length - 1, sittings.length].includes(waits.length);

describe("an activity in several sittings", () => {
  it("gets a wait of nothing before a sitting that is added", () => {
    const two = room.withSitting(inSteps(1, []), "shape");
    expect(two.waits).toEqual([room.NO_WAIT]);
    expect(two.sittings[1]?.parts).toEqual({ all: room.EASY });
  });

  it("lets what held its place after the last sitting come between", () => {
    expect(room.withSitting(inSteps(1, [DRY]), "shape").waits).toEqual([DRY]);
  });

  it.each([[0, false], [1, false], [2, false], [0, true], [1, true], [2, true]])("still fits without sitting %i (a last wait: %s)", (at, isHeld) => {
    const waits = isHeld ? [DRY, room.NO_WAIT, DRY] : [DRY, room.NO_WAIT];
    const left = room.withoutSitting(inSteps(3, waits), at);
    expect(left.sittings).toHaveLength(2);
    expect(fits(left)).toBe(true);
  });

  it("takes an age out of every sitting, and never names two alike", () => {
    const two = room.withVersion(room.withVersion(inSteps(2, [DRY])));
    const [, first] = two.versions;
    const left = room.withoutVersion(two, first?.id ?? "");
    expect(left.sittings.map((sitting) => Object.keys(sitting.parts))).toEqual([["all", "age-2"], ["all", "age-2"]]);
    expect(new Set(room.withVersion(left).versions.map((version) => version.id)).size).toBe(3);
  });
});
