/** The six answers: kept on this device while they are written, sent when they are looked over. */
import { signal } from "@preact/signals";
import { ask, sending, Trouble } from "../api";
import type { Answers, Choices, Day, Evening, Started } from "../contract";
import { forget, recall, remember } from "../shelf";
import { DAYS, DAY_MIN, dateAfter } from "../time";
import { faultsOf, type Faults } from "./check";

export interface ChildDraft {
  name: string;
  birth_month: string;
  naps: { start: string; length_min: number }[] | null;
  bed: string;
}
export interface AdultDraft {
  name: string;
  hours: { days: Day[]; start: string; end: string }[];
}
export interface AnswersDraft {
  children: ChildDraft[];
  adults: AdultDraft[];
  places: Answers["places"];
  mess_a_day: number;
  prep: { evening: Evening; minutes: number }[];
  theme: string | null;
  week: string;
}

export const freshChild = (): ChildDraft => ({ name: "", birth_month: "", naps: null, bed: "" });
export const freshAdult = (): AdultDraft => ({ name: "", hours: [{ days: [...DAYS], start: "07:00", end: "20:00" }] });
export const FRESH_NAP = { start: "13:00", length_min: 90 };

const fresh = (): AnswersDraft => ({
  children: [freshChild()], adults: [freshAdult()], places: ["yard"], mess_a_day: 5, prep: [], theme: null, week: weeksToChoose()[1]?.id ?? "",
});

/** ISO 8601: a week belongs to the year of its Thursday. */
function weekOf(monday: Date): string {
  const thursday = new Date(monday.getTime() + 3 * DAY_MIN * 60_000);
  const days = (thursday.getTime() - Date.UTC(thursday.getUTCFullYear(), 0, 1)) / (DAY_MIN * 60_000);
  return `${thursday.getUTCFullYear()}-W${String(Math.floor(days / 7) + 1).padStart(2, "0")}`;
}

/** This week and the three after it. */
export function weeksToChoose(now = new Date()): { id: string; monday: string }[] {
  const date = `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
  const first = -((now.getDay() + 6) % 7);
  return [0, 7, 14, 21].map((days) => dateAfter(date, first + days)).map((monday) => ({ id: weekOf(monday), monday: monday.toISOString().slice(0, 10) }));
}

export const answers = signal<AnswersDraft>(fromShelf());
export const faults = signal<Faults>({});

function fromShelf(): AnswersDraft {
  try {
    return { ...fresh(), ...(JSON.parse(recall("answers") ?? "{}") as Partial<AnswersDraft>) };
  } catch {
    return fresh();
  }
}

export function answer(some: Partial<AnswersDraft>): void {
  answers.value = { ...answers.value, ...some };
  remember("answers", JSON.stringify(answers.value));
}

export const getChoices = (): Promise<Choices> => ask("start/choices");

function toSend({ children, theme, ...rest }: AnswersDraft): Omit<Answers, "household" | "teaching_days"> {
  return {
    ...rest,
    theme: theme || null,
    time_zone: Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC",
    children: children.map((child) => ({ ...child, bed: child.bed || null, wake: null, allergies: [], naps: child.naps?.map((nap) => ({ days_of_seven: null, ...nap })) ?? null })),
  };
}

/** The latest month in which a child of that week can be born. */
function lastMonth(): string {
  return (weeksToChoose().find((one) => one.id === answers.value.week)?.monday ?? new Date().toISOString()).slice(0, 7);
}

/** The household file that the answers make, or nothing when one of them needs mending. */
export async function lookOver(): Promise<Started | null> {
  const { children, adults } = answers.value;
  faults.value = faultsOf(children.map((child) => ({ ...child, bed: child.bed || null })), adults, lastMonth());
  if (Object.keys(faults.value).length) return null;
  try {
    return await ask<Started>("start", sending("POST", toSend(answers.value)));
  } catch (error) {
    if (!(error instanceof Trouble) || !error.problem.faults?.length) throw error;
    faults.value = Object.fromEntries(error.problem.faults.map((fault) => [fault.path, fault.message]));
    return null;
  }
}

export async function moveIn(replace: boolean): Promise<void> {
  await ask(`start?keep=true&replace=${replace}`, sending("POST", toSend(answers.value)));
  forget("answers");
  answers.value = fresh();
}

export const moveDemoIn = (): Promise<unknown> => ask("start/demo", { method: "POST" });
