/** One booking as a card. */
import type { Booking, Sitting, Waiting, WeekView } from "../model";
import { clockOf, dayIndex, minutesOf, weekMinutes, type Span } from "../time";
import { doingOf, DAY_NAMES, upperFirst, words } from "../words";
import { napsOn } from "./fixed";
import { napFallbacks } from "./hangs";
import type { Names } from "./names";
import type { Card, Loom, PartLine } from "./types";

export interface Room {
  view: WeekView;
  names: Names;
  loom: Loom;
}

function sittingOf(room: Room, booking: Booking): Sitting | undefined {
  const activity = room.names.activity(booking.activity);
  return booking.lighter ? activity?.lighter?.sitting : activity?.sittings[booking.sitting];
}

function partLines(room: Room, booking: Booking): PartLine[] {
  const activity = room.names.activity(booking.activity);
  return room.loom.strands.flatMap((strand) => {
    const found = booking.attends.find((one) => one.child === strand.id);
    if (!found) return [];
    const version = activity?.versions.find((one) => one.id === found.version);
    const does = booking.lighter ? (activity?.lighter?.does ?? "") : (version?.does ?? "");
    return [{ strand, minutes: found.minutes, help: found.help, does: upperFirst(does) }];
  });
}

/** `Tuesday 9:40`, or only the clock on the same day. */
export function momentText(at: { day: Booking["day"]; time: string }, from: Booking["day"]): string {
  return words.atClock(at.day === from ? null : DAY_NAMES[at.day], clockOf(minutesOf(at.time)));
}

function thenText(room: Room, booking: Booking): string {
  const wait = room.view.stored?.plan.waiting.find((one) => one.after === booking.id);
  if (!wait) return "";
  const where = wait.holder ? room.names.holder(wait.holder) : null;
  return words.thenWaits(doingOf(words.doing, wait.kind), where, wait.until ? momentText(wait.until, booking.day) : words.pastWeek);
}

/** A wait that may not last: dough, ice. Only then does the clock matter. */
function clockMatters(room: Room, booking: Booking): boolean {
  if (booking.lighter) return false;
  const waits = room.names.activity(booking.activity)?.waits ?? [];
  const around = [waits[booking.sitting - 1], waits[booking.sitting]];
  return around.some((wait) => wait?.most_min != null && wait.most_min - wait.least_min <= 120);
}

function loudText(room: Room, booking: Booking): string {
  const start = minutesOf(booking.start);
  const travel = room.names.travel(booking.place);
  if (travel > 0) return words.outBy(clockOf(start - travel));
  return clockMatters(room, booking) ? clockOf(start) : "";
}

/** The children whose usual sleep covers all of a span. */
export function asleepDuring(view: WeekView, day: Booking["day"], span: Span): string[] {
  return view.household.children.filter((child) => napsOn(view, child, day).some((nap) => {
    const start = minutesOf(nap.start);
    return start <= span.start && span.end <= start + nap.length_min;
  })).map((child) => child.name);
}

function minderText(room: Room, booking: Booking): string {
  if (!booking.minder) return "";
  const away = new Set([...booking.attends.map((one) => one.child), ...booking.along]);
  const start = minutesOf(booking.start);
  const asleep = asleepDuring(room.view, booking.day, { start, end: start + booking.minutes });
  const others = room.view.household.children.filter((child) => !away.has(child.id)).map((child) => child.name);
  return words.minder(room.names.person(booking.minder), others.filter((name) => !asleep.includes(name)), others);
}

function factsOf(room: Room, booking: Booking, span: Span): string[] {
  const here = new Set(booking.attends.map((one) => one.child));
  const asleep = asleepDuring(room.view, booking.day, span)
    .filter((name) => !room.view.household.children.some((child) => child.name === name && here.has(child.id)));
  return [
    minderText(room, booking),
    booking.along.length ? words.along(booking.along.map(room.names.person)) : "",
    asleep.length && !booking.minder ? words.whileAsleep(asleep) : "",
    ...napFallbacks(room, booking.id),
  ].filter((text) => text !== "").map(upperFirst);
}

function sittingText(room: Room, booking: Booking, sitting: Sitting | undefined): string {
  const of = room.names.activity(booking.activity)?.sittings.length ?? 1;
  return of > 1 && sitting && !booking.lighter ? words.sitting(sitting.name, booking.sitting + 1, of) : "";
}

function adultSpanOf(view: WeekView, booking: Booking): Span {
  const time = view.adult_times[booking.id];
  const start = minutesOf(booking.start);
  if (time) return { start: minutesOf(time.start), end: minutesOf(time.end) };
  return { start: start - booking.setup_min, end: start + booking.minutes + booking.cleanup_min };
}

export function cardOf(room: Room, booking: Booking): Card {
  const { names, view, loom } = room;
  const activity = names.activity(booking.activity);
  const sitting = sittingOf(room, booking);
  const start = minutesOf(booking.start);
  const span = { start, end: start + booking.minutes };
  const adultSpan = adultSpanOf(view, booking);
  const parts = partLines(room, booking);
  const promise = names.wish(booking.wish)?.rank === "promise";
  return {
    id: booking.id, day: booking.day, parts, span, adultSpan, promise,
    isFirm: booking.state === "firm",
    canBeLighter: activity?.lighter != null && !booking.lighter && booking.sitting === 0,
    title: activity?.title ?? booking.activity,
    sitting: sittingText(room, booking, sitting),
    clock: clockOf(start),
    loud: loudText(room, booking),
    minutes: booking.minutes,
    place: names.place(booking.place),
    mess: sitting?.mess ?? 0,
    setup: booking.setup_min,
    cleanup: booking.cleanup_min,
    help: parts.length ? Math.max(...parts.map((part) => part.help)) : (sitting?.adult_help ?? 2),
    helpers: booking.helpers.map(names.person),
    byLead: booking.helpers.includes(loom.lead.id),
    facts: factsOf(room, booking, span),
    then: thenText(room, booking),
    needs: (sitting?.needs ?? []).map((need) => names.material(need.material)),
    areas: (activity?.areas ?? []).map(names.area),
    cautions: booking.cautions,
    badges: [booking.state === "firm" ? words.firm : "", booking.lighter ? words.lighter : ""].filter((text) => text !== ""),
    over: overCards(room, booking),
  };
}

function overCards(room: Room, host: Booking): Card[] {
  return (room.view.stored?.plan.bookings ?? [])
    .filter((one) => one.alongside === host.id)
    .sort((a, b) => minutesOf(a.start) - minutesOf(b.start))
    .map((one) => cardOf(room, one));
}

/** Whether something stands, dries or rises somewhere on this day. */
export function waitsOn(wait: Waiting, day: Booking["day"]): boolean {
  const morning = dayIndex(day) * 24 * 60;
  const since = wait.since ? weekMinutes(wait.since) : -1;
  const until = wait.until ? weekMinutes(wait.until) : Number.POSITIVE_INFINITY;
  return since < morning + 24 * 60 && until >= morning + 5 * 60;
}
