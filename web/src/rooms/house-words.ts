import { wordsFrom } from "../words";
import english from "../words/house.en.json?url";
import spanish from "../words/house.es.json?url";

export const told = wordsFrom<typeof import("../words/house.en.json"), typeof import("../words/house.es.json")>({ en: english, es: spanish });
