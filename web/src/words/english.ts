/** The page in English: the week, the day, the notes, the making of a week. */
import type { Day, Evening } from "../model";

const DAY_NAMES: Record<Day, string> = {
  monday: "Monday", tuesday: "Tuesday", wednesday: "Wednesday", thursday: "Thursday",
  friday: "Friday", saturday: "Saturday", sunday: "Sunday",
};

const EVENING_NAMES: Record<Evening, string> = { sunday_before: "Sunday, before the week", ...DAY_NAMES };

const HELP: readonly string[] = ["alone, in earshot", "set going", "dips in", "beside", "hands-on"];
const MESS: readonly string[] = ["no mess", "crumbs", "wipe the table", "floor and clothes", "a bath after"];
const DOING: Record<string, string> = {
  dry: "dries", rise: "rises", bake: "bakes", cool: "cools", freeze: "freezes", soak: "soaks", grow: "grows",
  ferment: "ferments", watch: "stands", "come to room warmth": "warms up", rest: "rests",
};
const DOING_MANY: Record<string, string> = { dry: "drying", rise: "rising", bake: "baking", cool: "cooling", freeze: "freezing", soak: "soaking", grow: "growing", ferment: "fermenting", watch: "standing", "come to room warmth": "warming up", rest: "resting" };

export const listOf = (names: readonly string[]): string =>
  names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names.at(-1) ?? ""}`;

export const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

export const minutes = (count: number): string =>
  count < 120 ? `${count} min` : `${Math.floor(count / 60)} h${count % 60 ? ` ${count % 60} min` : ""}`;

export const english = {
  days: DAY_NAMES,
  evenings: EVENING_NAMES,
  listOf,
  weekOf: (theme: string | null, week: string) => (theme ? `${theme.charAt(0).toUpperCase() + theme.slice(1)} week` : `Week ${week.slice(6)}`),

  help: (level: number) => HELP[level] ?? "",
  mess: (level: number) => MESS[level] ?? "",
  minutes,
  setup: (count: number) => `${minutes(count)} to lay out`,
  cleanup: (count: number) => `${minutes(count)} to clear`,
  sitting: (name: string, index: number, of: number) => `${name} · ${index} of ${of}`,
  with: (names: readonly string[]) => `with ${listOf(names)}`,
  minder: (adult: string, awake: readonly string[], asleep: readonly string[]) =>
    awake.length ? `${adult} has ${listOf(awake)}` : `${adult} listens for ${listOf(asleep)}`,
  along: (names: readonly string[]) => `${listOf(names)} ${names.length > 1 ? "come" : "comes"} along`,
  whileAsleep: (names: readonly string[]) => `while ${listOf(names)} ${names.length > 1 ? "sleep" : "sleeps"}`,
  meanwhile: (names: readonly string[]) => `${listOf(names)} ${names.length > 1 ? "listen" : "listens"} while the hands are busy`,
  cautionSource: (source: string) => `Says: ${source}`,

  outBy: (clock: string) => `Out of the door by ${clock}`,
  begins: (clock: string, end: string) => `${clock} to ${end}`,
  backAbout: (clock: string) => `back about ${clock}`,
  ill: (name: string, hours: string | null) => `${name} is ill and stays in${hours ? `, ${hours}` : " today"}`,
  sleeps: (name: string) => `${name} sleeps`,
  aboutTo: (start: string, end: string) => `about ${start} to ${end}`,
  spread: (count: number) => `give or take ${count} min`,
  notSure: (name: string, days: number) =>
    days >= 7 ? "" : `Sleeps ${days} days of 7. Awake? Then ${name} has quiet time.`,
  cooking: (adult: string, count: number) => `${adult} cooks ${minutes(count)} before`,
  free: (count: number) => `${minutes(count)} hands free`,
  sinceEarlier: (count: number) => `Earlier today: ${plural(count, "thing")}`,

  thenWaits: (kind: string, where: string | null, until: string | null) =>
    `then ${DOING[kind] ?? kind}${where ? ` (${where})` : ""}${until ? ` until ${until}` : ""}`,
  waiting: (kind: string) => DOING_MANY[kind] ?? kind,
  ready: (when: string) => `ready ${when}`,
  readyFor: (when: string) => `wanted ${when}`,
  andThen: (first: string, second: string) => `${first}, then ${second}`,
  atClock: (day: string | null, clock: string) => (day ? `${day} ${clock}` : clock),
  thingsWait: (count: number) => plural(count, "thing"),
  fetchFor: (title: string, clock: string) => `for ${title}, about ${clock}`,
  fetchFrom: (title: string, holder: string) => `${title}: from the ${holder}`,
  eveningTotal: (used: number, of: number) => (of ? `${minutes(used)} of the ${minutes(of)} you have` : `${minutes(used)} in all`),
  prepFor: (title: string, day: string) => `for ${title}, ${day}`,
  shopBefore: (closes: string) => (closes ? `Before the week; the list closes ${closes}` : "Before the week"),
  shopAt: (when: string) => `At the shop on ${when}`,
  needBy: (when: string) => `needed by ${when}`,
  amount: (count: number, unit: string) => `${count} ${unit}${count === 1 ? "" : "s"}`,
  until: (text: string) => `Still makes sense ${text}`,
  freedBy: (text: string) => `Would come back with: ${text}`,
  goes: (title: string, count: number) => (count > 1 ? `${title} (${count} times)` : title),
  sureWithin: (percent: string) => `Within ${percent} of the best there can be`,
  sureWithinWhy: (proved: readonly string[]) =>
    proved.length ? `Proved best for ${listOf(proved)}; the rest may still be a little better.` : "A longer search may still find a better one.",
  tier: { promises: "promises", required: "a lost day", preferred: "a lost day", staples: "staples", changes: "fewest changes", worth: "the extras", rhythm: "rhythm" } as Record<string, string>,
  soughtFor: (seconds: number) => `Found in ${seconds < 1 ? "under a second" : `${Math.round(seconds)} s`}.`,
  makingTier: (tier: string) => `It fits already. Getting better: ${tier}`,
  makingGap: (percent: string) => `at most ${percent} from the best there can be`,
  makingSeconds: (seconds: number) => `${Math.round(seconds)} s`,
  makingBookings: (count: number) => `${plural(count, "thing")} placed`,
  failed: (why: string) => `That did not work: ${why}`,
  emptyCounts: (wishes: number, days: number) => `${plural(wishes, "wish", "wishes")} and ${plural(days, "day")} are waiting.`,
  unreachableShown: (clock: string) => `You see the week as it was at ${clock}; ticks and notes are kept here. Trying again.`,
  bandCounts: (count: number, promises: number) =>
    count === 0 ? "nothing placed" : plural(count, "thing") + (promises ? `, ${plural(promises, "promise")}` : ""),
};
