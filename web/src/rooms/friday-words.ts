import { wordsFrom } from "../words";
import english from "../words/friday.en.json?url";
import spanish from "../words/friday.es.json?url";

export const said = wordsFrom<typeof import("../words/friday.en.json"), typeof import("../words/friday.es.json")>({ en: english, es: spanish });
