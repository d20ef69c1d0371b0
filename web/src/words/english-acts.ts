/** The page in English: what can be touched, what happened, offers, moves, notes, ticks. */
import { listOf, plural } from "./english";

export const englishActs = {
  napGoing: (child: string, times: number, titles: readonly string[], helped: readonly { day: string; who: string }[]) =>
    `${child} was up at nap time ${times} times lately. ${listOf(titles)} may go better at another time${helped.map((one, index) => `${index ? " or" : ", perhaps"} ${one.day} while ${one.who} has ${child}`).join("")}.`,
  hangs: (parts: readonly { title: string; days: readonly string[] }[]) =>
    `Worth keeping clear: ${parts.map((part) => `${listOf(part.days)} for ${part.title}`).join("; ")}. If such a day is lost, that waits for another week.`,
  ifUp: {
    quiet: (names: readonly string[], count: number) => `if ${names.join(" or ")} is up: quiet time within sight, ${count} min at most`,
    beside: (names: readonly string[]) => `if ${names.join(" or ")} is up: with ${listOf(names)} on the arm`,
    lighter: (names: readonly string[], count: number) => `if ${names.join(" or ")} is up: the lighter way, ${count} min`,
    evening: (names: readonly string[]) => `if ${names.join(" or ")} is up: in the evening, once it is quiet`,
    leave: (names: readonly string[]) => `if ${names.join(" or ")} is up: it can wait`,
  },
  insteadOf: { swap: (title: string) => `Something else instead of ${title}`, lighter: (title: string) => `${title}, the lighter way` },
  noteTitle: (title: string | null) => (title ? `A note on ${title}` : "A note on the day"),
  way: (index: number, of: number) => (of > 1 ? `Way ${index} of ${of}` : "The gentlest way"),
  wayStays: (count: number) => (count === 1 ? "One thing stays where it is." : `${count} things stay where they are.`),
  ticked: (title: string, outcome: string) => `${title}: ${outcome.toLowerCase()}.`,
  waitsToSend: (count: number) => `${plural(count, "tick or note", "ticks and notes")} kept here, sent as soon as the service answers`,
  letInText: (count: number) => `Point its camera at this picture. It works once, for ${Math.round(count / 60)} minutes.`,
  wishCount: (found: number, wished: number) => `${found} found, ${wished} wished`,
  prepMinutes: (count: number) => (count ? `${count} min prep` : "no prep"),
  usedIn: (names: readonly string[]) => `for ${listOf(names)}`,
  compareSame: (count: number) => `${plural(count, "thing")} as before.`,
};
