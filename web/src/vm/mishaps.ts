/** What may have happened on a day, in the words of somebody with a child on the arm. */
import type { Adult, Child, Day, Mishap, Waiting, WeekView } from "../model";
import { minutesOf, weekMinutes } from "../time";
import { words } from "../words";
import { waitsOn, type Room } from "./cards";
import { happensOn, napsOn } from "./fixed";

export interface Choice {
  id: string;
  text: string;
  mishap: Mishap;
}

export interface ChoiceGroup {
  kind: "people" | "day" | "things";
  title: string;
  choices: Choice[];
}

const LATE_MIN = [15, 30, 60] as const;
const WET_MIN = 180;
const RUN_ON_MIN = 30;

function ofChild(view: WeekView, child: Child, day: Day): Choice[] {
  const ill: Choice = { id: `ill-${child.id}`, text: words.isIllToday(child.name), mishap: { kind: "day-lost", day, children: [child.id] } };
  if (napsOn(view, child, day).length === 0) return [ill];
  return [ill, { id: `nap-${child.id}`, text: words.didNotSleep(child.name), mishap: { kind: "nap-failed", child: child.id, day } }];
}

const isHere = (adult: Adult, day: Day): boolean => adult.hours.some((hours) => happensOn(hours.days, day));

function ofPeople(room: Room, day: Day): Choice[] {
  const { household } = room.view;
  const adults = household.adults.filter((adult) => isHere(adult, day)).map((adult): Choice => ({
    id: `away-${adult.id}`, text: words.cannotBeHere(adult.name), mishap: { kind: "roster", adult: adult.id, day },
  }));
  return [...household.children.flatMap((child) => ofChild(room.view, child, day)), ...adults];
}

function ofDay(day: Day): Choice[] {
  return [
    { id: "lost", text: words.dayIsLost, mishap: { kind: "day-lost", day } },
    { id: "tired", text: words.tiredDay, mishap: { kind: "tired", day } },
    { id: "rain", text: words.itRains, mishap: { kind: "sky", day, wet: true } },
    ...LATE_MIN.map((count): Choice => ({ id: `late-${count}`, text: words.weAreLate(count), mishap: { kind: "late", minutes: count } })),
  ];
}

/** Whatever goes on just now may run on; whatever waits on this day may still be wet. */
function ofThings(room: Room, day: Day, hand: number | null): Choice[] {
  const plan = room.view.stored?.plan;
  const running = (plan?.bookings ?? []).filter((one) => hand !== null && one.day === day && one.alongside === null
    && minutesOf(one.start) <= hand && hand < minutesOf(one.start) + one.minutes + RUN_ON_MIN);
  const waiting = (plan?.waiting ?? []).filter((wait) => wait.after !== null && wait.before !== null && waitsOn(wait, day))
    .sort((a, b) => untilOf(a) - untilOf(b));
  return oneOfEachName([
    ...running.map((one): Choice => ({
      id: `on-${one.id}`, text: words.runsOn(room.names.title(one.activity)), mishap: runOn(one.id),
    })),
    ...waiting.flatMap((wait): Choice[] => (wait.after ? [{
      id: `wet-${wait.after}`, text: words.stillWet(titleOf(room, wait.after)), mishap: stillWet(wait.after),
    }] : [])),
  ]);
}

/** Of two waits with one name, the one that is wanted first is meant. */
function oneOfEachName(choices: readonly Choice[]): Choice[] {
  return choices.filter((choice, index) => choices.findIndex((other) => other.text === choice.text) === index);
}

const untilOf = (wait: Waiting): number => (wait.until ? weekMinutes(wait.until) : Number.POSITIVE_INFINITY);

const titleOf = (room: Room, id: string): string => room.names.title(room.names.booking(id)?.activity ?? id);

export const runOn = (booking: string): Mishap => ({ kind: "hooked", booking, minutes: RUN_ON_MIN });
export const stillWet = (booking: string): Mishap => ({ kind: "still-wet", booking, minutes: WET_MIN });

export function choiceGroups(room: Room, day: Day, hand: number | null): ChoiceGroup[] {
  const titles = words.happenedGroups;
  const groups: ChoiceGroup[] = [
    { kind: "people", title: titles.people, choices: ofPeople(room, day) },
    { kind: "day", title: titles.day, choices: ofDay(day) },
    { kind: "things", title: titles.things, choices: ofThings(room, day, hand) },
  ];
  return groups.filter((group) => group.choices.length > 0);
}
