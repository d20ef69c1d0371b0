/** Friday's pass: what is said of each booking, kept on this device until the log has it. */
import { signal } from "@preact/signals";
import { ask, sending } from "../api";
import type { Draft, FridayLine, LogLine } from "../contract";
import { forget, recall, remember } from "../shelf";

export type Outcome = FridayLine["outcome"];
export type Said = Partial<Omit<FridayLine, "booking">>;

interface Pass {
  week: string;
  lines: Record<string, Said>;
}

/** Said on this device and not in the log yet, for one week; other weeks wait on the shelf. */
export const pass = signal<Pass>({ week: "", lines: {} });

export function openPass(week: string): void {
  if (pass.value.week === week) return;
  pass.value = { week, lines: fromShelf(week) };
  drafts.value = null;
}

function fromShelf(week: string): Pass["lines"] {
  try {
    return (JSON.parse(recall(`pass.${week}`) ?? "null") as Pass["lines"] | null) ?? {};
  } catch {
    return {};
  }
}

export const outcomeOf = (draft: Draft): Outcome | null => pass.value.lines[draft.booking]?.outcome ?? draft.outcome;

/** Whoever gives minutes without an outcome means that it was done. */
export function say(draft: Draft, said: Said): void {
  const before = pass.value.lines[draft.booking] ?? {};
  const outcome = said.outcome ?? before.outcome ?? draft.outcome ?? "done";
  keep({ ...pass.value.lines, [draft.booking]: { ...before, ...said, outcome } });
}

export function sayOfOthers(drafts: readonly Draft[], outcome: Outcome): void {
  const open = drafts.filter((draft) => outcomeOf(draft) === null);
  keep({ ...pass.value.lines, ...Object.fromEntries(open.map((draft) => [draft.booking, { outcome }])) });
}

function keep(lines: Record<string, Said>): void {
  pass.value = { ...pass.value, lines };
  const name = `pass.${pass.value.week}`;
  if (Object.keys(lines).length) remember(name, JSON.stringify(lines));
  else forget(name);
}

/** What the log does not hold yet, ticks of the week included. */
export function toWrite(drafts: readonly Draft[]): FridayLine[] {
  return drafts.flatMap((draft) => {
    const said = pass.value.lines[draft.booking];
    const outcome = outcomeOf(draft);
    if (!outcome || (!said && draft.logged)) return [];
    const took = outcome === "not" || outcome === "no" ? {} : { ...draft.minutes, ...said?.minutes };
    return [{ booking: draft.booking, reasons: {}, setup_min: null, cleanup_min: null, counts: true, note: "", ...draft.said, ...said, outcome, minutes: took }];
  });
}

const path = (week: string): string => `weeks/${encodeURIComponent(week)}/friday`;

/** Every booking of the week as the log and the ticks have it. */
export const drafts = signal<readonly Draft[] | null>(null);

export async function fetchDrafts(week: string): Promise<void> {
  drafts.value = await ask<Draft[]>(path(week));
}

export async function write(week: string, of: readonly Draft[]): Promise<void> {
  const sent = pass.value.lines;
  await ask<LogLine[]>(path(week), sending("POST", { lines: toWrite(of) }));
  await fetchDrafts(week);
  // What was touched while it was on its way has not arrived.
  keep(Object.fromEntries(Object.entries(pass.value.lines).filter(([booking, line]) => line !== sent[booking])));
}
