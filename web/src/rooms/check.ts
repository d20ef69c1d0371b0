/** What is wrong with people as they are written, by the place where it stands, each with its mend. */
import { minutesOf } from "../time";
import { fill } from "../words";
import { told } from "./house-words";

export type Faults = Record<string, string>;

export interface NapText {
  start: string;
  length_min: number;
}
export interface ChildText {
  name: string;
  birth_month: string;
  naps?: readonly NapText[] | null;
  wake?: string | null;
  bed?: string | null;
}
export interface HoursText {
  start: string;
  end: string;
}
export interface AdultText {
  name: string;
  hours: readonly HoursText[];
}

const WAKE = "06:45";
const NAP_MOST = 360;
const isClock = (text: string): boolean => /^([01]\d|2[0-3]):[0-5]\d$|^24:00$/.test(text);
const isMonth = (text: string): boolean => /^(19|20)\d\d-(0[1-9]|1[0-2])$/.test(text);
const fold = (name: string): string => name.trim().toLocaleLowerCase();

type Add = (path: string, fault: string) => void;

function checkNames(people: readonly (readonly [string, string])[], add: Add): void {
  const seen = new Set<string>();
  for (const [path, name] of people) {
    if (!name.trim()) add(path, told.faults.empty);
    else if (seen.has(fold(name))) add(path, fill(told.faults.twice, name));
    seen.add(fold(name));
  }
}

function checkNaps(at: string, naps: readonly NapText[], wake: number, bed: number, add: Add): void {
  naps.forEach((nap, index) => {
    const path = `${at}.naps[${index}]`;
    if (!(nap.length_min >= 1 && nap.length_min <= NAP_MOST)) add(`${path}.length_min`, fill(told.faults.minutes, NAP_MOST));
    if (!isClock(nap.start)) {
      add(`${path}.start`, told.faults.time);
      return;
    }
    const start = minutesOf(nap.start);
    const end = start + nap.length_min;
    if (start < wake || end > bed) add(`${path}.start`, told.faults.nap);
    const others = naps.slice(0, index).filter((other) => isClock(other.start));
    if (others.some((other) => minutesOf(other.start) < end && start < minutesOf(other.start) + other.length_min)) add(`${path}.start`, told.faults.napsOverlap);
  });
}

function checkChild(child: ChildText, at: string, month: string, add: Add): void {
  if (!isMonth(child.birth_month)) add(`${at}.birth_month`, told.faults.month);
  else if (child.birth_month > month) add(`${at}.birth_month`, told.faults.unborn);
  const wake = child.wake ?? WAKE;
  if (!isClock(wake)) add(`${at}.wake`, told.faults.time);
  if (child.bed && !isClock(child.bed)) add(`${at}.bed`, told.faults.time);
  else if (child.bed && isClock(wake) && minutesOf(child.bed) <= minutesOf(wake)) add(`${at}.bed`, told.faults.bed);
  else checkNaps(at, child.naps ?? [], isClock(wake) ? minutesOf(wake) : 0, minutesOf(child.bed ?? "24:00"), add);
}

function checkHours(adult: AdultText, at: string, add: Add): void {
  adult.hours.forEach(({ start, end }, index) => {
    const path = `${at}.hours[${index}]`;
    if (!isClock(start)) add(`${path}.start`, told.faults.time);
    if (!isClock(end)) add(`${path}.end`, told.faults.time);
    else if (isClock(start) && minutesOf(end) <= minutesOf(start)) add(`${path}.end`, told.faults.ends);
  });
}

/** `month` is the latest in which a child of this week can be born. */
export function faultsOf(children: readonly ChildText[], adults: readonly AdultText[], month: string): Faults {
  const found: Faults = {};
  const add: Add = (path, fault) => { found[path] ??= fault; };
  if (!children.length) add("children", told.faults.nobody);
  if (!adults.length) add("adults", told.faults.nobody);
  checkNames([
    ...children.map((one, index) => [`children[${index}].name`, one.name] as const),
    ...adults.map((one, index) => [`adults[${index}].name`, one.name] as const),
  ], add);
  children.forEach((child, index) => { checkChild(child, `children[${index}]`, month, add); });
  adults.forEach((adult, index) => { checkHours(adult, `adults[${index}]`, add); });
  return found;
}
