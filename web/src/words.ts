/** Every word the page says, in the language that is chosen. Whoever reads a word is told when it changes. */
import { signal } from "@preact/signals";
import type { Day, Evening } from "./model";
import { recall, remember } from "./shelf";
import { english as englishWeek } from "./words/english";
import { englishActs } from "./words/english-acts";
import { spanish } from "./words/spanish";
import { spanishActs } from "./words/spanish-acts";

const english = { ...englishWeek, ...englishActs };

export type Words = typeof english;
export type Tongue = "en" | "es";

export const TONGUES: Record<Tongue, { name: string; locale: string }> = {
  en: { name: "English", locale: "en-GB" },
  es: { name: "Español", locale: "es" },
};

// A word that one of them lacks does not compile.
const SETS: Record<Tongue, Words> = { en: english, es: { ...spanish, ...spanishActs } };

const isTongue = (text: string | null): text is Tongue => text === "en" || text === "es";

function firstTongue(): Tongue {
  const kept = recall("tongue");
  return isTongue(kept) ? kept : "en";
}

export const tongue = signal<Tongue>(firstTongue());

export function speak(next: Tongue): void {
  tongue.value = next;
  remember("tongue", next);
}

const chosen = (): Words => SETS[tongue.value];

/** The words of a room that comes later, kept beside that room's file, in the language that is chosen. */
export const wordsOf = <W extends object>(sets: Record<Tongue, W>): W => new Proxy(sets.en, { get: (_, key) => sets[tongue.value][key as keyof W] });

export const words: Words = new Proxy(english, { get: (_, key) => chosen()[key as keyof Words] });
export const DAY_NAMES: Record<Day, string> = new Proxy(english.days, { get: (_, key) => chosen().days[key as Day] });
export const EVENING_NAMES: Record<Evening, string> = new Proxy(english.evenings, { get: (_, key) => chosen().evenings[key as Evening] });

export const listOf = (names: readonly string[]): string => words.listOf(names);
export const minutes = (count: number): string => words.minutes(count);
export const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
