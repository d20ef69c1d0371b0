/** El repaso del viernes en español. */
import type { englishFriday } from "./english-friday";

export const spanishFriday: typeof englishFriday = {
  passTitle: "¿Cómo fue?",
  passText: "Un toque para cada cosa. Lo marcado en la semana ya está; no se debe nada.",
  outcomes: { done: "Hecho", loved: "Encantó", fine: "Hecho", not: "No hubo", no: "No quiso" },
  how: (title) => `Cómo fue: ${title}`,
  said: (count, of) => `${count} de ${of} dichas`,
  waits: "Aún fuera del registro; se guarda en este aparato.",
  inLog: "Todo lo dicho está en el registro.",
  othersDone: "Lo demás se hizo",
  othersNot: "Lo demás no se hizo",
  write: "Escribirlo en el registro",
  written: "El registro está escrito.",
  noPlan: "Aún no hay semana que repasar. Primero hay que hacer una.",
  nobody: "En esta semana no se puso nada con niños.",
  more: "Minutos, por qué, qué se vio",
  minutesOf: (name) => `${name}, minutos`,
  setup: "Preparar, minutos",
  cleanup: "Recoger, minutos",
  reasonOf: (name) => `${name}: por qué no`,
  reasons: { sticky: "demasiado pegajoso", "too hard": "demasiado difícil", "too long": "demasiado largo", "too easy": "demasiado fácil", tired: "cansancio", loud: "demasiado ruido", other: "otra cosa" },
  noReason: "sin decir",
  note: "Una nota",
};
