/** Which promises hang on a single day, in one line. */
import type { Day } from "../model";
import { dayIndex } from "../time";
import { DAY_NAMES, words } from "../words";
import type { Room } from "./cards";

/** Days that have gone cannot be lost any more. */
export function hangsLine(room: Room, today: Day | null): string {
  const ahead = (room.view.hangs ?? []).filter((one) => today === null || dayIndex(one.day) >= dayIndex(today));
  const titles = [...new Set(ahead.map((one) => one.title))];
  return titles.length ? words.hangs(titles.map((title) => ({
    title, days: ahead.filter((one) => one.title === title).map((one) => DAY_NAMES[one.day]),
  }))) : "";
}

/** What may be done with a booking if those who should sleep are up. */
export function napFallbacks(room: Room, booking: string): string[] {
  const leans = (room.view.naps ?? []).filter((one) => one.booking === booking);
  const alike = [...new Set(leans.map((one) => one.fallback))];
  return alike.map((fallback) => {
    const same = leans.filter((one) => one.fallback === fallback);
    return words.ifUp[fallback](same.map((one) => room.names.person(one.child)), Math.min(...same.map((one) => one.minutes)));
  });
}
