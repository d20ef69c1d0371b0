/** Ticks and notes: shown at once, kept in the outbox until the service has them, sent once and only once. */
import { computed, signal } from "@preact/signals";
import * as api from "./api";
import { Trouble } from "./api";
import type { Item, Marks, Note } from "./model";
import { drop, keep, waitingItems, whenOthersChange } from "./outbox";
import { recall, remember } from "./shelf";

const AT_ONCE = 200;

export type Outcome = NonNullable<Item["outcome"]>;

const NOTHING: Marks = { ticks: [], notes: [] };

/** What the service knew last, for one week. */
export const known = signal<{ week: string; marks: Marks }>({ week: "", marks: NOTHING });
/** What waits on this device, as this page knows it; it is shown before it is kept. */
export const outbox = signal<readonly Item[]>([]);

/** What this page has put in and nothing but this page holds yet. */
const onTheWay = new Map<string, Item>();
/** What has arrived or was taken back, and the database may still have. */
const gone = new Set<string>();

async function look(): Promise<void> {
  const kept = await waitingItems();
  const mine = [...onTheWay.values()].filter((item) => !kept.some((one) => one.id === item.id));
  outbox.value = [...kept, ...mine].filter((item) => !gone.has(item.id));
}

const looked = look();
whenOthersChange(() => { void look(); });

async function takeOut(ids: readonly string[]): Promise<void> {
  for (const id of ids) {
    gone.add(id);
    onTheWay.delete(id);
  }
  outbox.value = outbox.value.filter((item) => !gone.has(item.id));
  await drop(ids);
}

/** Plain http has no `crypto.randomUUID`; random numbers it has. */
export function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** For what the family adds. */
export const ownId = (): string => `own-${newId()}`;

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

async function put(what: Omit<Item, "id" | "at">): Promise<void> {
  const item: Item = { ...what, id: newId(), at: new Date().toISOString() };
  onTheWay.set(item.id, item);
  outbox.value = [...outbox.value, item];
  void keep(item).then((isKept) => { if (isKept) onTheWay.delete(item.id); });
  // One that is just ending would not look at the outbox again.
  await sending;
  await send();
}

export const tick = (week: string, booking: string, outcome: Outcome | null): Promise<void> => put({ week, booking, outcome });
/** A child would not: it goes into the log, whatever becomes of the booking. */
export const wouldNot = (week: string, booking: string, refused: NonNullable<Item["refused"]>): Promise<void> => put({ week, booking, refused });
export const note = (week: string, booking: string | null, text: string): Promise<void> => put({ week, booking, note: text });

/** The last thing that no service has heard of yet is taken back here; whether there was one. */
export function takeBackLast(): boolean {
  const last = outbox.value.at(-1);
  if (last) void takeOut([last.id]);
  return last !== undefined;
}

let sending: Promise<void> | null = null;

/** Sends what is kept; one sending at a time, and what arrived is forgotten only then. */
export function send(): Promise<void> {
  sending ??= sendAll().finally(() => { sending = null; });
  return sending;
}

async function sendAll(): Promise<void> {
  await looked;
  while (outbox.value.length > 0) {
    try {
      const { ids } = await api.sendItems(outbox.value.slice(0, AT_ONCE));
      const week = known.value.week;
      if (week) known.value = { week, marks: await api.getMarks(week) };
      if (ids.length === 0) return;
      await takeOut(ids);
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
