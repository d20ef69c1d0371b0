/** Ways on that the service worked out ahead for the likely mishaps of the next day. */
import * as api from "./api";
import { Trouble } from "./api";
import type { Kept, Mishap, WeekView } from "./model";
import { recall, remember } from "./shelf";
import { moment, view } from "./store";
import { minutesOf } from "./time";
import { isAlike } from "./vm/alike";

/** They belong to one plan; a newer plan makes them worthless. */
interface Ready {
  plan: number;
  kept: readonly Kept[];
}

let ready: Ready | null = fromShelf();

function fromShelf(): Ready | null {
  try {
    return JSON.parse(recall("ready") ?? "null") as Ready | null;
  } catch {
    return null;
  }
}

/** Fetched when nothing else is wanted; without them the service is asked at the touch. */
export async function fetchReady(of: WeekView): Promise<void> {
  if (!of.stored) return;
  try {
    ready = { plan: of.stored.id, kept: await api.getReady(of.week.id) };
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    return;
  }
  // Too much for a small shelf: then the first few, the likeliest, go on it.
  for (let count = ready.kept.length; count > 0 && !remember("ready", JSON.stringify({ ...ready, kept: ready.kept.slice(0, count) }));) {
    count = Math.floor(count / 2);
  }
}

export const hasReady = (of: WeekView): boolean => ready !== null && ready.plan === of.stored?.id && ready.kept.length > 0;

/** What was made ahead counts from the morning: once the day has begun, the service is asked how it stands now. */
function hasBegun(of: WeekView): boolean {
  const at = moment();
  if (!at) return false;
  return of.stored?.plan.bookings.some((one) => one.day === at.day && minutesOf(one.start) <= minutesOf(at.time)) ?? false;
}

export function readyFor(mishap: Mishap): Kept | undefined {
  const now = view.value;
  if (!now?.stored?.is_current || ready?.plan !== now.stored.id || hasBegun(now)) return undefined;
  return ready.kept.find((one) => one.happened.mishaps.length === 1 && one.happened.mishaps[0] && isAlike(mishap, one.happened.mishaps[0]));
}
