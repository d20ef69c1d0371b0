/** What a touch on a card comes to. */
import { computed } from "@preact/signals";
import * as api from "./api";
import type { Instead } from "./api";
import { note, tick, wouldNot, type Outcome } from "./marks";
import type { Day, KeptOffer, MoveVerdict } from "./model";
import { clearAway } from "./sheet";
import { afterMark, changed, day, guarded, hand, notice, peeked, view } from "./store";
import type { Card } from "./vm/types";
import { happened, offer } from "./ways";
import { words } from "./words";

/** While an offer is only looked at, its cards cannot be touched. */
export const isPeeking = computed(() => peeked.value !== null);

const weekId = (): string => view.value?.week.id ?? "";

export function setOutcome(card: Pick<Card, "id" | "title">, outcome: Outcome | null): void {
  notice.value = { text: outcome ? words.ticked(card.title, words.outcomes[outcome]) : words.untick(card.title), tone: "good", undo: true };
  void tick(weekId(), card.id, outcome).then(afterMark);
}

export function writeNote(booking: string | null, text: string): void {
  notice.value = { text: words.noted, tone: "good", undo: true };
  void note(weekId(), booking, text).then(afterMark);
}

/** How long it was tried, if it goes on just now. */
function triedMinutes(card: Card, child: string): number {
  const planned = card.parts.find((part) => part.strand.id === child)?.minutes ?? 0;
  const tried = hand.value === null || day.value !== card.day ? 0 : hand.value - card.span.start;
  return tried > 0 && tried <= planned ? tried : 0;
}

/** Remembered first, for this child alone; then the ways on. */
export async function refuse(card: Card, child: string, reason: string): Promise<void> {
  void wouldNot(weekId(), card.id, { child, reason, minutes: triedMinutes(card, child) }).then(afterMark);
  await happened(`${words.notToday}: ${card.title}`, { kind: "refused", booking: card.id, child, reason });
}

export async function hold(card: Card, firm: boolean): Promise<void> {
  clearAway();
  await guarded(async () => {
    await api.holdFirm(weekId(), card.id, firm);
    await changed(firm ? words.heldNow(card.title) : words.looseNow(card.title));
  });
}

/** What a move comes to; nothing when the service could not be asked, which is told elsewhere. */
export const tryMove = (booking: string, to: Day, stretch: string): Promise<MoveVerdict | null> =>
  verdictOf(() => api.tryMove(weekId(), booking, to, stretch));
export const tryInstead = (booking: string, how: Instead): Promise<MoveVerdict | null> =>
  verdictOf(() => api.tryInstead(weekId(), booking, how));

async function verdictOf(ask: () => Promise<MoveVerdict>): Promise<MoveVerdict | null> {
  let found: MoveVerdict | null = null;
  await guarded(async () => { found = await ask(); });
  return found;
}

/** The day shows the change as it would be, to be done or left. */
export function wayTo(said: string, verdict: MoveVerdict, picked: KeptOffer, again: () => void): void {
  clearAway();
  const others = verdict.offers.filter((one) => one !== picked);
  offer(said, [picked, ...others], again);
}
