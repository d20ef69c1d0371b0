/** The catalogue: what is asked of the service, and how an activity is changed without touching the one that is kept. */
import { ask, sending, Trouble } from "../api";
import type { Activity, Fault, ForChildren, Imported, Printable, Shelved, Sitting } from "../contract";
import { changed } from "../store";

const name = encodeURIComponent;
const path = (id: string): string => `activities/${name(id)}`;

export const getShelf = (): Promise<Shelved[]> => ask("catalogue");
export const getPrintables = (): Promise<Printable[]> => ask("printables");
export const getAmounts = (id: string, children: number): Promise<ForChildren> => ask(`${path(id)}/amounts?children=${children}`);
export const keep = (one: Activity): Promise<Activity> => ask(path(one.id), sending("PUT", one));
export const copy = (id: string): Promise<Activity> => ask(`${path(id)}/copy`, { method: "POST" });
export const takeOut = (id: string): Promise<null> => ask(path(id), { method: "DELETE" });
export const setAway = (id: string, away: boolean): Promise<null> => ask(`${path(id)}/away`, { method: away ? "PUT" : "DELETE" });

const bytes = (file: File): RequestInit => ({ method: "POST", body: file, headers: { "content-type": "application/octet-stream" } });

export const keepFile = (file: File): Promise<Printable> => ask(`printables?name=${name(file.name)}`, bytes(file));

export function bring(file: File, isKept: boolean): Promise<Imported> {
  const form = file.name.toLowerCase().endsWith(".csv") ? "csv" : "xlsx";
  return ask(`catalogue/table?format=${form}&keep=${String(isKept)}`, bytes(file));
}

/** Does it and says it; what the service finds wrong comes back line by line. */
export async function orFaults(act: () => Promise<unknown>, text: string): Promise<readonly Fault[]> {
  try {
    await act();
    await changed(text);
    return [];
  } catch (error) {
    if (error instanceof Trouble && error.problem.faults?.length) return error.problem.faults;
    throw error;
  }
}

export type Step = string | number;

/** The same with one thing in it changed; `undefined` takes it out. */
export function put<T>(into: T, [step, ...rest]: readonly Step[], value: unknown): T {
  if (step === undefined) return value as T;
  const inside = (into as Record<Step, unknown>)[step];
  const next = rest.length ? put(inside, rest, value) : value;
  if (Array.isArray(into)) return (next === undefined ? into.filter((_, at) => at !== step) : Object.assign([...into], { [step]: next })) as T;
  return { ...into, [step]: next };
}

const EASY = { minutes: 15, help: 1 } as const;

export const freshVersion = (id: string) => ({ id, age_from_months: 24, age_to_months: 84, does: "" });

/** Every age gets a part in every sitting, or the sitting could not be done. */
export function withVersion(one: Activity): Activity {
  const id = `age-${one.versions.length + 1}`;
  const known = (sitting: Sitting): Sitting => (sitting.adult_min ? sitting : { ...sitting, parts: { ...sitting.parts, [id]: EASY } });
  return { ...one, versions: [...one.versions, freshVersion(id)], sittings: one.sittings.map(known) };
}

/** The first sitting, half as long and without anything to make ready. */
export function lighterOf(one: Activity): NonNullable<Activity["lighter"]> {
  const first = one.sittings.find((sitting) => !sitting.adult_min) ?? freshSitting(one.title, one.versions.map((each) => each.id), "");
  const parts = Object.entries(first.parts).map(([id, part]) => [id, { ...part, minutes: Math.max(5, Math.round(part.minutes / 2)) }]);
  return { does: one.title, sitting: { ...first, parts: Object.fromEntries(parts) as Sitting["parts"], mess: Math.min(first.mess, 1) as Sitting["mess"], meals: [] } };
}

function freshSitting(title: string, versions: readonly string[], place: string): Sitting {
  const parts = Object.fromEntries(versions.map((id) => [id, EASY]));
  return { name: title, parts, setup_min: 5, cleanup_min: 5, mess: 1, places: [place] } as Partial<Sitting> as Sitting;
}

/** One of the family's own, to be filled in. What is not asked here the service takes as usual. */
export function freshActivity(title: string, place: string, known: ReadonlySet<string>): Activity {
  let id = "own-1";
  for (let count = 2; known.has(id); count += 1) id = `own-${count}`;
  const own: Partial<Activity> = {
    id, title, kind: "craft", areas: [], versions: [freshVersion("all")], sittings: [freshSitting(title, ["all"], place)],
    prep: [], nap_ok: true, cost: 0, caution: "", resources: [],
  };
  return own as Activity;
}
