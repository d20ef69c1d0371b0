/** What happened, the ways on from there, and which of them the day shows as if it were done. */
import { computed, signal } from "@preact/signals";
import * as api from "./api";
import { Trouble } from "./api";
import type { KeptOffer as Way, Mishap } from "./model";
import { clearAway } from "./sheet";
import { changed, guarded, moment, peeked, view } from "./store";
import { readyFor } from "./ready";
import { peekBadges } from "./vm/offers";
import { words } from "./words";

export type Ways =
  | { step: "looking"; said: string }
  | { step: "offered"; said: string; ways: readonly Way[]; picked: number; again: () => void };

export const ways = signal<Ways | null>(null);
export const pickedWay = computed(() => (ways.value?.step === "offered" ? (ways.value.ways[ways.value.picked] ?? null) : null));

let asked = 0;

/** Tells the service what happened; the last question asked is the one that is answered. */
export async function happened(said: string, mishap: Mishap): Promise<void> {
  const id = view.value?.week.id;
  if (!id) return;
  clearAway();
  const mine = ++asked;
  ways.value = { step: "looking", said };
  await guarded(async () => {
    const found = readyFor(mishap) ?? await api.mend(id, [mishap], moment());
    if (mine === asked) offer(said, found.offers, () => { void happened(said, mishap); });
  });
  if (mine === asked && ways.value.step === "looking") leave();
}

export function offer(said: string, found: readonly Way[], again: () => void): void {
  ways.value = { step: "offered", said, ways: found, picked: 0, again };
  peek();
}

const badges = computed(() => peekBadges(peeked.value?.moved ?? []));

/** What a card says of itself while an offer is only looked at. */
export const peekBadge = (booking: string): string | undefined => badges.value.get(booking);

export function pickWay(index: number): void {
  if (ways.value?.step !== "offered") return;
  ways.value = { ...ways.value, picked: index };
  peek();
}

function peek(): void {
  const way = pickedWay.value;
  peeked.value = way && { week: way.offer.week, plan: way.offer.plan, moved: way.offer.moved };
}

export function leave(): void {
  asked += 1;
  ways.value = null;
  peeked.value = null;
}

export async function acceptPicked(): Promise<void> {
  const now = ways.value;
  const way = pickedWay.value;
  const id = view.value?.week.id;
  if (now?.step !== "offered" || !way || !id) return;
  await guarded(async () => {
    await api.acceptOffer(id, way.id).catch((error: unknown) => {
      // Only what nobody answered may be tried again; a refused way was worked out for a week that is gone.
      if (error instanceof Trouble && !error.isUnreachable) leave();
      throw error;
    });
    leave();
    await changed(words.accepted);
  }, now.again);
}
