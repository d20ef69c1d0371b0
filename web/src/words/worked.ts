/** What of a language is worked out, not only said: one set of rules, with every word of it in the language's own data. */
import { fill, upperFirst } from "./fill";

type Said = typeof import("./english.json")["worked"];
type Names = readonly string[];

const minutes = (count: number): string =>
  count < 120 ? `${count} min` : `${Math.floor(count / 60)} h${count % 60 ? ` ${count % 60} min` : ""}`;

/** A pair of texts is said by its first or its second. */
const either = (pair: Names, second: boolean, ...given: (string | number)[]): string => fill(pair[Number(second)] ?? "", ...given);
const counted = (pair: Names, count: number, ...more: (string | number)[]): string => either(pair, count !== 1, count, ...more);

/** What both halves are worked out with. */
function tools(said: Said, locale: string) {
  const all = new Intl.ListFormat(locale, { type: "conjunction" });
  const listOf = (names: Names): string => all.format(names);
  const things = (count: number): string => counted(said.things, count);
  return { listOf, things };
}

/** The week, the day, the notes, the making of a week. */
function shown(said: Said, { listOf, things }: ReturnType<typeof tools>) {
  const forAll = (pair: Names, names: Names): string => either(pair, names.length > 1, listOf(names));
  return {
    listOf,
    minutes,
    weekOf: (theme: string | null, week: string) => upperFirst(either(said.weekOf, theme === null || theme === "", theme || week.slice(6))),
    setup: (count: number) => fill(said.setup, minutes(count)),
    cleanup: (count: number) => fill(said.cleanup, minutes(count)),
    with: (names: Names) => fill(said.with, listOf(names)),
    minder: (adult: string, awake: Names, asleep: Names) => either(said.minder, !awake.length, adult, listOf(awake.length ? awake : asleep)),
    along: (names: Names) => forAll(said.along, names),
    whileAsleep: (names: Names) => forAll(said.whileAsleep, names),
    meanwhile: (names: Names) => forAll(said.meanwhile, names),
    ill: (name: string, hours: string | null) => either(said.ill, Boolean(hours), name, hours ?? ""),
    notSure: (name: string, days: number) => (days >= 7 ? "" : fill(said.notSure, name, days)),
    cooking: (adult: string, count: number) => fill(said.cooking, adult, minutes(count)),
    free: (count: number) => fill(said.free, minutes(count)),
    sinceEarlier: (count: number) => fill(said.sinceEarlier, things(count)),
    thenWaits: (doing: string, where: string | null, until: string | null) =>
      fill(said.thenWaits, doing, where ? ` (${where})` : "", until ? fill(said.until, until) : ""),
    atClock: (day: string | null, clock: string) => (day ? `${day} ${clock}` : clock),
    thingsWait: things,
    eveningTotal: (used: number, of: number) => either(said.eveningTotal, of > 0, minutes(used), minutes(of)),
    shopBefore: (closes: string) => either(said.shopBefore, Boolean(closes), closes),
    amount: (count: number, unit: string) => counted(said.amount, count, unit),
    goes: (title: string, count: number) => (count > 1 ? fill(said.goes, title, count) : title),
    sureWithinWhy: (proved: Names) => either(said.sureWithinWhy, proved.length > 0, listOf(proved)),
    tier: said.tier as Record<string, string>,
    soughtFor: (seconds: number) => either(said.soughtFor, seconds < 1, Math.round(seconds)),
    makingSeconds: (seconds: number) => `${Math.round(seconds)} s`,
    makingBookings: (count: number) => counted(said.makingBookings, count),
    emptyCounts: (wishes: number, days: number) => fill(said.emptyCounts, counted(said.wishes, wishes), counted(said.dayCount, days)),
    bandCounts: (count: number, promises: number) =>
      (count === 0 ? said.nothing : things(count) + (promises ? `, ${counted(said.promises, promises)}` : "")),
  };
}

/** What can be touched, what happened, offers, moves, notes, ticks. */
function touched(said: Said, locale: string, { listOf, things }: ReturnType<typeof tools>) {
  const any = new Intl.ListFormat(locale, { type: "disjunction" });
  const ifUp = (text: string) => (names: Names, count: number): string => fill(text, any.format(names), count, listOf(names));
  const instead = (text: string) => (title: string): string => fill(text, title);
  // Within a sentence a Spanish day is written small.
  const withinText = (day: string): string => (locale === "es" ? day.toLowerCase() : day);
  return {
    napGoing: (child: string, times: number, titles: Names, helped: readonly { day: string; who: string }[]) =>
      fill(said.napGoing, child, times, listOf(titles), helped.map((one, index) => either(said.napHelp, index > 0, withinText(one.day), one.who, child)).join("")),
    hangs: (parts: readonly { title: string; days: Names }[]) =>
      fill(said.hangs, parts.map((part) => fill(said.hangsPart, listOf(part.days), part.title)).join("; ")),
    ifUp: {
      quiet: ifUp(said.ifUp.quiet),
      beside: ifUp(said.ifUp.beside),
      lighter: ifUp(said.ifUp.lighter),
      evening: ifUp(said.ifUp.evening),
      leave: ifUp(said.ifUp.leave),
    },
    insteadOf: { swap: instead(said.insteadOf.swap), lighter: instead(said.insteadOf.lighter) },
    noteTitle: (title: string | null) => either(said.noteTitle, Boolean(title), title ?? ""),
    way: (index: number, of: number) => either(said.way, of > 1, index, of),
    wayStays: (count: number) => counted(said.wayStays, count),
    ticked: (title: string, outcome: string) => `${title}: ${outcome.toLowerCase()}.`,
    waitsToSend: (count: number) => counted(said.waitsToSend, count),
    letInText: (count: number) => fill(said.letInText, Math.round(count / 60)),
    wishCount: (found: number, wished: number) => `${counted(said.found, found)}, ${counted(said.wished, wished)}`,
    prepMinutes: (count: number) => either(said.prepMinutes, count > 0, count),
    usedIn: (names: Names) => fill(said.usedIn, listOf(names)),
    compareSame: (count: number) => fill(said.compareSame, things(count)),
  };
}

export function worked(said: Said, locale: string) {
  const shared = tools(said, locale);
  return { ...shown(said, shared), ...touched(said, locale, shared) };
}
