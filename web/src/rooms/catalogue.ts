/** The catalogue: what is asked of the service, and how an activity is changed without touching the one that is kept. */
import { signal } from "@preact/signals";
import { answered, ask, sending, Trouble } from "../api";
import type { Activity, Fault, ForChildren, Imported, Printable, Shelved, Sitting, Wait } from "../contract";
import { ownId } from "../marks";
import { changed } from "../store";
import { tell } from "./tell";

const name = encodeURIComponent;
const path = (id: string): string => `activities/${name(id)}`;

export const getShelf = (): Promise<Shelved[]> => ask("catalogue");
export const getPrintables = (): Promise<Printable[]> => ask("printables");
export const getAmounts = (id: string, children: number): Promise<ForChildren> => ask(`${path(id)}/amounts?children=${children}`);
/** The version that a draft began from, by activity. */
export const begunFrom = new Map<string, string>();
export async function keep(one: Activity, version = "*"): Promise<void> {
  const init = sending("PUT", one);
  const answer = await answered(path(one.id), { ...init, headers: { ...init.headers, "if-match": version } });
  begunFrom.set(one.id, answer.headers.get("etag") ?? "*");
}
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

/** What is being written and not kept yet, by activity: closing it or leaving the room loses nothing. */
export const drafts = signal<Readonly<Record<string, Activity | undefined>>>({});
export const NEW = "";

export function turnDraft(key: string, kept: Activity, version: string | undefined, turn: (now: Activity) => Activity): void {
  if (!drafts.value[key] && version) begunFrom.set(key, version);
  drafts.value = { ...drafts.value, [key]: turn(drafts.value[key] ?? kept) };
}

export type Step = string | number;

/** The same with one thing in it changed; `undefined` takes it out. */
export function put<T>(into: T, [step, ...rest]: readonly Step[], value: unknown): T {
  if (step === undefined) return value as T;
  const inside = (into as Record<Step, unknown>)[step];
  const next = rest.length ? put(inside, rest, value) : value;
  if (Array.isArray(into)) return (next === undefined ? into.filter((_, at) => at !== step) : Object.assign([...into], { [step]: next })) as T;
  return Object.fromEntries(Object.entries({ ...into, [step]: next }).filter(([, one]) => one !== undefined)) as T;
}

export const EASY = { minutes: 15, help: 1 } as const;
export const NO_WAIT: Wait = { kind: "rest", least_min: 0, most_min: null, holder: null, units: 1 };

export const freeId = (stem: string, taken: readonly { id: string }[]): string => {
  let count = 1;
  while (taken.some((one) => one.id === `${stem}-${count}`)) count += 1;
  return `${stem}-${count}`;
};

const version = (id: string) => ({ id, age_from_months: 24, age_to_months: 84, does: "" });

export function ages(one: Activity, id: string): string {
  const found = one.versions.find((each) => each.id === id);
  return found ? tell("version", found.age_from_months, found.age_to_months) : id;
}

/** Every age gets a part in every sitting, or the sitting could not be done. */
export function withVersion(one: Activity): Activity {
  const id = freeId("age", one.versions);
  const known = (sitting: Sitting): Sitting => (sitting.adult_min ? sitting : put(sitting, ["parts", id], EASY));
  return { ...one, versions: [...one.versions, version(id)], sittings: one.sittings.map(known) };
}

export function withoutVersion(one: Activity, id: string): Activity {
  const known = (sitting: Sitting): Sitting => put(sitting, ["parts", id], undefined);
  const { lighter } = one;
  return { ...one, versions: one.versions.filter((each) => each.id !== id), sittings: one.sittings.map(known), lighter: lighter && { ...lighter, sitting: known(lighter.sitting) } };
}

const freshSitting = (name: string, versions: Activity["versions"], places: string[]): Sitting => ({
  name, parts: Object.fromEntries(versions.map(({ id }) => [id, EASY])), adult_min: 0, adult_help: 2, setup_min: 5, cleanup_min: 5, mess: 1, places, needs: [], meals: [],
});

/** It comes last, where the sitting before it was. */
export function withSitting(one: Activity, name: string): Activity {
  const { sittings, waits } = one;
  return { ...one, sittings: [...sittings, freshSitting(name, one.versions, sittings[0]?.places ?? [])], waits: sittings.map((_, at) => waits[at] ?? NO_WAIT) };
}

/** What waited after it goes with it. */
export const withoutSitting = (one: Activity, at: number): Activity => put(put(one, ["sittings", at], undefined), ["waits", at], undefined);

/** The first sitting, half as long and without anything to make ready. */
export function lighterOf(one: Activity): NonNullable<Activity["lighter"]> {
  const first = one.sittings.find((sitting) => !sitting.adult_min) ?? freshSitting(one.title, one.versions, one.sittings[0]?.places ?? []);
  const parts = Object.entries(first.parts).map(([id, part]) => [id, { ...part, minutes: Math.max(5, Math.round(part.minutes / 2)) }]);
  return { does: one.title, sitting: { ...first, parts: Object.fromEntries(parts) as Sitting["parts"], mess: Math.min(first.mess, 1) as Sitting["mess"], meals: [] } };
}

/** One of the family's own, to be filled in. What is not asked here the service takes as usual. */
export function freshActivity(title: string, place: string): Activity {
  const versions = [version("all")];
  const own: Partial<Activity> = {
    id: ownId(), title, kind: "craft", areas: [], versions, sittings: [freshSitting(title, versions, [place])], waits: [],
    prep: [], together: "same", weather: "any", adults_needed: 1, hazards: [], allergens: [], nap_ok: true, cost: 0, caution: "", resources: [],
  };
  return own as Activity;
}
