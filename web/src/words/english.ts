/** The page in English: the week, the day, the notes, the making of a week. */

export const listOf = (names: readonly string[]): string =>
  names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names.at(-1) ?? ""}`;

export const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

export const minutes = (count: number): string =>
  count < 120 ? `${count} min` : `${Math.floor(count / 60)} h${count % 60 ? ` ${count % 60} min` : ""}`;

export const english = {
  listOf,
  weekOf: (theme: string | null, week: string) => (theme ? `${theme.charAt(0).toUpperCase() + theme.slice(1)} week` : `Week ${week.slice(6)}`),

  minutes,
  setup: (count: number) => `${minutes(count)} to lay out`,
  cleanup: (count: number) => `${minutes(count)} to clear`,
  with: (names: readonly string[]) => `with ${listOf(names)}`,
  minder: (adult: string, awake: readonly string[], asleep: readonly string[]) =>
    awake.length ? `${adult} has ${listOf(awake)}` : `${adult} listens for ${listOf(asleep)}`,
  along: (names: readonly string[]) => `${listOf(names)} ${names.length > 1 ? "come" : "comes"} along`,
  whileAsleep: (names: readonly string[]) => `while ${listOf(names)} ${names.length > 1 ? "sleep" : "sleeps"}`,
  meanwhile: (names: readonly string[]) => `${listOf(names)} ${names.length > 1 ? "listen" : "listens"} while the hands are busy`,
  ill: (name: string, hours: string | null) => `${name} is ill and stays in${hours ? `, ${hours}` : " today"}`,
  notSure: (name: string, days: number) =>
    days >= 7 ? "" : `Sleeps ${days} days of 7. Awake? Then ${name} has quiet time.`,
  cooking: (adult: string, count: number) => `${adult} cooks ${minutes(count)} before`,
  free: (count: number) => `${minutes(count)} hands free`,
  sinceEarlier: (count: number) => `Earlier today: ${plural(count, "thing")}`,

  thenWaits: (doing: string, where: string | null, until: string | null) =>
    `then ${doing}${where ? ` (${where})` : ""}${until ? ` until ${until}` : ""}`,
  atClock: (day: string | null, clock: string) => (day ? `${day} ${clock}` : clock),
  thingsWait: (count: number) => plural(count, "thing"),
  eveningTotal: (used: number, of: number) => (of ? `${minutes(used)} of the ${minutes(of)} you have` : `${minutes(used)} in all`),
  shopBefore: (closes: string) => (closes ? `Before the week; the list closes ${closes}` : "Before the week"),
  amount: (count: number, unit: string) => `${count} ${unit}${count === 1 ? "" : "s"}`,
  goes: (title: string, count: number) => (count > 1 ? `${title} (${count} times)` : title),
  sureWithinWhy: (proved: readonly string[]) =>
    proved.length ? `Proved best for ${listOf(proved)}; the rest may still be a little better.` : "A longer search may still find a better one.",
  tier: { promises: "promises", required: "a lost day", preferred: "a lost day", staples: "staples", changes: "fewest changes", worth: "the extras", rhythm: "rhythm" } as Record<string, string>,
  soughtFor: (seconds: number) => `Found in ${seconds < 1 ? "under a second" : `${Math.round(seconds)} s`}.`,
  makingSeconds: (seconds: number) => `${Math.round(seconds)} s`,
  makingBookings: (count: number) => `${plural(count, "thing")} placed`,
  emptyCounts: (wishes: number, days: number) => `${plural(wishes, "wish", "wishes")} and ${plural(days, "day")} are waiting.`,
  bandCounts: (count: number, promises: number) =>
    count === 0 ? "nothing placed" : plural(count, "thing") + (promises ? `, ${plural(promises, "promise")}` : ""),
};
