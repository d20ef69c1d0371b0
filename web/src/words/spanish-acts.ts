/** La página en español (las frases sencillas están en `spanish.json`): lo que se toca, lo que ha pasado, propuestas, cambios, notas, marcas. */
import type { englishActs } from "./english-acts";
import type { Spoken } from "./spoken";
import { listOf, plural } from "./spanish";

export const spanishActs: Spoken<typeof englishActs> = {
  outcomes: { done: "Hecho", loved: "Encantó", fine: "Bien", no: "No, gracias" },
  napGoing: (child, times, titles, helped) =>
    `${child} no ha dormido la siesta ${times} veces últimamente. ${listOf(titles)} quizá vaya mejor a otra hora${helped.map((one, index) => `${index ? " o" : ", por ejemplo"} el ${one.day.toLowerCase()}, mientras ${one.who} está con ${child}`).join("")}.`,
  smallerWeek: (times) => `${times} días tranquilos en dos semanas. La próxima semana podría ser más pequeña: más espacio, menos lío, una cosa del tema al día.`,
  takeUp: { "nap-going": "Buscar otra hora", "smaller-week": "Hacerla más pequeña" },
  lossProof: {
    off: "simplemente la mejor semana posible",
    prefer: "dejar un segundo día a cada promesa, si no cuesta nada",
    require: "dejar un segundo día a cada promesa, aunque otra cosa espere",
  },
  hangs: (parts) =>
    `Vale la pena guardar: ${parts.map((part) => `${listOf(part.days)} para ${part.title}`).join("; ")}. Si se pierde ese día, queda para otra semana.`,
  ifUp: {
    quiet: (names, count) => `si ${names.join(" o ")} no duerme: rato tranquilo a la vista, ${count} min como mucho`,
    beside: (names) => `si ${names.join(" o ")} no duerme: con ${listOf(names)} en brazos`,
    lighter: (names, count) => `si ${names.join(" o ")} no duerme: la versión ligera, ${count} min`,
    evening: (names) => `si ${names.join(" o ")} no duerme: por la noche, cuando haya calma`,
    leave: (names) => `si ${names.join(" o ")} no duerme: puede esperar`,
  },
  moreAbout: (title) => `Más sobre ${title}`,
  doneWith: (title) => `Hecho: ${title}`,
  moveOf: (title) => `Mover ${title}`,
  refusals: { sticky: "demasiado pegajoso", "too hard": "demasiado difícil", "too long": "demasiado largo", tired: "un día cansado", "not today": "simplemente hoy no" },
  whyTitle: (title) => `Por qué aquí: ${title}`,
  whyNotTitle: (title) => `Qué ayudaría: ${title}`,
  moveHeads: { fits: "Cabe ahí, y todo lo demás se queda.", needsRoom: "Ahí hay algo en medio:", cannot: "No puede estar ahí:" },
  insteadOf: { swap: (title) => `Otra cosa en lugar de ${title}`, lighter: (title) => `${title}, la manera ligera` },
  insteadText: { swap: "Algo parecido, a la misma hora. No cambia nada hasta que se diga.", lighter: "Menos que hacer, a la misma hora. No cambia nada hasta que se diga." },
  insteadHeads: {
    swap: { fits: "Aquí cabe:", needsRoom: "Hay algo en medio:", cannot: "Nada de lo que hay libre cabe aquí:" },
    lighter: { fits: "Cabe, y todo lo demás se queda.", needsRoom: "Hay algo en medio:", cannot: "La manera ligera no puede estar aquí:" },
  },
  noteTitle: (title) => (title ? `Una nota sobre ${title}` : "Una nota sobre el día"),

  happenedGroups: { people: "Alguien", day: "El día", things: "Algo en marcha" },
  isIllToday: (name) => `${name} no está bien`,
  didNotSleep: (name) => `${name} no ha dormido`,
  cannotBeHere: (name) => `${name} no puede estar`,
  weAreLate: (count) => `Vamos ${count} min tarde`,
  runsOn: (title) => `Dejarlo seguir: ${title}`,
  stillWet: (title) => `Aún mojado: ${title}`,
  waysFor: (what) => `${what}.`,
  way: (index, of) => (of > 1 ? `Manera ${index} de ${of}` : "La manera más suave"),
  movesTo: (title, when) => `${title}: ${when}`,
  fromTo: (from, to) => `${from} → ${to}`,
  lighterWay: (title) => `${title}: la manera ligera`,
  wayStays: (count) => (count === 1 ? "Una cosa se queda donde está." : `${count} cosas se quedan donde están.`),
  heldNow: (title) => `${title} se queda donde está.`,
  looseNow: (title) => `${title} puede moverse otra vez.`,
  ticked: (title, outcome) => `${title}: ${outcome.toLowerCase()}.`,
  untick: (title) => `${title} está abierto otra vez.`,

  undoNext: (what) => `Deshacer: ${what}`,
  undoneThat: (what) => `Deshecho: ${what}`,

  freshFrom: (clock) => `Como lo tenía el servicio a las ${clock}.`,
  waitsToSend: (count) => `${plural(count, "marca o nota guardada", "marcas y notas guardadas")} aquí; se envían en cuanto el servicio responda`,
  seenOn: (day) => `aquí por última vez el ${day}`,
  letOut: (name) => `Sacar ${name}`,
  letInText: (count) => `Apunte su cámara a esta imagen. Sirve una vez, durante ${Math.round(count / 60)} minutos.`,

  rooms: { start: "Seis respuestas, una semana", house: "La casa", friday: "El repaso del viernes", ahead: "Lo que viene", themes: "Temas", catalogue: "El catálogo" },
  upToMinutes: (count) => `hasta ${count} min`,
  ranks: { none: "Esta semana no", promise: "Promesa", staple: "Diario", extra: "Extra" },
  rankOf: (title) => `${title}: ¿cómo se desea?`,
  wishCount: (found, wished) => `${plural(found, "encontrado")}, ${plural(wished, "deseado")}`,
  prepMinutes: (count) => (count ? `${count} min de preparar` : "nada que preparar"),
  usedIn: (names) => `para ${listOf(names)}`,

  compareSame: (count) => `${plural(count, "cosa")} como antes.`,
};
