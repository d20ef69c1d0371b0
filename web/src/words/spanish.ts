/** La página en español (las frases sencillas están en `spanish.json`): la semana, el día, las notas, cómo se hace una semana. */
import type { Day, Evening } from "../model";
import type { english } from "./english";
import type { Spoken } from "./spoken";

const DAY_NAMES: Record<Day, string> = {
  monday: "lunes", tuesday: "martes", wednesday: "miércoles", thursday: "jueves",
  friday: "viernes", saturday: "sábado", sunday: "domingo",
};

const EVENING_NAMES: Record<Evening, string> = { sunday_before: "domingo, antes de la semana", ...DAY_NAMES };

const HELP: readonly string[] = ["a solas, al alcance del oído", "ponerlo en marcha", "de vez en cuando", "al lado", "manos a la obra"];
const MESS: readonly string[] = ["sin ensuciar", "migas", "limpiar la mesa", "suelo y ropa", "baño después"];
const DOING: Record<string, string> = {
  dry: "se seca", rise: "sube", bake: "se hornea", cool: "se enfría", freeze: "se congela", soak: "se remoja", grow: "crece",
  ferment: "fermenta", watch: "reposa", "come to room warmth": "se templa", rest: "descansa",
};
const DOING_MANY: Record<string, string> = { dry: "secándose", rise: "subiendo", bake: "horneándose", cool: "enfriándose", freeze: "congelándose", soak: "en remojo", grow: "creciendo", ferment: "fermentando", watch: "en reposo", "come to room warmth": "templándose", rest: "descansando" };

/** «y», pero «e» ante el sonido i. */
const and = (next: string): string => (/^h?[ií]/i.test(next) && !/^hi[ae]/i.test(next) ? "e" : "y");

export const listOf = (names: readonly string[]): string => {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} ${and(last)} ${last}`;
};

export const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

export const minutes = (count: number): string =>
  count < 120 ? `${count} min` : `${Math.floor(count / 60)} h${count % 60 ? ` ${count % 60} min` : ""}`;

export const spanish: Spoken<typeof english> = {
  days: DAY_NAMES,
  evenings: EVENING_NAMES,
  listOf,
  weekOf: (theme, week) => (theme ? `Semana: ${theme}` : `Semana ${week.slice(6)}`),

  help: (level) => HELP[level] ?? "",
  mess: (level) => MESS[level] ?? "",
  minutes,
  setup: (count) => `${minutes(count)} para preparar`,
  cleanup: (count) => `${minutes(count)} para recoger`,
  sitting: (name, index, of) => `${name} · ${index} de ${of}`,
  with: (names) => `con ${listOf(names)}`,
  minder: (adult, awake, asleep) =>
    awake.length ? `${adult} se queda con ${listOf(awake)}` : `${adult} está pendiente de ${listOf(asleep)}`,
  along: (names) => `${listOf(names)} ${names.length > 1 ? "vienen" : "viene"} también`,
  whileAsleep: (names) => `mientras ${names.length > 1 ? "duermen" : "duerme"} ${listOf(names)}`,
  meanwhile: (names) => `${listOf(names)} ${names.length > 1 ? "escuchan" : "escucha"} con las manos ocupadas`,
  cautionSource: (source) => `Lo dice: ${source}`,

  outBy: (clock) => `Salir antes de las ${clock}`,
  begins: (clock, end) => `de ${clock} a ${end}`,
  backAbout: (clock) => `de vuelta hacia las ${clock}`,
  ill: (name, hours) => `${name} no está bien y se queda en casa${hours ? `, ${hours}` : " hoy"}`,
  sleeps: (name) => `${name} duerme`,
  aboutTo: (start, end) => `más o menos de ${start} a ${end}`,
  spread: (count) => `${count} min antes o después`,
  notSure: (name, days) =>
    days >= 7 ? "" : `Duerme ${days} días de 7. ¿No duerme? Entonces ${name} tiene un rato tranquilo.`,
  cooking: (adult, count) => `${adult} cocina ${minutes(count)} antes`,
  free: (count) => `${minutes(count)} con las manos libres`,
  sinceEarlier: (count) => `Antes, hoy: ${plural(count, "cosa")}`,

  thenWaits: (kind, where, until) =>
    `luego ${DOING[kind] ?? kind}${where ? ` (${where})` : ""}${until ? ` hasta ${until}` : ""}`,
  waiting: (kind) => DOING_MANY[kind] ?? kind,
  ready: (when) => `listo ${when}`,
  readyFor: (when) => `hace falta ${when}`,
  andThen: (first, second) => `${first}, luego ${second}`,
  atClock: (day, clock) => (day ? `${day} ${clock}` : clock),

  thingsWait: (count) => plural(count, "cosa"),
  fetchFor: (title, clock) => `para ${title}, hacia las ${clock}`,
  fetchFrom: (title, holder) => `${title}: de ${holder}`,
  eveningTotal: (used, of) => (of ? `${minutes(used)} de los ${minutes(of)} que hay` : `${minutes(used)} en total`),
  prepFor: (title, day) => `para ${title}, ${day}`,
  shopBefore: (closes) => (closes ? `Antes de la semana; la lista se cierra ${closes}` : "Antes de la semana"),
  shopAt: (when) => `En la tienda, ${when}`,
  needBy: (when) => `hace falta ${when}`,
  amount: (count, unit) => `${count} ${unit}`,
  until: (text) => `Aún tiene sentido ${text}`,
  freedBy: (text) => `Volvería con: ${text}`,
  goes: (title, count) => (count > 1 ? `${title} (${count} veces)` : title),

  sureWithin: (percent) => `A menos de ${percent} de la mejor posible`,
  sureWithinWhy: (proved) =>
    proved.length ? `Demostrado lo mejor en ${listOf(proved)}; el resto aún puede mejorar un poco.` : "Una búsqueda más larga aún puede encontrar una mejor.",
  tier: { promises: "promesas", required: "un día perdido", preferred: "un día perdido", staples: "lo de cada día", changes: "menos cambios", worth: "los extras", rhythm: "el ritmo" },
  soughtFor: (seconds) => `Encontrada en ${seconds < 1 ? "menos de un segundo" : `${Math.round(seconds)} s`}.`,

  makingTier: (tier) => `Ya cabe. Mejorando: ${tier}`,
  makingGap: (percent) => `como mucho a ${percent} de lo mejor posible`,
  makingSeconds: (seconds) => `${Math.round(seconds)} s`,
  makingBookings: (count) => `${plural(count, "cosa puesta", "cosas puestas")}`,
  failed: (why) => `Eso no ha salido: ${why}`,

  emptyCounts: (wishes, days) => `Esperan ${plural(wishes, "deseo")} y ${plural(days, "día")}.`,
  unreachableShown: (clock) => `Se ve la semana como estaba a las ${clock}; no se pierde nada. Intentándolo otra vez.`,

  bandCounts: (count, promises) =>
    count === 0 ? "nada puesto" : plural(count, "cosa") + (promises ? `, ${plural(promises, "promesa")}` : ""),
};
