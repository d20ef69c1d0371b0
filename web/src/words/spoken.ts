/** What of a language is worked out, not only said. Plain sentences of a language that is fetched are data beside it. */
export type Spoken<W> = { [K in keyof W as W[K] extends string ? never : K]: W[K] };
