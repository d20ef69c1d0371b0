/** Every word the page says, in the language that is chosen. Whoever reads a word is told when it changes. */
import { signal } from "@preact/signals";
import type { Day, Evening } from "./model";
import { recall, remember } from "./shelf";
import { fill, upperFirst } from "./words/fill";
import { worked } from "./words/worked";
import plainEnglish from "./words/english.json?url";
import plainSpanish from "./words/spanish.json?url";

export type Tongue = "en" | "es";
type Data = typeof import("./words/english.json");
/** Sentences with a place or two to fill in are data too, and said like all the others. */
type Filled = { [K in keyof Data["filled"]]: (...given: (string | number)[]) => string };
export type Words = Omit<Data, "filled" | "worked"> & Filled & ReturnType<typeof worked>;

export const TONGUES: Record<Tongue, { name: string; locale: string }> = {
  en: { name: "English", locale: "en-GB" },
  es: { name: "Español", locale: "es" },
};

const SETS: Partial<Record<Tongue, Words>> = {};

async function read<D extends Data>(file: string, locale: string): Promise<Words> {
  const { filled, worked: rules, ...others } = await (await fetch(file)).json() as D;
  const said = Object.entries(filled).map(([key, text]) => [key, (...given: (string | number)[]) => fill(text, ...given)]);
  return { ...others, ...Object.fromEntries(said) as Filled, ...worked(rules, locale) };
}

// A word that one of them lacks does not compile.
const WAYS: Record<Tongue, () => Promise<Words>> = {
  en: () => read<Data>(plainEnglish, TONGUES.en.locale),
  es: () => read<typeof import("./words/spanish.json")>(plainSpanish, TONGUES.es.locale),
};

/** Fetches what a language lacks here; whether it is all here then. */
export async function learn(wanted: Tongue): Promise<boolean> {
  try {
    SETS[wanted] ??= await WAYS[wanted]();
    return true;
  } catch {
    // The service sleeps, and this language was never read here: the page stays in the one it has.
    return false;
  }
}

const isTongue = (text: string | null): text is Tongue => text === "en" || text === "es";

function firstTongue(): Tongue {
  const wished = recall("tongue") ?? navigator.language.slice(0, 2);
  return isTongue(wished) ? wished : "en";
}

export const tongue = signal<Tongue>(firstTongue());

/** Everything that is asked of the service from now on, paper too, is answered in the page's language. */
const tellService = (): void => { document.cookie = `tongue=${tongue.value};path=/;max-age=31536000;samesite=strict`; };
tellService();

/** What a document that is sent back calls the things we brought along, and their names in this language. */
export const ours = signal<Record<string, string>>({});
export const called = (name: string): string => ours.value[name] ?? name;

export async function speak(next: Tongue): Promise<void> {
  if (!(await learn(next))) return;
  tongue.value = next;
  remember("tongue", next);
  tellService();
}

const spoken = (): Words => SETS[tongue.value] ?? SETS.en ?? {} as Words;

const coming: Promise<void>[] = [];

/** Kept once every room's words are here. */
export const wordsHere = async (): Promise<void> => { await Promise.all(coming); };

/** Words of a room are data that come with it, so that the page's scripts stay light. One that the other language lacks does not compile. */
export function wordsFrom<E extends object, S extends E>(files: Record<Tongue, string>): E {
  let found: Record<Tongue, E> | undefined;
  const read = async (): Promise<void> => {
    const [en, es] = await Promise.all([files.en, files.es].map(async (file) => (await fetch(file)).json())) as [E, S];
    found = { en, es };
  };
  coming.push(read());
  return new Proxy({} as E, { get: (_, key) => found?.[tongue.value][key as keyof E] });
}

export const words: Words = new Proxy({} as Words, { get: (_, key) => spoken()[key as keyof Words] });
export const DAY_NAMES: Record<Day, string> = new Proxy({} as Record<Day, string>, { get: (_, key) => spoken().days[key as Day] });
export const EVENING_NAMES: Record<Evening, string> = new Proxy({} as Record<Evening, string>, { get: (_, key) => spoken().evenings[key as Evening] });

/** What something does while it waits; a kind of the family's own says it itself. */
export const doingOf = (said: Record<string, string>, kind: string): string => said[kind] ?? kind;

export const listOf = (names: readonly string[]): string => words.listOf(names);
export const minutes = (count: number): string => words.minutes(count);
export { fill, upperFirst };
