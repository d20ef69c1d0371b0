/** One day as blocks: named stretches, meals between them, and what lies outside both. */
import type { Day, FixedPoint } from "../model";
import { clockOf, gapsIn, minutesOf, type Span } from "../time";
import { words } from "../words";
import { cardOf, type Room } from "./cards";
import { gapItems } from "./cord";
import { fixedItems, illLines, mealsOn, napItems } from "./fixed";
import { columnOf } from "./loom";
import { layRows } from "./rows";
import type { Block, DayPicture, Item, Placed } from "./types";

interface Frame {
  id: string;
  stretch: string;
  kind: Block["kind"];
  title: string;
  clock: string;
  note: string;
  span: Span;
}

function mealFrame(room: Room, meal: FixedPoint): Frame {
  const [cook] = meal.adults;
  const start = minutesOf(meal.start);
  return {
    id: meal.id, stretch: "", kind: "meal", title: meal.title, clock: clockOf(start),
    note: meal.adult_before_min && cook ? words.cooking(room.names.person(cook), meal.adult_before_min) : "",
    span: { start, end: minutesOf(meal.end) },
  };
}

function framesOf(room: Room, day: Day): Frame[] {
  const stretches = room.view.household.stretches.map((one): Frame => ({
    id: one.id, stretch: one.id, kind: "stretch", title: one.name, note: "",
    clock: words.begins(clockOf(minutesOf(one.start)), clockOf(minutesOf(one.end))),
    span: { start: minutesOf(one.start), end: minutesOf(one.end) },
  }));
  const meals = mealsOn(room.view, day).map((meal) => mealFrame(room, meal));
  return [...stretches.flatMap((stretch) => around(stretch, meals)), ...meals].sort((a, b) => a.span.start - b.span.start);
}

/** A stretch in which meals lie goes on after each of them, without its name said again. */
function around(stretch: Frame, meals: readonly Frame[]): Frame[] {
  return gapsIn(stretch.span, meals.map((meal) => meal.span)).map((span, index) => (index === 0
    ? { ...stretch, span }
    : { ...stretch, id: `${stretch.id}-${index}`, title: "", clock: "", span }));
}

/** Where the day stands now, in minutes; null when another day is shown. */
export type Clockhand = number | null;

function bookingItems(room: Room, day: Day): { meal: string | null; item: Item }[] {
  return (room.view.stored?.plan.bookings ?? [])
    .filter((one) => one.day === day && one.alongside === null)
    .map((one) => {
      const card = cardOf(room, one);
      const column = columnOf(room.loom, one);
      return {
        meal: one.meal,
        item: { kind: column === "cord" ? "step" : "card", id: one.id, span: card.span, column, card } as Item,
      };
    });
}

function frameAt(frames: readonly Frame[], minute: number): Frame | undefined {
  return frames.find((frame) => frame.kind === "stretch" && frame.span.start <= minute && minute < frame.span.end);
}

/** Whatever lies in no stretch gets a frame of its own, in its place in the day. */
function looseFrame(item: Item): Frame {
  return { id: `between-${item.id}`, stretch: "", kind: "between", title: "", clock: "", note: "", span: item.span };
}

function itemsByFrame(room: Room, day: Day, frames: Frame[]): Map<Frame, Item[]> {
  const found = new Map<Frame, Item[]>(frames.map((frame) => [frame, []]));
  const put = (frame: Frame | undefined, item: Item) => {
    const into = frame ?? looseFrame(item);
    found.set(into, [...(found.get(into) ?? []), item]);
  };
  for (const { meal, item } of bookingItems(room, day)) {
    put(frames.find((one) => one.id === meal) ?? frameAt(frames, item.span.start), item);
  }
  const rest = [...fixedItems(room.view, room.loom, day), ...napItems(room.view, room.loom, day)];
  for (const item of rest) put(frameAt(frames, item.span.start), item);
  for (const frame of frames.filter((one) => one.kind === "stretch")) {
    for (const item of gapItems(room.view, room.loom, day, frame.span)) put(frame, item);
  }
  return found;
}

function withWhen(items: Placed[], hand: Clockhand): Placed[] {
  if (hand === null) return items;
  return items.map((item) => ({
    ...item,
    when: item.span.end <= hand ? "past" : item.span.start <= hand ? "now" : "later",
  }));
}

function blockOf(frame: Frame, items: readonly Item[], hand: Clockhand): Block {
  return { ...frame, loud: frame.kind === "meal", items: withWhen(layRows(items), hand) };
}

const isOver = (end: number, hand: Clockhand): boolean => hand !== null && end <= hand;

export function dayPicture(room: Room, day: Day, hand: Clockhand): DayPicture {
  const framed = [...itemsByFrame(room, day, framesOf(room, day))].sort(([a], [b]) => a.span.start - b.span.start);
  const past = framed.map(([frame, items]) => blockOf(frame, items.filter((item) => isOver(item.span.end, hand)), hand));
  const ahead = framed.map(([frame, items]) => blockOf(frame, items.filter((item) => !isOver(item.span.end, hand)), hand));
  const earlier = past.filter((block) => block.items.length > 0 || (block.title !== "" && isOver(block.span.end, hand)));
  return {
    blocks: markNext(ahead.filter((block) => block.items.length > 0 || (block.title !== "" && !isOver(block.span.end, hand)))),
    earlier,
    earlierCount: earlier.flatMap((block) => block.items).filter((item) => item.kind === "card").length,
    ill: illLines(room.view, day),
    isToday: hand !== null,
    isEmpty: !framed.some(([, items]) => items.some((item) => item.kind === "card")),
  };
}

/** With nothing going on now, the first thing ahead is next. */
function markNext(blocks: Block[]): Block[] {
  const cards = blocks.flatMap((block) => block.items).filter((item) => item.kind === "card");
  const isToday = blocks.some((block) => block.items.some((item) => item.when !== "later"));
  if (!isToday || cards.some((item) => item.when === "now")) return blocks;
  const next = cards[0];
  return blocks.map((block) => ({
    ...block, items: block.items.map((item) => (item === next ? { ...item, when: "next" as const } : item)),
  }));
}
