import { describe, expect, it } from "vitest";
import { dayPicture } from "../src/vm/day";
import type { Block, Card, Item } from "../src/vm/types";
import { roomOf, view } from "./shown";

const room = roomOf();
const titles = (blocks: Block[]) => blocks.map((block) => block.title).filter((title) => title !== "");
const itemsOf = (blocks: Block[]): Item[] => blocks.flatMap((block) => block.items);
const cardsOf = (blocks: Block[]): Card[] => itemsOf(blocks).flatMap((item) => (item.kind === "card" || item.kind === "step" ? [item.card] : []));
const card = (blocks: Block[], id: string): Card => {
  const found = cardsOf(blocks).find((one) => one.id === id);
  if (!found) throw new Error(`no card ${id}`);
  return found;
};

describe("a day", () => {
  const tuesday = dayPicture(room, "tuesday", null).blocks;

  it("runs from meal to stretch to meal, each named once", () => {
    expect(titles(tuesday)).toEqual(["Breakfast", "After breakfast", "Mid-morning", "Lunch", "While they sleep", "After the nap", "Dinner", "Before bed"]);
  });

  it("shows each booking of the day once, one laid over another inside it", () => {
    const shown = cardsOf(tuesday).flatMap((one) => [one.id, ...one.over.map((over) => over.id)]).sort();
    const booked = (view.stored?.plan.bookings ?? []).filter((one) => one.day === "tuesday").map((one) => one.id).sort();
    expect(shown).toEqual(booked);
    expect(card(tuesday, "bowl.1.2").over.map((one) => one.title)).toEqual(["Pond picture book, read aloud"]);
  });

  it("tells each child's own way, minutes and help", () => {
    const [wren, pip] = card(tuesday, "bowl.1.2").parts;
    expect([wren?.strand.name, wren?.minutes, wren?.help]).toEqual(["Wren", 25, 2]);
    expect([pip?.strand.name, pip?.minutes, pip?.help, pip?.does]).toEqual(["Pip", 15, 3, "Pastes on strips that you hold; stops when bored"]);
  });

  it("says what waits afterwards, where and until when", () => {
    expect(card(tuesday, "bowl.1.2").then).toBe("then dries (drying tray on the refrigerator) until Thursday 14:45");
  });

  it("names the minder and whom they have", () => {
    expect(card(tuesday, "bowl.1.2").facts[0]).toBe("Linden listens for Moss");
  });

  it("keeps the clock quiet, except for dough and for leaving", () => {
    expect(card(tuesday, "hop.1.1").loud).toBe("");
    expect(card(dayPicture(room, "thursday", null).blocks, "rolls.1.2").loud).toBe("10:50");
    expect(card(dayPicture(room, "wednesday", null).blocks, "dip.1.1").loud).toBe("Out of the door by 9:40");
  });

  it("lays an adult's step on the cord", () => {
    const step = itemsOf(dayPicture(room, "thursday", null).blocks).find((item) => item.id === "rolls.1.3");
    expect([step?.kind, step?.column]).toEqual(["step", "cord"]);
  });

  it("puts a learner's nap on the strand and a baby's across", () => {
    const naps = itemsOf(tuesday).filter((item) => item.kind === "nap");
    expect(naps.map((nap) => [nap.id, nap.column])).toEqual([["nap-moss-0", "all"], ["nap-moss-1", "all"], ["nap-pip-0", 3]]);
  });

  it("counts only minutes in which nothing takes the hands", () => {
    const taken = cardsOf(tuesday).filter((one) => one.help >= 2 && one.byLead).map((one) => one.adultSpan);
    for (const gap of itemsOf(tuesday).filter((item) => item.kind === "gap")) {
      for (const span of taken) expect(Math.min(gap.span.end, span.end) - Math.max(gap.span.start, span.start)).toBeLessThanOrEqual(0);
    }
  });

  it("shows no free minutes before there is a plan", () => {
    const bare = dayPicture(roomOf({ ...view, stored: null }), "tuesday", null);
    expect(itemsOf(bare.blocks).some((item) => item.kind === "gap")).toBe(false);
    expect(bare.isEmpty).toBe(true);
    expect(itemsOf(bare.blocks).some((item) => item.kind === "fixed")).toBe(true);
  });
});

describe("today", () => {
  it("folds what is over and flags what goes on now", () => {
    const picture = dayPicture(room, "tuesday", 9 * 60 + 50);
    expect(cardsOf(picture.earlier).map((one) => one.id)).toEqual(["morning.2.1", "jar.2.1", "hop.1.1"]);
    expect(picture.earlierCount).toBe(3);
    expect(itemsOf(picture.blocks).find((item) => item.id === "bowl.1.2")).toMatchObject({ when: "now" });
  });

  it("names the next thing when nothing goes on", () => {
    const next = itemsOf(dayPicture(room, "tuesday", 8 * 60).blocks).filter((item) => "when" in item && item.when === "next");
    expect(next.map((item) => item.id)).toEqual(["morning.2.1"]);
  });

  it("folds nothing on another day", () => {
    expect(dayPicture(room, "tuesday", null).earlierCount).toBe(0);
  });
});

describe("a week with mishaps", () => {
  const week = {
    ...view.week,
    ill: [{ child: "pip", when: [{ days: ["tuesday" as const], start: "00:00", end: "24:00" }] }],
    naps: [
      { child: "pip", day: "tuesday" as const, usual_start: "13:00", start: null },
      { child: "moss", day: "tuesday" as const, usual_start: "09:15", start: "10:00" },
    ],
  };
  const picture = dayPicture(roomOf({ ...view, week }), "tuesday", null);

  it("leaves out what was called off, on that day alone", () => {
    const skipped = [{ fixed_point: "check", day: "tuesday" as const }];
    const off = { ...view, week: { ...view.week, overrides: { ...view.week.overrides, skipped } } };
    const fixed = (shown: typeof view) => itemsOf(dayPicture(roomOf(shown), "tuesday", null).blocks).filter((item) => item.kind === "fixed");
    expect(fixed(view).map((item) => item.id)).toEqual(["fixed-check"]);
    expect(fixed(off)).toEqual([]);
  });

  it("says who is ill", () => {
    expect(picture.ill).toEqual(["Pip is ill and stays in today"]);
    expect(dayPicture(roomOf({ ...view, week }), "wednesday", null).ill).toEqual([]);
  });

  it("shows naps as they are, not as they usually are", () => {
    const naps = itemsOf(picture.blocks).filter((item) => item.kind === "nap");
    expect(naps.map((nap) => [nap.id.split("-")[1], nap.span.start])).toEqual([["moss", 600], ["moss", 780]]);
  });
});

describe("a meal inside a stretch", () => {
  it("splits it, so that everything stays in order", () => {
    const snack = { ...view.fixed_points[0], id: "snack", title: "Snack", meal: "snack", start: "15:30", end: "15:45", adult_before_min: 0 };
    const shown = { ...view, fixed_points: [...view.fixed_points, snack] } as typeof view;
    const blocks = dayPicture(roomOf(shown), "tuesday", null).blocks;
    const at = blocks.findIndex((block) => block.title === "Snack");
    expect(blocks[at - 1]?.title).toBe("After the nap");
    expect(blocks[at + 1]?.items.map((item) => item.id)).toContain("tub.1.1");
    expect(blocks[at + 1]?.title).toBe("");
  });
});
