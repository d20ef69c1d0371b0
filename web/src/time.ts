/** Clock times and days. Minutes count from midnight; week minutes from Monday 00:00. */
import type { Day, Moment } from "./model";

export const DAYS: readonly Day[] = [
  "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
];
export const DAY_MIN = 24 * 60;

export function minutesOf(clock: string): number {
  const [hours = 0, minutes = 0] = clock.split(":").map(Number);
  return hours * 60 + minutes;
}

/** `9:05` of 545. */
export function clockOf(minutes: number): string {
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}`;
}

export function dayIndex(day: Day): number {
  return DAYS.indexOf(day);
}

export function weekMinutes(moment: Moment): number {
  return dayIndex(moment.day) * DAY_MIN + minutesOf(moment.time);
}

/** The date so many days after a date written `2027-02-01`, as UTC midnight. */
export function dateAfter(monday: string, days: number): Date {
  return new Date(Date.parse(`${monday}T00:00:00Z`) + days * DAY_MIN * 60_000);
}

export interface Now {
  /** `2027-02-02` where the household lives. */
  date: string;
  minutes: number;
}

/** What the clock on the wall of the household says. */
export function nowIn(timeZone: string, at: Date): Now {
  const parts = new Intl.DateTimeFormat("en-GB", {
    timeZone, year: "numeric", month: "2-digit", day: "2-digit",
    hour: "2-digit", minute: "2-digit", hourCycle: "h23",
  }).formatToParts(at);
  const part = (type: string) => parts.find((one) => one.type === type)?.value ?? "0";
  return {
    date: `${part("year")}-${part("month")}-${part("day")}`,
    minutes: Number(part("hour")) * 60 + Number(part("minute")),
  };
}

/** Which day of the week that starts on `monday` a date is, or null. */
export function dayOn(monday: string, date: string): Day | null {
  const days = (Date.parse(`${date}T00:00:00Z`) - Date.parse(`${monday}T00:00:00Z`)) / (DAY_MIN * 60_000);
  return DAYS[days] ?? null;
}

export interface Span {
  start: number;
  end: number;
}

export function overlap(one: Span, other: Span): number {
  return Math.max(0, Math.min(one.end, other.end) - Math.max(one.start, other.start));
}

/** The pieces of `whole` that no span covers. */
export function gapsIn(whole: Span, taken: readonly Span[]): Span[] {
  const gaps: Span[] = [];
  let from = whole.start;
  for (const span of [...taken].sort((a, b) => a.start - b.start)) {
    if (span.start > from) gaps.push({ start: from, end: Math.min(span.start, whole.end) });
    from = Math.max(from, span.end);
  }
  if (from < whole.end) gaps.push({ start: from, end: whole.end });
  return gaps.filter((gap) => gap.end > gap.start);
}
