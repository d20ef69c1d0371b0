/** What lies beside the day: to fetch, waiting, this evening, shopping, left over. */
import type { Booking, Day, Evening, LeftOver, Moment, PrepBooking, Waiting } from "../model";
import { clockOf, minutesOf, weekMinutes } from "../time";
import { doingOf, DAY_NAMES, upperFirst, words } from "../words";
import { momentText, waitsOn, type Room } from "./cards";

export interface WaitLine {
  id: string;
  title: string;
  how: string;
  where: string;
  when: string;
}

export interface PrepLine {
  id: string;
  name: string;
  minutes: number;
  purpose: string;
}

export interface EveningNote {
  evening: Evening;
  isBefore: boolean;
  lines: PrepLine[];
  used: number;
  of: number;
}

export interface FetchNote {
  things: string[];
  purpose: string;
}

export interface BuyGroup {
  when: string;
  lines: { id: string; name: string; amount: string; needBy: string }[];
}

export interface LeftLine {
  id: string;
  /** What can be asked about. */
  wish: string;
  titles: string[];
  until: string;
  sentence: string;
  freedBy: string;
}

const plan = (room: Room) => room.view.stored?.plan;
const clock = (time: string): string => clockOf(minutesOf(time));

function titleOf(room: Room, id: string | null): string {
  const booking = id ? room.names.booking(id) : undefined;
  return booking ? room.names.title(booking.activity) : (id ?? "");
}

function prepNameBefore(room: Room, wait: Waiting): string {
  return plan(room)?.prep.find((one) => one.ready_for === wait.before)?.name ?? titleOf(room, wait.before);
}

/** One line for each thing in each place; a second wait of the same day follows in it. */
export function waitLines(room: Room, day: Day): WaitLine[] {
  const lines = new Map<string, WaitLine>();
  const here = (plan(room)?.waiting ?? []).filter((wait) => waitsOn(wait, day)).sort((a, b) => untilOf(a) - untilOf(b));
  for (const wait of here) {
    const title = wait.after ? titleOf(room, wait.after) : prepNameBefore(room, wait);
    const where = wait.holder ? room.names.holder(wait.holder) : "";
    const id = `${title}|${where}|${wait.kind}`;
    const when = wait.until ? momentText(wait.until, day) : words.pastWeek;
    const before = lines.get(id);
    lines.set(id, before ? { ...before, when: words.andThen(before.when, when) } : {
      id, title, where, how: upperFirst(doingOf(words.waiting, wait.kind)),
      when: wait.before ? words.readyFor(when) : words.ready(when),
    });
  }
  return [...lines.values()];
}

const untilOf = (wait: Waiting): number => (wait.until ? weekMinutes(wait.until) : Number.POSITIVE_INFINITY);

function eveningNote(room: Room, evening: Evening, isBefore: boolean): EveningNote {
  const tasks = (plan(room)?.prep ?? []).filter((one) => one.evening === evening);
  return {
    evening, isBefore,
    lines: tasks.map((one) => prepLine(room, one)),
    used: tasks.reduce((sum, one) => sum + one.minutes, 0) + warmUps(tasks),
    of: minutesOfEvening(room, evening),
  };
}

function minutesOfEvening(room: Room, evening: Evening): number {
  if (room.view.week.overrides.no_prep.includes(evening)) return 0;
  return room.view.household.limits.prep.find((one) => one.evening === evening)?.minutes ?? 0;
}

/** A batch on one evening warms up once, at its largest. */
function warmUps(tasks: readonly PrepBooking[]): number {
  const batches = new Map<string, number>();
  for (const one of tasks) {
    const key = one.batch ?? `${one.wish}.${one.go}.${one.task}`;
    batches.set(key, Math.max(batches.get(key) ?? 0, one.warm_up_min));
  }
  return [...batches.values()].reduce((sum, minutes) => sum + minutes, 0);
}

function prepLine(room: Room, one: PrepBooking): PrepLine {
  const booking = room.names.booking(one.ready_for);
  return {
    id: `${one.wish}-${one.go}-${one.task}`, name: one.name, minutes: one.minutes,
    purpose: booking ? words.prepFor(room.names.title(booking.activity), DAY_NAMES[booking.day]) : "",
  };
}

/** This evening; on Monday the evening before as well. */
export function eveningNotes(room: Room, day: Day): EveningNote[] {
  const tonight = eveningNote(room, day, false);
  return day === "monday" ? [eveningNote(room, "sunday_before", true), tonight] : [tonight];
}

/** The first thing ahead on this day that something must be brought for. */
export function fetchNote(room: Room, day: Day, hand: number | null): FetchNote | null {
  const ahead = (plan(room)?.bookings ?? [])
    .filter((one) => one.day === day && minutesOf(one.start) >= (hand ?? 0))
    .sort((a, b) => minutesOf(a.start) - minutesOf(b.start));
  for (const booking of ahead) {
    const things = thingsFor(room, booking);
    if (things.length) return { things, purpose: words.fetchFor(room.names.title(booking.activity), clock(booking.start)) };
  }
  return null;
}

function thingsFor(room: Room, booking: Booking): string[] {
  const held = (plan(room)?.waiting ?? []).filter((wait) => wait.before === booking.id && wait.holder)
    .map((wait) => words.fetchFrom(titleOf(room, wait.after ?? wait.before), room.names.holder(wait.holder ?? "")));
  const activity = room.names.activity(booking.activity);
  const sitting = booking.lighter ? activity?.lighter?.sitting : activity?.sittings[booking.sitting];
  return [...held, ...(sitting?.needs ?? []).map((need) => room.names.material(need.material))].map(upperFirst);
}

export function buyGroups(room: Room): BuyGroup[] {
  const bought = plan(room)?.shopping ?? [];
  const closes = room.view.week.shops.find((shop) => shop.before_week)?.closes ?? "";
  const key = (at: Moment | null) => (at ? words.shopAt(`${DAY_NAMES[at.day]} ${clock(at.time)}`) : words.shopBefore(closes));
  return [...new Set(bought.map((one) => key(one.at)))].map((when) => ({
    when,
    lines: bought.filter((one) => key(one.at) === when).map((one) => ({
      id: one.material, name: one.name, amount: words.amount(one.count, one.unit),
      needBy: words.needBy(DAY_NAMES[one.need_by.day]),
    })),
  }));
}

/** Goes of one wish are told once, and wishes with the same reason together. */
export function leftLines(room: Room, fate: LeftOver["fate"]): LeftLine[] {
  const groups = new Map<string, LeftOver[]>();
  for (const one of (plan(room)?.left_over ?? []).filter((left) => left.fate === fate)) {
    const key = `${one.reason.sentence}|${one.reason.freed_by}|${one.until}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups].flatMap(([key, group]) => (group[0] ? [leftLine(key, group, group[0])] : []));
}

function leftLine(key: string, group: readonly LeftOver[], first: LeftOver): LeftLine {
  const titles = [...new Set(group.map((one) => one.title))];
  return {
    id: key, wish: first.wish,
    titles: titles.map((title) => words.goes(title, group.filter((one) => one.title === title).length)),
    until: first.until ? words.until(first.until) : "",
    sentence: first.reason.sentence,
    freedBy: first.reason.freed_by ? words.freedBy(first.reason.freed_by) : "",
  };
}
