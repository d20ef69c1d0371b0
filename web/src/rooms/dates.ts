/** Dates as people say them, in the language that is chosen. */
import { useEffect, useState } from "preact/hooks";
import { changes, guarded, unreachable } from "../store";
import { dateAfter } from "../time";
import { TONGUES, tongue } from "../words";

/** `Mon 19 April` of `2027-04-19`. */
export const dateText = (date: string): string =>
  new Intl.DateTimeFormat(TONGUES[tongue.value].locale, { weekday: "short", day: "numeric", month: "long", timeZone: "UTC" }).format(dateAfter(date, 0));

export const daysAfter = (date: string, days: number): string => dateAfter(date, days).toISOString().slice(0, 10);

/** `2027-W05` of a Monday: its Thursday says the year (ISO 8601). */
export function isoWeek(monday: string): string {
  const thursday = daysAfter(monday, 3);
  const year = thursday.slice(0, 4);
  const days = (Date.parse(`${thursday}T00:00:00Z`) - Date.parse(`${year}-01-01T00:00:00Z`)) / 86_400_000;
  return `${year}-W${String(Math.floor(days / 7) + 1).padStart(2, "0")}`;
}

/** Read again after every change, so that what was taken back is seen to be. */
export function useFresh<T>(key: string, read: () => Promise<T>): T | null {
  const [found, keep] = useState<{ key: string; value: T } | null>(null);
  const latest = changes.value;
  const isAway = unreachable.value !== null;
  useEffect(() => {
    let isWanted = true;
    void guarded(async () => {
      const value = await read();
      if (isWanted) keep({ key, value });
    });
    return () => { isWanted = false; };
  }, [key, latest, isAway]);
  return found?.key === key ? found.value : null;
}
