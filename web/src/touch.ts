/** What a touch on a card comes to. */
import { computed } from "@preact/signals";
import * as api from "./api";
import { note, tick, type Outcome } from "./marks";
import type { Day, MoveOffer, MoveVerdict } from "./model";
import { clearAway } from "./sheet";
import { afterMark, changed, guarded, notice, peeked, view } from "./store";
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

export async function refuse(card: Card, child: string, reason: string): Promise<void> {
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
export async function tryMove(booking: string, day: Day, stretch: string): Promise<MoveVerdict | null> {
  let found: MoveVerdict | null = null;
  await guarded(async () => { found = await api.tryMove(weekId(), booking, day, stretch); });
  return found;
}

/** The day shows the move as it would be, to be done or left. */
export function wayToMove(verdict: MoveVerdict, picked: MoveOffer): void {
  clearAway();
  const others = verdict.offers.filter((one) => one !== picked);
  offer(words.moveOf(verdict.title), [picked, ...others], (way) => api.acceptMove(weekId(), way.id));
}
