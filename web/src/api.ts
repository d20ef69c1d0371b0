/** The service over HTTP. Every failure is a `Trouble` that says in plain words what happened. */
import type { Job, Problem, WeekSummary, WeekView } from "./model";

export class Trouble extends Error {
  constructor(message: string, readonly status: number | null) {
    super(message);
  }

  /** Nobody answered at all. */
  get isUnreachable(): boolean {
    return this.status === null;
  }
}

function problemText(problem: Partial<Problem>): string {
  const [fault] = problem.faults ?? [];
  return [problem.detail ?? problem.title ?? "", fault ? `${fault.path}: ${fault.message}` : ""].filter(Boolean).join(" ");
}

async function troubleOf(response: Response): Promise<Trouble> {
  const text = await response.text();
  try {
    return new Trouble(problemText(JSON.parse(text) as Partial<Problem>), response.status);
  } catch {
    return new Trouble(`${response.status} ${response.statusText}`, response.status);
  }
}

async function ask<T>(path: string, init?: RequestInit): Promise<T> {
  let response: Response;
  try {
    response = await fetch(`/api/${path}`, init);
  } catch (error) {
    throw new Trouble(String(error), null);
  }
  if (!response.ok) throw await troubleOf(response);
  return (await response.json()) as T;
}

const week = (id: string): string => `weeks/${encodeURIComponent(id)}`;

export const getWeeks = (): Promise<WeekSummary[]> => ask("weeks");
export const getView = (id: string): Promise<WeekView> => ask(`${week(id)}/view`);
export const startSolve = (id: string): Promise<Job> => ask(`${week(id)}/solve`, { method: "POST" });
export const cancelJob = (id: string): Promise<Job> => ask(`jobs/${encodeURIComponent(id)}`, { method: "DELETE" });
export const getJob = (id: string): Promise<Job> => ask(`jobs/${encodeURIComponent(id)}`);

/** Calls back at every change of a job; the returned function stops listening. */
export function followJob(id: string, changed: (job: Job) => void, lost: () => void): () => void {
  const events = new EventSource(`/api/jobs/${encodeURIComponent(id)}/events`);
  events.addEventListener("job", (event) => {
    changed(JSON.parse((event as MessageEvent<string>).data) as Job);
  });
  events.addEventListener("error", () => {
    if (events.readyState === EventSource.CLOSED) lost();
  });
  return () => { events.close(); };
}
