import { describe, expect, it } from "vitest";
import type { Day, TierResult } from "../src/model";
import { isTimely } from "../src/components/Suggested";
import { words } from "../src/words";
import { bandOf, openingDay } from "../src/vm/band";
import { hangsLine, napFallbacks } from "../src/vm/hangs";
import { buyGroups, eveningNotes, fetchNote, leftLines, waitLines } from "../src/vm/notes";
import { gapOf, makingText, percentText, sureOf } from "../src/vm/sure";
import { roomOf, view } from "./shown";

const room = roomOf();
const tier = (name: string, value: number, bound: number, proved = value === bound): TierResult => ({ name, value, bound, proved });

describe("notes", () => {
  it("follows one thing through its waits of the day", () => {
    const bowl = waitLines(room, "tuesday").find((line) => line.title === "Paper-pulp frog bowl");
    expect(bowl).toMatchObject({ how: "Drying", where: "drying tray on the refrigerator", when: "wanted 9:40, then Thursday 14:45" });
  });

  it("forgets what was dry the day before", () => {
    expect(waitLines(room, "tuesday").some((line) => line.title.startsWith("Wax"))).toBe(false);
  });

  it("shows Monday the evening before the week as well", () => {
    expect(eveningNotes(room, "monday").map((note) => [note.evening, note.used, note.of])).toEqual([["sunday_before", 15, 25], ["monday", 13, 20]]);
    expect(eveningNotes(room, "friday")).toHaveLength(1);
  });

  it("fetches for the first thing ahead that needs something", () => {
    expect(fetchNote(room, "thursday", null)?.things).toEqual(["Bread flour", "Dried yeast"]);
    expect(fetchNote(room, "thursday", 12 * 60)?.things).toEqual(["Paper-pulp frog bowl: from the drying tray on the refrigerator", "Green paint"]);
    expect(fetchNote(room, "sunday", null)).toBeNull();
  });

  it("groups the shopping by shop", () => {
    expect(buyGroups(room).map((group) => [group.when, group.lines.length])).toEqual([["Before the week; the list closes Friday 20:00", 3]]);
  });

  it("tells each fate with its reason and what would free it", () => {
    expect(leftLines(room, "held_over").map((line) => line.titles)).toEqual([["Six legs, four legs, no legs: card sort"], ["Stick-puppet pond story"]]);
    expect(leftLines(room, "held_over")[0]?.freedBy).toBe("Would come back with: 20 more minutes on Wednesday evening");
    expect(leftLines(room, "let_go")[0]?.freedBy).toBe("");
  });

  it("counts goes of one wish with one reason once", () => {
    const [first] = view.stored?.plan.left_over ?? [];
    if (!view.stored || !first) throw new Error("the shown week has nothing left over");
    const twice = { ...view, stored: { ...view.stored, plan: { ...view.stored.plan, left_over: [first, { ...first, go: 1 }] } } };
    expect(leftLines(roomOf(twice), "held_over")[0]?.titles).toEqual([`${first.title} (2 times)`]);
  });
});

describe("what hangs on one day", () => {
  const hang = (title: string, day: Day) => ({ wish: title, title, day, why: "", proved: true });
  const withHangs = roomOf({ ...view, hangs: [hang("Pond visit", "wednesday"), hang("Bowl", "monday"), hang("Bowl", "tuesday")] });

  it("is one line, each promise with its days", () => {
    expect(hangsLine(withHangs, null)).toBe("Worth keeping clear: Wednesday for Pond visit; Monday and Tuesday for Bowl. If such a day is lost, that waits for another week.");
  });

  it("leaves out days that have gone, and says nothing where nothing hangs", () => {
    expect(hangsLine(withHangs, "tuesday")).toContain("Tuesday for Bowl");
    expect(hangsLine(withHangs, "tuesday")).not.toContain("Monday");
    expect(hangsLine(withHangs, "friday")).toBe("");
    expect(hangsLine(roomOf({ ...view, hangs: null }), null)).toBe("");
  });
});

describe("what leans on a nap", () => {
  it("says what to do if nobody sleeps, those who are alike together", () => {
    const lean = (child: string, minutes: number) => ({ booking: "one", child, fallback: "quiet" as const, minutes });
    const [first, second] = view.household.children;
    if (!first || !second) throw new Error("the shown household has two children");
    const leaning = roomOf({ ...view, naps: [lean(first.id, 45), lean(second.id, 30)] });
    expect(napFallbacks(leaning, "one")).toEqual([`if ${first.name} or ${second.name} is up: quiet time within sight, 30 min at most`]);
    expect(napFallbacks(leaning, "another")).toEqual([]);
  });
});

describe("a suggestion", () => {
  const one = { id: "smaller-week", kind: "smaller-week" as const, child: null, days: ["2027-02-01", "2027-02-04"], until: "2027-02-18", titles: [], helped: [] };

  it("is said from the day it showed until it is old", () => {
    expect(["2027-02-03", "2027-02-04", "2027-02-18", "2027-02-19"].map((date) => isTimely(one, date))).toEqual([false, true, true, false]);
  });

  it("names who could have the child", () => {
    expect(words.napGoing("Pip", 3, ["Reading"], [{ day: "Tuesday", who: "Theo" }, { day: "Wednesday", who: "Theo" }]))
      .toBe("Pip was up at nap time 3 times lately. Reading may go better at another time, perhaps Tuesday while Theo has Pip or Wednesday while Theo has Pip.");
  });
});

describe("the band", () => {
  it("has one bead for each booking", () => {
    const beads = bandOf(view, room.names, room.loom).flatMap((day) => day.beads);
    expect(beads).toHaveLength(view.stored?.plan.bookings.length ?? -1);
    expect(beads.find((bead) => bead.id === "rolls.1.3")?.marks).toEqual([]);
    expect(beads.find((bead) => bead.id === "tub.1.1")?.rows).toEqual([1]);
  });

  it("opens on today, else on the first day with something on it", () => {
    expect(openingDay(view, "thursday")).toBe("thursday");
    expect(openingDay(view, null)).toBe("monday");
  });
});

describe("how sure", () => {
  it("says proved best only when every tier is proved", () => {
    expect(sureOf([tier("promises", 0, 0), tier("worth", 5, 5)]).isProved).toBe(true);
    expect(sureOf([tier("promises", 0, 0), tier("worth", 5, 5, false)]).isProved).toBe(false);
    expect(sureOf([]).isProved).toBe(false);
  });

  it("never rounds a gap down", () => {
    expect(percentText(0.0401)).toBe("5 %");
    expect(percentText(0.001)).toBe("1 %");
    expect(percentText(0.04)).toBe("4 %");
    expect(gapOf(0, 0)).toBe(0);
    expect(gapOf(4, 0)).toBe(1);
  });

  it("claims no percentage when little is known", () => {
    expect(sureOf([tier("worth", 100, 3)]).headline).not.toMatch(/%/);
  });

  it("speaks plainly while it searches", () => {
    expect(makingText(null).headline).toBe("Reading the week and its wishes");
    const text = makingText({ tier: "worth", value: 100, bound: 90, seconds: 3.4, bookings: 12 });
    expect(text.facts).toEqual(["at most 10 % from the best there can be", "12 things placed", "3 s"]);
    expect(text.nearness).toBeCloseTo(0.9);
  });
});
