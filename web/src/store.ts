/** What the page knows, and the only place where it changes. Data down, calls up. */
import { batch, computed, signal } from "@preact/signals";
import * as api from "./api";
import { Trouble } from "./api";
import { fetchMarks, known, keptMarks, outbox, send, takeBackLast } from "./marks";
import type { Change, Day, Job, Moment, Move, Plan, Week, WeekView } from "./model";
import { recall, remember } from "./shelf";
import { clockOf, dayOn, nowIn } from "./time";
import { bandOf, openingDay } from "./vm/band";
import type { Room } from "./vm/cards";
import { dayPicture } from "./vm/day";
import { loomOf } from "./vm/loom";
import { namesOf } from "./vm/names";
import { ours, tongue, words } from "./words";

const RETRY_MS = 5000;
const STALE = 412;

export const view = signal<WeekView | null>(null);
/** The week as an offer would leave it; the day shows it in place of the kept one. */
export const peeked = signal<{ week: Week; plan: Plan; moved: readonly Move[] } | null>(null);
/** What was changed last and can be taken back, the newest first. */
export const changes = signal<readonly Change[]>([]);
export const pickedDay = signal<Day | null>(null);
export const clock = signal(new Date());
/** `loading` until the first answer, `nothing` when there is no household. */
export const phase = signal<"loading" | "ready" | "nothing">("loading");
/** When the service last answered; set while it does not. */
export const unreachable = signal<{ shownFrom: string | null } | null>(null);
export const job = signal<Job | null>(null);
export const notice = signal<Said | null>(null);

export interface Said {
  text: string;
  tone: "good" | "plain";
  /** Offers to take the last change back. */
  undo?: boolean;
  /** What that change was, where it is not the one just told. */
  undoes?: string | undefined;
  /** The very change to take back, where the usual way back ends before it. */
  change?: number | undefined;
  /** Offers to look at what a new week does differently. */
  compare?: boolean;
  /** Works out anew what was refused because the week had changed. */
  again?: (() => void) | undefined;
}

export const isMaking = computed(() => job.value !== null && !isOver(job.value.state) && job.value.week === view.value?.week.id);
export const now = computed(() => nowIn(view.value?.household.time_zone ?? "UTC", clock.value));
export const today = computed(() => (view.value ? dayOn(view.value.monday, now.value.date) : null));
export const day = computed<Day>(() => pickedDay.value ?? (view.value ? openingDay(view.value, today.value) : "monday"));
const shown = computed<WeekView | null>(() => {
  const kept = view.value;
  const instead = peeked.value;
  if (!kept?.stored || !instead) return kept;
  return { ...kept, week: instead.week, stored: { ...kept.stored, plan: instead.plan } };
});
export const room = computed<Room | null>(() => {
  const found = shown.value;
  return found && { view: found, names: namesOf(found), loom: loomOf(found) };
});
/** Minutes of the clock when the shown day is today. */
export const hand = computed(() => (today.value === day.value ? now.value.minutes : null));
export const picture = computed(() => room.value && dayPicture(room.value, day.value, hand.value));
export const band = computed(() => (room.value ? bandOf(room.value.view, room.value.names, room.value.loom) : []));

/** When the service answered last, also when that was before the page was opened. */
const answeredAt = signal<Date | null>(null);
export const freshFrom = computed(() => answeredAt.value && whenText(view.value?.household.time_zone ?? "UTC", answeredAt.value));
let retrying: number | undefined;
/** The week that was picked by hand; without one it is the week of today, also when the page stays open over a Sunday. */
let pickedWeek: string | null = null;
let stopFollowing: () => void = () => undefined;

function answered(): void {
  answeredAt.value = new Date();
  unreachable.value = null;
}

/** Unreachable is told apart from refused: only then is trying again worth it. */
function troubled(error: unknown, byHand = false, again?: () => void): void {
  if (!(error instanceof Trouble)) throw error;
  if (!error.isUnreachable) {
    if (error.status === STALE) {
      notice.value = { text: words.refusedStale, tone: "plain", again };
      void guarded(reload);
      return;
    }
    notice.value = { text: words.failed(error.message), tone: "plain" };
    return;
  }
  if (byHand && view.value) notice.value = { text: words.needsService, tone: "plain" };
  unreachable.value = { shownFrom: view.value ? freshFrom.value : null };
  clearTimeout(retrying);
  retrying = window.setTimeout(() => { if (unreachable.value) void load(); }, RETRY_MS);
}

/** `9:05`, with its date when that was another day. */
function whenText(zone: string, at: Date): string {
  const then = nowIn(zone, at);
  const date = then.date === nowIn(zone, new Date()).date ? "" : `${then.date} `;
  return date + clockOf(then.minutes);
}

/** What the page showed last, before anybody answers. */
export function openFromShelf(): void {
  const kept = recall("view");
  if (!kept) return;
  try {
    const found = JSON.parse(kept) as { at: string; view: WeekView };
    view.value = found.view;
    answeredAt.value = new Date(found.at);
    const week = found.view.week.id;
    known.value = { week, marks: keptMarks(week) };
    phase.value = "ready";
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
  }
}

/** Reads the week that is shown. */
export async function load(): Promise<void> {
  try {
    await look();
  } catch (error) {
    troubled(error);
  }
}

