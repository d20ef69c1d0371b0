import { describe, expect, it } from "vitest";
import type { Booking, Mishap, Offer } from "../src/model";
import { isAlike } from "../src/vm/alike";
import { compare } from "../src/vm/compare";
import { choiceGroups } from "../src/vm/mishaps";
import { offerParts } from "../src/vm/offers";
import { catalogueLines, choicesOf, isFor, NO_FILTER, wishesFrom } from "../src/vm/wishes";
import { worked } from "../src/words/worked";
import plainEnglish from "../src/words/english.json";
import plain from "../src/words/spanish.json";
import { roomOf, view } from "./shown";

const room = roomOf();
const plan = view.stored?.plan;
if (!plan) throw new Error("the shown week has a plan");

describe("what may have happened", () => {
  const texts = (hand: number | null) => choiceGroups(room, "tuesday", hand).flatMap((group) => group.choices.map((one) => one.text));

  it("names every child and whoever naps on that day", () => {
    expect(texts(null)).toContain("Wren is ill");
    expect(texts(null)).toContain("Moss did not sleep");
    expect(texts(null)).not.toContain("Wren did not sleep");
  });

  it("lets only what goes on just now run on", () => {
    expect(texts(null).some((text) => text.startsWith("Let it run on"))).toBe(false);
    expect(texts(9 * 60 + 50)).toContain("Let it run on: Paper-pulp frog bowl");
  });

  it("asks for no two different things with one name", () => {
    expect(new Set(texts(590)).size).toBe(texts(590).length);
  });
});

describe("what was made ahead", () => {
  const ill: Mishap = { kind: "day-lost", day: "tuesday", children: ["pip"] };

  it("answers the same mishap, whatever is left unsaid", () => {
    expect(isAlike(ill, { kind: "day-lost", day: "tuesday", start: "00:00", end: "24:00", children: ["pip"], adults: [] })).toBe(true);
  });

  it("answers no other", () => {
    expect(isAlike(ill, { kind: "day-lost", day: "tuesday", children: ["wren"] })).toBe(false);
    expect(isAlike(ill, { kind: "day-lost", day: "wednesday", children: ["pip"] })).toBe(false);
    expect(isAlike(ill, { kind: "day-lost", day: "tuesday", children: ["pip"], start: "12:00" })).toBe(false);
  });
});

describe("an offer", () => {
  const offer: Offer = {
    kind: "moves", sentence: "Move it.", held_over: [], let_go: [], added: [], unchanged: 3, notes: ["Pip is up."],
    changes_bound: { value: 1, bound: 1, proved: true }, plan, week: view.week,
    moved: [{ booking: "hop.1.1", title: "Number hop", from_day: "tuesday", from_start: "09:00", to_day: "friday", to_start: "09:00", to_stretch: view.household.stretches[0]?.id ?? null, lighter: false }],
    cancelled: [{ fixed_point: "lib", title: "Library story hour", day: "monday", for_whom: ["wren"], why: "Wren is ill", tell: "Let them know." }],
  };

  it("tells each change in its own part, and whom to tell", () => {
    const parts = offerParts(room, offer);
    expect(parts.map((part) => part.kind)).toEqual(["moved", "off", "notes"]);
    expect(parts[0]?.lines[0]?.text).toBe("Number hop: Tuesday → Friday, after breakfast");
    expect(parts[1]?.lines[0]).toMatchObject({ text: "Library story hour, Monday · Wren", more: "Wren is ill. Let them know." });
  });
});

