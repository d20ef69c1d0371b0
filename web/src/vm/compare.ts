/** Two weeks side by side: only what differs. */
import type { Booking, Plan, WeekView } from "../model";
import { clockOf, minutesOf, weekMinutes } from "../time";
import { DAY_NAMES, words } from "../words";

export interface Difference {
  id: string;
  title: string;
  when: string;
}

export interface Comparison {
  moved: Difference[];
  fresh: Difference[];
  gone: Difference[];
  same: number;
}

const when = (one: Booking): string => words.atClock(DAY_NAMES[one.day], clockOf(minutesOf(one.start)));
const order = (one: Booking): number => weekMinutes({ day: one.day, time: one.start });
const isSame = (one: Booking, other: Booking): boolean =>
  one.day === other.day && one.start === other.start && one.lighter === other.lighter && one.place === other.place;

export function compare(view: WeekView, now: Plan, before: Plan): Comparison {
  const was = new Map(before.bookings.map((one) => [one.id, one]));
  const is = new Map(now.bookings.map((one) => [one.id, one]));
  const title = (one: Booking): string => view.activities.find((activity) => activity.id === one.activity)?.title ?? one.activity;
  const told = (one: Booking, text: string): Difference => ({ id: one.id, title: title(one), when: text });
  const sorted = [...now.bookings].sort((a, b) => order(a) - order(b));
  const both = sorted.flatMap((one) => {
    const old = was.get(one.id);
    return old ? [{ one, old }] : [];
  });
  return {
    moved: both.filter(({ one, old }) => !isSame(one, old)).map(({ one, old }) => told(one, words.fromTo(when(old), when(one)))),
    fresh: sorted.filter((one) => !was.has(one.id)).map((one) => told(one, when(one))),
    gone: [...before.bookings].filter((one) => !is.has(one.id)).sort((a, b) => order(a) - order(b)).map((one) => told(one, when(one))),
    same: both.filter(({ one, old }) => isSame(one, old)).length,
  };
}
