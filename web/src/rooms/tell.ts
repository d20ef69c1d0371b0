/** The words of what lies ahead, of themes and of the catalogue. */
import { fill, wordsFrom } from "../words";
import english from "../words/rooms.en.json?url";
import spanish from "../words/rooms.es.json?url";

const texts = wordsFrom<typeof import("../words/rooms.en.json"), typeof import("../words/rooms.es.json")>({ en: english, es: spanish });

/** `{0} thing|{0} things`: the first form for one of them, the second for any other count. */
export function tell(key: keyof typeof texts, ...given: (string | number)[]): string {
  const [one = "", many = one] = texts[key].split("|");
  return fill(given[0] === 1 ? one : many, ...given);
}
