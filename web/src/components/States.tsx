/** The page without a week: before the first answer, with no household, with no plan yet. */
import { LossProofChoice } from "./LossProof";
import { words } from "../words";
import type { WeekView } from "../model";

export function Loading() {
  return <main id="day" class="state" aria-busy="true"><h1>{words.name}</h1><p role="status">{words.loading}</p></main>;
}

export function NoPlan({ view, isMaking, make }: { view: WeekView; isMaking: boolean; make: () => void }) {
  return (
    <section class="state">
      <h2>{words.emptyTitle}</h2>
      <p>{words.emptyText}</p>
      <p class="quiet">{words.emptyCounts(view.week.wishes.length, view.week.teaching_days.length)}</p>
      <LossProofChoice week={view.week.id} asked={view.week.loss_proof} />
      {isMaking ? null : <button type="button" class="button button-main" onClick={make}>{words.makeFirst}</button>}
    </section>
  );
}

/** While the service answers: from when this is, and whether all of it has arrived. */
export function Fresh({ from, waiting }: { from: string; waiting: number }) {
  return <p class="quiet fresh">{words.freshFrom(from)} {waiting ? `${words.waitsToSend(waiting)}.` : words.allSent}</p>;
}

interface UnreachableProps {
  shownFrom: string | null;
  /** Ticks and notes that wait for the service. */
  waiting: number;
  retry: () => void;
}

export function Unreachable({ shownFrom, waiting, retry }: UnreachableProps) {
  return (
    <div class="notice notice-away" role="alert">
      <p><b>{words.unreachable}</b> {shownFrom ? words.unreachableShown(shownFrom) : words.unreachableNothing}{waiting ? ` ${words.waitsToSend(waiting)}.` : ""}</p>
      <button type="button" class="button button-quiet" onClick={retry}>{words.retry}</button>
    </div>
  );
}
