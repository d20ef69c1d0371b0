/** Puts the items of one stretch into rows: their order, not their length. */
import { overlap } from "../time";
import type { Item, Placed } from "./types";

/** Two strands that begin within so many minutes of each other share a row. */
const SAME_ROW_MIN = 15;

const isAcross = (item: Item): boolean => item.column === "all" || item.column === "cord";


/** A gap that lies beside something which leaves the hands free shares its row. */
function besideRow(gap: Item, placed: readonly Placed[]): Placed | undefined {
  return placed.filter((one) => one.kind === "card" && typeof one.column === "number")
    .map((one) => ({ one, shared: overlap(one.span, gap.span) }))
    .filter(({ shared }) => shared * 2 > gap.span.end - gap.span.start)
    .sort((a, b) => b.shared - a.shared)[0]?.one;
}

function order(a: Item, b: Item): number {
  const rank = (item: Item) => (item.column === "all" ? 0 : item.column === "cord" ? 1 : 1 + item.column);
  return a.span.start - b.span.start || rank(a) - rank(b);
}

function place(items: readonly Item[]): Placed[] {
  const placed: Placed[] = [];
  let row = 0;
  let open: Placed[] = [];
  for (const item of items) {
    const first = open[0];
    const joins = first !== undefined && !isAcross(item) && !open.some(isAcross)
      && item.span.start - first.span.start < SAME_ROW_MIN
      && open.every((other) => other.column !== item.column);
    if (!joins) {
      open = [];
      row += 1;
    }
    const next: Placed = { ...item, row, rows: 1, isBeside: false, when: "later" };
    open.push(next);
    placed.push(next);
  }
  return placed;
}

/** A thing on one strand reaches down beside whatever else begins before it ends. */
function stretchDown(placed: Placed[]): Placed[] {
  return placed.map((item) => {
    if (typeof item.column !== "number") return item;
    const blocked = placed.find((other) => other.row > item.row && (other.column === item.column || other.column === "all"));
    const beside = placed.filter((other) => other.row > item.row && other.span.start < item.span.end
      && (!blocked || other.row < blocked.row));
    return { ...item, rows: 1 + (beside.length ? Math.max(...beside.map((other) => other.row)) - item.row : 0) };
  });
}

export function layRows(items: readonly Item[]): Placed[] {
  const sorted = [...items].sort(order);
  const gaps = sorted.filter((item) => item.kind === "gap");
  const rest = stretchDown(place(sorted.filter((item) => item.kind !== "gap")));
  const beside = gaps.map((gap) => ({ gap, host: besideRow(gap, rest) }));
  const alone = beside.filter(({ host }) => !host).map(({ gap }) => gap);
  const all = alone.length ? stretchDown(place([...rest, ...alone].map(bare).sort(order))) : rest;
  const attached = beside.flatMap(({ gap, host }): Placed[] => {
    const now = host && all.find((one) => one.id === host.id);
    return now ? [{ ...gap, row: now.row, rows: now.rows, isBeside: true, when: "later" }] : [];
  });
  return [...markBeside(all), ...attached].sort((a, b) => a.row - b.row || order(a, b));
}

/** A gap in the row of something that reaches down to it has only the cord's own width. */
function markBeside(placed: Placed[]): Placed[] {
  return placed.map((item) => (item.kind === "gap"
    ? { ...item, isBeside: placed.some((other) => other !== item && other.row <= item.row && item.row < other.row + other.rows) }
    : item));
}

function bare(item: Item | Placed): Item {
  return item;
}