describe("choosing wishes", () => {
  const all = view.activities;
  const choices = choicesOf(all, view.week.wishes);

  it("finds words without regard to accents and capitals", () => {
    const found = catalogueLines(view, all, { ...NO_FILTER, text: "PÓND" }, choices);
    expect(found.length).toBeGreaterThan(0);
    expect(found.every((line) => `${line.title} ${line.activity.theme ?? ""}`.toLowerCase().includes("pond"))).toBe(true);
  });

  it("narrows by mess, prep and age", () => {
    const clean = catalogueLines(view, all, { ...NO_FILTER, mess: 0, prep: 0 }, choices);
    expect(clean.every((line) => line.activity.prep.length === 0 && line.activity.sittings.every((one) => one.mess === 0))).toBe(true);
    const child = view.household.children[0];
    if (!child) throw new Error("a child");
    const [activity] = all;
    if (!activity) throw new Error("an activity");
    const tooOld = { ...activity, versions: activity.versions.map((one) => ({ ...one, age_from_months: 200, age_to_months: 240 })) };
    expect(isFor(tooOld, child, view.monday)).toBe(false);
  });

  it("keeps all that was not touched as it was", () => {
    expect(wishesFrom(view.week.wishes, new Map())).toEqual(view.week.wishes);
  });

  it("adds, changes and takes away", () => {
    const [first, second] = view.week.wishes;
    if (!first || !second) throw new Error("two wishes");
    const after = wishesFrom(view.week.wishes, new Map([[first.activity, "none"], [second.activity, "promise"], ["brand-new", "extra"]]));
    expect(after.some((wish) => wish.activity === first.activity)).toBe(false);
    expect(after.find((wish) => wish.id === second.id)?.rank).toBe("promise");
    expect(after.at(-1)).toEqual({ id: "brand-new", activity: "brand-new", rank: "extra" });
    expect(after.every((wish) => !wish.after?.includes(first.id))).toBe(true);
  });
});

describe("two weeks side by side", () => {
  it("tells only what differs", () => {
    const [one, two, ...rest] = plan.bookings;
    if (!one || !two) throw new Error("two bookings");
    const later: Booking = { ...two, day: "friday", start: "16:00" };
    const found = compare(view, { ...plan, bookings: [later, ...rest] }, plan);
    expect(found.gone.map((line) => line.id)).toEqual([one.id]);
    expect(found.moved.map((line) => line.id)).toEqual([two.id]);
    expect(found.fresh).toEqual([]);
    expect(found.same).toBe(rest.length);
    expect(compare(view, plan, { ...plan, bookings: rest }).fresh).toHaveLength(2);
  });
});

describe("the two languages", () => {
  const say = (word: unknown): string => (typeof word === "string" ? word : "");

  it("share no sentence but the name and what is the same in both", () => {
    const of = (set: typeof plainEnglish): Record<string, unknown> => ({ ...set, ...set.filled, ...set.worked });
    const pairs = Object.entries(of(plainEnglish)).map(([key, word]) => [key, say(word), say(of(plain)[key])] as const);
    expect(pairs.filter(([, one, other]) => /[a-z]/i.test(one) && one === other).map(([key]) => key)).toEqual(["name"]);
  });

  it("leave the same places open in every sentence", () => {
    const texts = (of: unknown): unknown[] => (typeof of === "string" ? [of.match(/\{\d\}/g)?.sort() ?? []] : Object.entries(of as object).map(([key, part]) => [key, texts(part)]));
    expect(texts(plain.filled)).toEqual(texts(plainEnglish.filled));
    expect(texts(plain.worked)).toEqual(texts(plainEnglish.worked));
  });

  it("work out one and many, and who has whom, in both", () => {
    const en = worked(plainEnglish.worked, "en-GB");
    const es = worked(plain.worked, "es");
    expect([en.thingsWait(1), en.thingsWait(3), es.thingsWait(1), es.thingsWait(3)]).toEqual(["1 thing", "3 things", "1 cosa", "3 cosas"]);
    expect([en.weekOf("pond life", "2026-W11"), es.weekOf(null, "2026-W11")]).toEqual(["Pond life week", "Semana 11"]);
    expect([en.minder("Ada", ["Pip", "Moss"], []), es.minder("Ada", [], ["Pip"])]).toEqual(["Ada has Pip and Moss", "Ada está pendiente de Pip"]);
    expect(en.thenWaits("drying", "sill", "14:00")).toBe("then drying (sill) until 14:00");
    expect(en.ifUp.beside(["Pip", "Moss"], 5)).toBe("if Pip or Moss is up: with Pip and Moss on the arm");
    expect(es.napGoing("Pip", 3, ["Lupas"], [{ day: "Lunes", who: "Ada" }])).toContain("por ejemplo el lunes, mientras Ada está con Pip.");
    expect([en.eveningTotal(20, 0), en.eveningTotal(20, 150), en.listOf([])]).toEqual(["20 min in all", "20 min of the 2 h 30 min you have", ""]);
  });

  it("joins names as Spanish does", () => {
    const { listOf } = worked(plain.worked, "es");
    expect(listOf(["Wren", "Iris"])).toBe("Wren e Iris");
    expect(listOf(["Pip", "Moss", "Wren"])).toBe("Pip, Moss y Wren");
  });
});
