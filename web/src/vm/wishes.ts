/** The catalogue as the chooser shows it, and the wishes that come of it. */
import type { Activity, Child, Rank, WeekView, Wish } from "../model";
import { words } from "../words";

export type Wished = Rank | "none";
/** For each activity, how it is wished. */
export type Choices = ReadonlyMap<string, Wished>;

export interface Filter {
  text: string;
  area: string;
  mess: number;
  prep: number;
  who: string;
  onlyWished: boolean;
}

export const NO_FILTER: Filter = { text: "", area: "", mess: 4, prep: Number.POSITIVE_INFINITY, who: "", onlyWished: false };
export const PREP_STEPS = [0, 10, 20, 40] as const;

export interface CatalogueLine {
  id: string;
  title: string;
  facts: string;
  activity: Activity;
}

export const messOf = (activity: Activity): number => Math.max(0, ...activity.sittings.map((sitting) => sitting.mess));
export const prepOf = (activity: Activity): number => activity.prep.reduce((sum, task) => sum + task.minutes, 0);

/** Whole months on the first of the month in which the week begins, as the service counts them. */
function monthsOf(child: Child, monday: string): number {
  const [year = 0, month = 0] = monday.split("-").map(Number);
  const [bornYear = 0, bornMonth = 0] = child.birth_month.split("-").map(Number);
  return Math.max(0, (year - bornYear) * 12 + month - bornMonth);
}

export function isFor(activity: Activity, child: Child, monday: string): boolean {
  const months = monthsOf(child, monday);
  return activity.versions.some((one) => one.age_from_months <= months && months <= one.age_to_months);
}

export const plain = (text: string): string => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

function fits(view: WeekView, activity: Activity, filter: Filter, choices: Choices): boolean {
  const child = view.household.children.find((one) => one.id === filter.who);
  return plain(`${activity.title} ${activity.theme ?? ""}`).includes(plain(filter.text.trim()))
    && (filter.area === "" || activity.areas.includes(filter.area))
    && messOf(activity) <= filter.mess
    && prepOf(activity) <= filter.prep
    && (child === undefined || isFor(activity, child, view.monday))
    && (!filter.onlyWished || choices.get(activity.id) !== "none");
}

function lineOf(view: WeekView, activity: Activity): CatalogueLine {
  const who = view.household.children.filter((child) => child.learner && isFor(activity, child, view.monday)).map((child) => child.name);
  const areas = activity.areas.map((id) => view.household.areas.find((one) => one.id === id)?.name ?? id);
  const facts = [who.length ? words.usedIn(who) : "", words.messes[messOf(activity)] ?? "", words.prepMinutes(prepOf(activity)), areas.join(", ")];
  return { id: activity.id, title: activity.title, facts: facts.filter(Boolean).join(" · "), activity };
}

export function catalogueLines(view: WeekView, all: readonly Activity[], filter: Filter, choices: Choices): CatalogueLine[] {
  return all.filter((activity) => fits(view, activity, filter, choices))
    .map((activity) => lineOf(view, activity)).sort((a, b) => a.title.localeCompare(b.title));
}

export function choicesOf(all: readonly Activity[], wishes: readonly Wish[]): Choices {
  return new Map(all.map((activity) => [activity.id, wishes.find((wish) => wish.activity === activity.id)?.rank ?? "none"]));
}

/** The wishes as they are, with other ranks, fewer, or new ones at the end; whatever else they say stays. */
export function wishesFrom(wishes: readonly Wish[], choices: Choices): Partial<Wish>[] {
  const kept = wishes.filter((wish) => choices.get(wish.activity) !== "none")
    .map((wish): Wish => ({ ...wish, rank: rankIn(choices, wish) }));
  const known = new Set(wishes.map((wish) => wish.activity));
  const taken = new Set(wishes.map((wish) => wish.id));
  const fresh = [...choices].filter(([activity, rank]) => rank !== "none" && !known.has(activity))
    .map(([activity, rank]) => ({ id: newId(activity, taken), activity, rank: rank as Rank }));
  return [...withoutGone(kept), ...fresh];
}

/** An activity wished in two ways keeps both, unless its rank was changed here. */
function rankIn(choices: Choices, wish: Wish): Rank {
  const chosen = choices.get(wish.activity);
  return chosen === undefined || chosen === "none" ? wish.rank : chosen;
}

/** What waited for a wish that is gone waits no more. */
function withoutGone(wishes: readonly Wish[]): Wish[] {
  const there = new Set(wishes.map((wish) => wish.id));
  return wishes.map((wish) => ({ ...wish, after: wish.after.filter((id) => there.has(id)) }));
}

function newId(activity: string, taken: ReadonlySet<string>): string {
  let id = activity;
  for (let number = 2; taken.has(id); number += 1) id = `${activity}-${number}`;
  return id;
}
