/** The service over HTTP. Every failure is a `Trouble` that says in plain words what happened. */
import type { Activity, Change, Day, Device, Invitation, Item, Job, Kept, LossProof, Marks, Mishap, Moment, MoveVerdict, Problem, StoredPlan, WeekView, WhyAnswer, Wish } from "./model";

export class Trouble extends Error {
  constructor(message: string, readonly status: number | null, readonly problem: Partial<Problem> = {}) {
    super(message);
  }

  /** Nobody answered at all. */
  get isUnreachable(): boolean {
    return this.status === null;
  }
}

function problemText(problem: Partial<Problem>): string {
  const [fault] = problem.faults ?? [];
  return [problem.detail || problem.title, fault ? `${fault.path}: ${fault.message}` : ""].filter(Boolean).join(" ");
}

async function troubleOf(response: Response): Promise<Trouble> {
  const text = await response.text();
  try {
    const problem = JSON.parse(text) as Partial<Problem>;
    return new Trouble(problemText(problem), response.status, problem);
  } catch {
    return new Trouble(`${response.status} ${response.statusText}`, response.status);
  }
}

const NOTHING_TO_SAY = 204;

export const sending = (method: string, body: unknown): RequestInit => ({
  method, body: JSON.stringify(body), headers: { "content-type": "application/json" },
});

/** With its version, for whatever may be changed on two devices at once. */
export async function answered(path: string, init?: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(`/api/${path}`, init);
  } catch (error) {
    throw new Trouble(String(error), null);
  }
  if (!response.ok) throw await troubleOf(response);
  return response;
}

export async function ask<T>(path: string, init?: RequestInit): Promise<T> {
  const response = await answered(path, init);
  return (response.status === NOTHING_TO_SAY ? null : await response.json()) as T;
}

/** Longer than this nobody waits with a child on the arm. */
const MEND_S = 3;

const name = encodeURIComponent;
const week = (id: string): string => `weeks/${name(id)}`;
const booking = (id: string, which: string): string => `${week(id)}/bookings/${name(which)}`;

/** The week that was picked while it is there, else the one of today; nothing while there is none. */
export const getView = (picked: string | null): Promise<WeekView | null> => ask(picked ? `view?week=${name(picked)}` : "view");
export const startSolve = (id: string): Promise<Job> => ask(`${week(id)}/solve`, { method: "POST" });
export const cancelJob = (id: string): Promise<Job> => ask(`jobs/${name(id)}`, { method: "DELETE" });
export const enoughOfJob = (id: string): Promise<Job> => ask(`jobs/${name(id)}/enough`, { method: "POST" });
export const getJob = (id: string): Promise<Job> => ask(`jobs/${name(id)}`);

export const getDevices = (): Promise<Device[]> => ask("devices");
export const invite = (): Promise<Invitation> => ask("pairing/offer", { method: "POST" });
export const shutOut = (id: string): Promise<null> => ask(`devices/${name(id)}`, { method: "DELETE" });
export const getChanges = (): Promise<Change[]> => ask("changes");
export const undo = (change: number): Promise<Change> => ask("undo", sending("POST", { change }));
/** The browser finishes sending a small body even when the page is closed meanwhile. */
const KEPT_ALIVE = 60_000;
export function sendItems(items: Item[]): Promise<{ ids: string[] }> {
  const init = sending("POST", items);
  return ask("outbox", { ...init, keepalive: String(init.body).length < KEPT_ALIVE });
}
export const getMarks = (id: string): Promise<Marks> => ask(`${week(id)}/marks`);
export const getWhy = (id: string, what: string): Promise<WhyAnswer> => ask(`${week(id)}/why/${name(what)}`);
export const tryMove = (id: string, which: string, day: Day, stretch: string): Promise<MoveVerdict> =>
  ask(`${booking(id, which)}/move`, sending("POST", { day, stretch }));
/** What else could be in a booking's place. */
export type Instead = "swap" | "lighter";
export const tryInstead = (id: string, which: string, how: Instead): Promise<MoveVerdict> =>
  ask(`${booking(id, which)}/${how}`, { method: "POST" });
export const mend = (id: string, mishaps: readonly Mishap[], at: Moment | null): Promise<Kept> =>
  ask(`${week(id)}/mend`, sending("POST", { mishaps, at, seconds: MEND_S }));
export const acceptOffer = (id: string, offer: string): Promise<StoredPlan> =>
  ask(`${week(id)}/offers/${name(offer)}/accept`, { method: "POST" });
export const getReady = (id: string): Promise<Kept[]> => ask(`${week(id)}/ready`);
export const holdFirm = (id: string, which: string, firm: boolean): Promise<StoredPlan> =>
  ask(`${booking(id, which)}/firm`, sending("PUT", { firm }));
/** What is ours in a document that is sent back, in the page's language. */
export const getCalled = (): Promise<Record<string, string>> => ask("called");
export const getActivities = (): Promise<Activity[]> => ask("activities");
/** The version of a week, so that what another tablet changed meanwhile is not written over unseen. */
export async function versionOf(id: string): Promise<string> {
  const answer = await answered(week(id));
  return answer.headers.get("etag") ?? "*";
}
export function putWishes(id: string, wishes: readonly Partial<Wish>[], version: string): Promise<unknown> {
  const init = sending("PUT", wishes);
  return ask(`${week(id)}/wishes`, { ...init, headers: { "content-type": "application/json", "if-match": version } });
}
export const putAside = (id: string, suggestion: string): Promise<null> =>
  ask(`${week(id)}/suggestions/${name(suggestion)}`, { method: "DELETE" });
export const makeSmaller = (id: string): Promise<unknown> => ask(`${week(id)}/smaller`, { method: "POST" });
export const putLossProof = (id: string, asked: LossProof): Promise<unknown> =>
  ask(`${week(id)}/loss-proof`, sending("PUT", { loss_proof: asked }));
export const getPlanBefore = (id: string): Promise<StoredPlan> => ask(`${week(id)}/plan-before`);
export const bringBack = (id: string, plan: number, latest: number): Promise<StoredPlan> =>
  ask(`${week(id)}/plans/${plan}/back`, sending("POST", { latest }));

/** Calls back at every change of a job; the returned function stops listening. */
export function followJob(id: string, changed: (job: Job) => void, lost: () => void): () => void {
  const events = new EventSource(`/api/jobs/${name(id)}/events`);
  events.addEventListener("job", (event) => {
    changed(JSON.parse((event as MessageEvent<string>).data) as Job);
  });
  events.addEventListener("error", () => {
    if (events.readyState === EventSource.CLOSED) lost();
  });
  return () => { events.close(); };
}
