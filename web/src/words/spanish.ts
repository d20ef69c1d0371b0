/** La página en español (las frases sencillas están en `spanish.json`): la semana, el día, las notas, cómo se hace una semana. */
import { minutes, plural, type english } from "./english";
import type { Spoken } from "./spoken";

/** «y», pero «e» ante el sonido i. */
const and = (next: string): string => (/^h?[ií]/i.test(next) && !/^hi[ae]/i.test(next) ? "e" : "y");

export const listOf = (names: readonly string[]): string => {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} ${and(last)} ${last}`;
};

export const spanish: Spoken<typeof english> = {
  listOf,
  weekOf: (theme, week) => (theme ? `Semana: ${theme}` : `Semana ${week.slice(6)}`),

  minutes,
  setup: (count) => `${minutes(count)} para preparar`,
  cleanup: (count) => `${minutes(count)} para recoger`,
  with: (names) => `con ${listOf(names)}`,
  minder: (adult, awake, asleep) =>
    awake.length ? `${adult} se queda con ${listOf(awake)}` : `${adult} está pendiente de ${listOf(asleep)}`,
  along: (names) => `${listOf(names)} ${names.length > 1 ? "vienen" : "viene"} también`,
  whileAsleep: (names) => `mientras ${names.length > 1 ? "duermen" : "duerme"} ${listOf(names)}`,
  meanwhile: (names) => `${listOf(names)} ${names.length > 1 ? "escuchan" : "escucha"} con las manos ocupadas`,
  ill: (name, hours) => `${name} no está bien y se queda en casa${hours ? `, ${hours}` : " hoy"}`,
  notSure: (name, days) =>
    days >= 7 ? "" : `Duerme ${days} días de 7. ¿No duerme? Entonces ${name} tiene un rato tranquilo.`,
  cooking: (adult, count) => `${adult} cocina ${minutes(count)} antes`,
  free: (count) => `${minutes(count)} con las manos libres`,
  sinceEarlier: (count) => `Antes, hoy: ${plural(count, "cosa")}`,

  thenWaits: (doing, where, until) =>
    `luego ${doing}${where ? ` (${where})` : ""}${until ? ` hasta ${until}` : ""}`,
  atClock: (day, clock) => (day ? `${day} ${clock}` : clock),

  thingsWait: (count) => plural(count, "cosa"),
  eveningTotal: (used, of) => (of ? `${minutes(used)} de los ${minutes(of)} que hay` : `${minutes(used)} en total`),
  shopBefore: (closes) => (closes ? `Antes de la semana; la lista se cierra ${closes}` : "Antes de la semana"),
  amount: (count, unit) => `${count} ${unit}`,
  goes: (title, count) => (count > 1 ? `${title} (${count} veces)` : title),
  sureWithinWhy: (proved) =>
    proved.length ? `Demostrado lo mejor en ${listOf(proved)}; el resto aún puede mejorar un poco.` : "Una búsqueda más larga aún puede encontrar una mejor.",
  tier: { promises: "promesas", required: "un día perdido", preferred: "un día perdido", staples: "lo de cada día", changes: "menos cambios", worth: "los extras", rhythm: "el ritmo" },
  soughtFor: (seconds) => `Encontrada en ${seconds < 1 ? "menos de un segundo" : `${Math.round(seconds)} s`}.`,
  makingSeconds: (seconds) => `${Math.round(seconds)} s`,
  makingBookings: (count) => `${plural(count, "cosa puesta", "cosas puestas")}`,

  emptyCounts: (wishes, days) => `Esperan ${plural(wishes, "deseo")} y ${plural(days, "día")}.`,

  bandCounts: (count, promises) =>
    count === 0 ? "nada puesto" : plural(count, "cosa") + (promises ? `, ${plural(promises, "promesa")}` : ""),
};
