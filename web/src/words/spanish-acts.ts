/** La página en español (las frases sencillas están en `spanish.json`): lo que se toca, lo que ha pasado, propuestas, cambios, notas, marcas. */
import type { englishActs } from "./english-acts";
import type { Spoken } from "./spoken";
import { plural } from "./english";
import { listOf } from "./spanish";

export const spanishActs: Spoken<typeof englishActs> = {
  napGoing: (child, times, titles, helped) =>
    `${child} no ha dormido la siesta ${times} veces últimamente. ${listOf(titles)} quizá vaya mejor a otra hora${helped.map((one, index) => `${index ? " o" : ", por ejemplo"} el ${one.day.toLowerCase()}, mientras ${one.who} está con ${child}`).join("")}.`,
  hangs: (parts) =>
    `Vale la pena guardar: ${parts.map((part) => `${listOf(part.days)} para ${part.title}`).join("; ")}. Si se pierde ese día, queda para otra semana.`,
  ifUp: {
    quiet: (names, count) => `si ${names.join(" o ")} no duerme: rato tranquilo a la vista, ${count} min como mucho`,
    beside: (names) => `si ${names.join(" o ")} no duerme: con ${listOf(names)} en brazos`,
    lighter: (names, count) => `si ${names.join(" o ")} no duerme: la versión ligera, ${count} min`,
    evening: (names) => `si ${names.join(" o ")} no duerme: por la noche, cuando haya calma`,
    leave: (names) => `si ${names.join(" o ")} no duerme: puede esperar`,
  },
  insteadOf: { swap: (title) => `Otra cosa en lugar de ${title}`, lighter: (title) => `${title}, la manera ligera` },
  noteTitle: (title) => (title ? `Una nota sobre ${title}` : "Una nota sobre el día"),
  way: (index, of) => (of > 1 ? `Manera ${index} de ${of}` : "La manera más suave"),
  wayStays: (count) => (count === 1 ? "Una cosa se queda donde está." : `${count} cosas se quedan donde están.`),
  ticked: (title, outcome) => `${title}: ${outcome.toLowerCase()}.`,
  waitsToSend: (count) => `${plural(count, "marca o nota guardada", "marcas y notas guardadas")} aquí; se envían en cuanto el servicio responda`,
  letInText: (count) => `Apunte su cámara a esta imagen. Sirve una vez, durante ${Math.round(count / 60)} minutos.`,
  wishCount: (found, wished) => `${plural(found, "encontrado")}, ${plural(wished, "deseado")}`,
  prepMinutes: (count) => (count ? `${count} min de preparar` : "nada que preparar"),
  usedIn: (names) => `para ${listOf(names)}`,

  compareSame: (count) => `${plural(count, "cosa")} como antes.`,
};
