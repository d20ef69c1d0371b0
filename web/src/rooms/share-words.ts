/** The words of what is shared: calendars for phones, days with other families. */
import { wordsFrom } from "../words";
import english from "../words/share.en.json?url";
import spanish from "../words/share.es.json?url";

export const shared = wordsFrom<typeof import("../words/share.en.json"), typeof import("../words/share.es.json")>({ en: english, es: spanish });
