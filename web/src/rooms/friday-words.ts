import { wordsOf } from "../words";
import { englishFriday } from "../words/english-friday";
import { spanishFriday } from "../words/spanish-friday";

export const said = wordsOf({ en: englishFriday, es: spanishFriday });
