/** The household as it is kept, and as it is being changed. Nothing counts before it is saved. */
import { computed, signal } from "@preact/signals";
import { answered, sending, Trouble } from "../api";
import type { Adult, Child, Household } from "../contract";
import { newId } from "../marks";
import { faultsOf, type Faults } from "./check";

interface Kept {
  tag: string;
  house: Household;
}

export const kept = signal<Kept | null>(null);
/** What it would become; nothing while nobody has touched it. */
export const draft = signal<Household | null>(null);
export const faults = signal<Faults>({});
/** What somebody else saved meanwhile. */
export const other = signal<Kept | null>(null);

export const house = computed(() => draft.value ?? kept.value?.house ?? null);

export function edit(some: Partial<Household>): void {
  if (house.value) draft.value = { ...house.value, ...some };
}

export function drop(): void {
  draft.value = null;
  faults.value = {};
}

async function read(answer: Response): Promise<Kept> {
  return { tag: answer.headers.get("etag") ?? "*", house: await answer.json() as Household };
}

export async function fetchHouse(): Promise<void> {
  const found = await read(await answered("household"));
  // What is being changed was read in its own version, and is compared when it is saved.
  if (!draft.value) kept.value = found;
}

/** Whether it was saved; if not, the faults or the other version say why. */
export async function save(): Promise<boolean> {
  const house = draft.value;
  if (!house || !kept.value) return false;
  faults.value = faultsOf(house.children, house.adults, new Date().toISOString().slice(0, 7));
  if (Object.keys(faults.value).length) return false;
  const init = sending("PUT", house);
  try {
    kept.value = await read(await answered("household", { ...init, headers: { ...init.headers, "if-match": kept.value.tag } }));
  } catch (error) {
    return refused(error);
  }
  // What was written meanwhile has not arrived.
  if (draft.value === house) drop();
  return true;
}

const STALE = 412;

function refused(error: unknown): false {
  if (!(error instanceof Trouble)) throw error;
  const { current, kept: theirs, faults: found } = error.problem as { current?: number; kept?: Household } & typeof error.problem;
  if (error.status === STALE && theirs) other.value = { tag: `"${current ?? ""}"`, house: theirs };
  else if (found?.length) faults.value = Object.fromEntries(found.map((fault) => [fault.path, fault.message]));
  else throw error;
  return false;
}

/** Of two versions one stays: the one written here goes over the other, or makes way. */
export function choose(mine: boolean): void {
  if (other.value) kept.value = other.value;
  other.value = null;
  if (!mine) drop();
}

const ATTENTION = { listening_min: 8, table_min: 10, hands_min: 30, break_min: 10, focused_min_a_day: 45 };

/** A child who comes to the house comes to its meals. */
export function addChild({ children, fixed_points: points }: Household): void {
  const child: Child = {
    id: `child-${newId()}`, name: "", birth_month: "", learner: true, wake: "06:45", bed: "19:00", naps: [], attention: ATTENTION, alone_min: 10, mouths_things: false, crawls: false,
    allergies: [], conditions: [], good_hours: [], low_hours: [], dislikes: [], languages: [], can_do: [],
  };
  edit({ children: [...children, child], fixed_points: points.map((point) => (point.meal ? { ...point, children: [...point.children, child.id] } : point)) });
}

export function addAdult({ adults }: Household): void {
  const adult: Adult = { id: `adult-${newId()}`, name: "", leads: adults.length === 0, hours: [{ days: [], start: "17:00", end: "20:00", duty: "on_hand" }], may_lift: true, minds_water: true, speaks: [], low_hours: [], wont_do: [], allergies: [] };
  edit({ adults: [...adults, adult] });
}

/** Somebody who leaves is in no fixed point any more. */
export function takeOut({ children, adults, fixed_points: points }: Household, id: string): void {
  const without = (ids: string[]): string[] => ids.filter((one) => one !== id);
  edit({
    children: children.filter((one) => one.id !== id),
    adults: adults.filter((one) => one.id !== id),
    fixed_points: points.map((point) => ({ ...point, children: without(point.children), adults: without(point.adults) })),
  });
}