/** Without an answer they stay as they were: the week itself is here. */
export async function learnNames(): Promise<void> {
  try {
    ours.value = tongue.value === "en" ? {} : await api.getCalled();
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
  }
}

async function look(): Promise<void> {
  const wanted = pickedWeek;
  const found = await api.getView(wanted);
  // Another week may have been picked while this answer was on its way.
  if (wanted !== pickedWeek) return;
  answered();
  if (!found) {
    phase.value = "nothing";
    return;
  }
  batch(() => {
    view.value = found;
    phase.value = "ready";
  });
  remember("view", JSON.stringify({ at: new Date().toISOString(), view: found }));
  await learnNames();
  if (found.job) takeUp(found.job);
  await send();
  await fetchMarks(found.week.id);
  changes.value = await toTakeBack();
}

/** Taking back a whole household would leave no week to stand on; that is not for a wet thumb. */
async function toTakeBack(): Promise<Change[]> {
  const open = (await api.getChanges()).filter((change) => !change.undone);
  const house = open.findIndex((change) => change.whole);
  return house < 0 ? open : open.slice(0, house);
}

export async function reload(): Promise<void> {
  if (view.value) await look();
}

/** After something was changed at the service: shows it, and how to take it back. */
export async function changed(text: string): Promise<void> {
  notice.value = { text, tone: "good", undo: true };
  await reload();
}

/** A tick or note arrived, or waits: what can be taken back has changed. */
export async function afterMark(): Promise<void> {
  // What could not be sent waits here; the page says so, and tries again by itself.
  if (outbox.value.length) await load();
  else await guarded(async () => { changes.value = await toTakeBack(); });
}

/** A whole house came in; the one before, if any, can come back. */
export function movedIn(text: string, change: number | undefined): void {
  notice.value = { text, tone: "good", undo: change !== undefined, change };
}

export async function undo(): Promise<void> {
  const house = notice.value?.change;
  await guarded(async () => {
    if (house !== undefined) {
      await api.undo(house);
      await load();
      notice.value = { text: words.undone, tone: "plain" };
      return;
    }
    if (outbox.value.length) await send();
    if (takeBackLast()) {
      notice.value = { text: words.undone, tone: "plain", undo: true };
      return;
    }
    const [last] = await toTakeBack();
    if (!last) {
      notice.value = { text: words.nothingToUndo, tone: "plain" };
      return;
    }
    await api.undo(last.id);
    await reload();
    const [next] = changes.value;
    notice.value = { text: words.undoneThat(last.what), tone: "plain", undo: next !== undefined, undoes: next?.what };
  });
}

/** Now, when this week is the week of today; else nothing, and the service takes the start of what happened. */
export function moment(): Moment | null {
  const at = today.value;
  return at && { day: at, time: clockOf(now.value.minutes).padStart(5, "0") };
}

export async function pickWeek(id: string): Promise<void> {
  pickedDay.value = null;
  notice.value = null;
  peeked.value = null;
  pickedWeek = id;
  await guarded(look);
}

export function pickDay(next: Day): void {
  pickedDay.value = next;
}

export async function guarded(act: () => Promise<void>, again?: () => void): Promise<void> {
  try {
    await act();
  } catch (error) {
    troubled(error, true, again);
  }
}

/** What was said just before may stay while the week is made. */
export async function makeWeek(stays = false): Promise<void> {
  const id = view.value?.week.id;
  if (!id) return;
  if (!stays) notice.value = null;
  await guarded(async () => { takeUp(await api.startSolve(id)); });
}

/** With the old week, or with the best new one so far, which comes as the end of the search. */
export async function endMaking(ask: typeof api.cancelJob): Promise<void> {
  const running = job.value;
  if (running) await guarded(async () => { jobChanged(await ask(running.id)); });
}

const isOver = (state: Job["state"]): boolean => state !== "waiting" && state !== "running";

/** The newest job wins; an older one is no longer listened to. */
function takeUp(started: Job): void {
  if (isOver(started.state) || job.value?.id === started.id) return;
  stopFollowing();
  job.value = started;
  stopFollowing = api.followJob(started.id, jobChanged, () => { void guarded(async () => { jobChanged(await api.getJob(started.id)); }); });
}

function jobChanged(changed: Job): void {
  if (changed.id !== job.value?.id) return;
  job.value = isOver(changed.state) ? null : changed;
  if (!isOver(changed.state)) return;
  stopFollowing();
  notice.value = endNotice(changed);
  if (changed.state === "done" && changed.week === view.value?.week.id) void guarded(look);
}

function endNotice(ended: Job): Said {
  if (ended.state === "done") return { text: words.made, tone: "good", compare: view.value?.stored != null };
  return { text: ended.state === "cancelled" ? words.cancelled : words.failed(ended.reason), tone: "plain" };
}

export function closeNotice(): void {
  notice.value = null;
}

/** A new day begins with itself, whatever was looked at the evening before. */
export function readClock(): void {
  const before = now.value.date;
  clock.value = new Date();
  if (now.value.date === before) return;
  pickedDay.value = null;
  pickedWeek = null;
}

/** Once a minute, so that what other tablets did is seen, and a service that fell asleep is told of. */
export function tick(): void {
  readClock();
  if (!unreachable.value && !peeked.value && phase.value === "ready" && document.visibilityState === "visible") void load();
}
