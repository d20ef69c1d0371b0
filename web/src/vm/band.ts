/** The week small: one bead for each booking, in order, day by day. */
import type { Day, WeekView } from "../model";
import { DAYS, dateAfter, dayIndex, minutesOf } from "../time";
import { columnOf } from "./loom";
import type { Names } from "./names";
import type { Loom } from "./types";

export interface Bead {
  id: string;
  title: string;
  /** Marks of the children in it; empty for an adult's step. */
  marks: number[];
  /** Which strands those are, from 0. */
  rows: number[];
  promise: boolean;
  over: boolean;
  /** A thread is left between two stretches. */
  newStretch: boolean;
}

export interface BandDay {
  day: Day;
  date: Date;
  beads: Bead[];
  promises: number;
}

function beadsOf(view: WeekView, names: Names, loom: Loom, day: Day): Bead[] {
  const bookings = (view.stored?.plan.bookings ?? [])
    .filter((one) => one.day === day)
    .sort((a, b) => minutesOf(a.start) - minutesOf(b.start) || (a.id < b.id ? -1 : 1));
  return bookings.map((one, index) => {
    const rows = columnOf(loom, one) === "cord" ? []
      : loom.strands.flatMap((strand, at) => (one.attends.some((child) => child.child === strand.id) ? [at] : []));
    return {
      id: one.id, title: names.title(one.activity), rows,
      marks: rows.map((at) => loom.strands[at]?.mark ?? 0),
      promise: names.wish(one.wish)?.rank === "promise",
      over: one.alongside !== null,
      newStretch: index > 0 && bookings[index - 1]?.stretch !== one.stretch,
    };
  });
}

export function bandOf(view: WeekView, names: Names, loom: Loom): BandDay[] {
  return DAYS.map((day) => {
    const beads = beadsOf(view, names, loom, day);
    return { day, date: dateAfter(view.monday, dayIndex(day)), beads, promises: beads.filter((bead) => bead.promise).length };
  });
}

/** Today when it lies in this week, else the first day that has something on it. */
export function openingDay(view: WeekView, today: Day | null): Day {
  return today ?? DAYS.find((day) => view.stored?.plan.bookings.some((one) => one.day === day)) ?? "monday";
}
