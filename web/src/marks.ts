/** Ticks and notes: shown at once, kept in the outbox until the service has them, sent once and only once. */
import { computed, signal } from "@preact/signals";
import * as api from "./api";
import { Trouble } from "./api";
import type { Item, Marks, Note } from "./model";
import { forget, recall, remember } from "./shelf";

export type Outcome = NonNullable<Item["outcome"]>;

const NOTHING: Marks = { ticks: [], notes: [] };

/** What the service knew last, for one week. */
export const known = signal<{ week: string; marks: Marks }>({ week: "", marks: NOTHING });
export const outbox = signal<readonly Item[]>([]);
outbox.value = read();

/** The shelf is shared with other tabs; where there is none, the page itself remembers. */
function read(): Item[] {
  const kept = recall("outbox");
  try {
    return kept === null ? [...outbox.value] : (JSON.parse(kept) as Item[]);
  } catch {
    return [...outbox.value];
  }
}

/** What somebody ticked goes before what the service could make again. */
function write(items: readonly Item[]): void {
  outbox.value = items;
  const text = JSON.stringify(items);
  if (remember("outbox", text)) return;
  forget("ready");
  if (!remember("outbox", text)) forget("outbox");
}

/** Plain http has no `crypto.randomUUID`; random numbers it has. */
function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

export const outcomes = computed<ReadonlyMap<string, Outcome>>(() => {
  const found = new Map<string, Outcome>();
  for (const tick of known.value.marks.ticks) if (tick.outcome) found.set(tick.booking, tick.outcome);
  for (const item of mine()) {
    if (item.note != null || item.refused || !item.booking) continue;
    if (item.outcome) found.set(item.booking, item.outcome);
    else found.delete(item.booking);
  }
  return found;
});

export const notes = computed<readonly Pick<Note, "id" | "booking" | "text">[]>(() => [
  ...known.value.marks.notes,
  ...mine().flatMap((item) => (item.note == null ? [] : [{ id: item.id, booking: item.booking ?? null, text: item.note }])),
]);

const mine = (): readonly Item[] => outbox.value.filter((item) => item.week === known.value.week);

function put(item: Omit<Item, "id" | "at">): Promise<void> {
  // Another tab may have put something in since this one looked.
  write([...read(), { ...item, id: newId(), at: new Date().toISOString() }]);
  return send();
}

export const tick = (week: string, booking: string, outcome: Outcome | null): Promise<void> => put({ week, booking, outcome });
/** A child would not: it goes into the log, whatever becomes of the booking. */
export const wouldNot = (week: string, booking: string, refused: NonNullable<Item["refused"]>): Promise<void> => put({ week, booking, refused });
export const note = (week: string, booking: string | null, text: string): Promise<void> => put({ week, booking, note: text });

/** The last thing that no service has heard of yet is taken back here; whether there was one. */
export function takeBackLast(): boolean {
  const waiting = read();
  write(waiting.slice(0, -1));
  return waiting.length > 0;
}

let sending: Promise<void> | null = null;

/** Sends what is kept; one sending at a time, and what arrived is forgotten only then. */
export function send(): Promise<void> {
  sending ??= sendAll().finally(() => { sending = null; });
  return sending;
}

async function sendAll(): Promise<void> {
  for (let waiting = read(); waiting.length > 0; waiting = read()) {
    try {
      const { ids } = await api.sendItems(waiting.slice(0, 200));
      const week = known.value.week;
      if (week) known.value = { week, marks: await api.getMarks(week) };
      const left = read().filter((item) => !ids.includes(item.id));
      write(left);
      if (ids.length === 0) return;
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      return;
    }
  }
}

export async function fetchMarks(week: string): Promise<void> {
  if (known.value.week !== week) known.value = { week, marks: keptMarks(week) };
  const marks = await api.getMarks(week);
  known.value = { week, marks };
  remember("marks", JSON.stringify(known.value));
}

export function keptMarks(week: string): Marks {
  try {
    const kept = JSON.parse(recall("marks") ?? "null") as typeof known.value | null;
    return kept?.week === week ? kept.marks : NOTHING;
  } catch {
    return NOTHING;
  }
}
