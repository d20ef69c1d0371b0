/** The cord: when the lead adult's hands are taken, and the gaps in which they are free. */
import type { Booking, Day, WeekView } from "../model";
import { clockOf, gapsIn, minutesOf, overlap, type Span } from "../time";
import { words } from "../words";
import { happensOn, napsOn, pointsOn, takenSpan } from "./fixed";
import type { Item, Loom } from "./types";

/** A shorter gap is a breath, not free minutes. */
const LEAST_GAP_MIN = 10;
const DIPS_IN = 2;
const SET_GOING = 1;
const SET_GOING_MIN = 5;

/** When one booking takes the hands: throughout, at the start, or only to lay out and clear. */
export function handsTaken(booking: Booking, adult: Span, isAway: boolean): Span[] {
  if (isAway) return [adult];
  const help = booking.attends.length ? Math.max(...booking.attends.map((one) => one.help)) : DIPS_IN;
  if (help >= DIPS_IN) return [adult];
  const start = minutesOf(booking.start);
  const going = help === SET_GOING ? SET_GOING_MIN : 0;
  return [{ start: adult.start, end: start + going }, { start: adult.end - booking.cleanup_min, end: adult.end }]
    .filter((span) => span.end > span.start);
}

function adultSpan(view: WeekView, booking: Booking): Span {
  const time = view.adult_times[booking.id];
  return time
    ? { start: minutesOf(time.start), end: minutesOf(time.end) }
    : { start: minutesOf(booking.start), end: minutesOf(booking.start) + booking.minutes };
}

function isAway(view: WeekView, booking: Booking): boolean {
  return view.household.places.some((place) => place.id === booking.place && place.travel_min > 0);
}

function takenByBookings(view: WeekView, lead: string, day: Day): Span[] {
  return (view.stored?.plan.bookings ?? [])
    .filter((one) => one.day === day && (one.helpers.includes(lead) || one.minder === lead))
    .flatMap((one) => one.minder === lead ? [adultSpan(view, one)] : handsTaken(one, adultSpan(view, one), isAway(view, one)));
}

function takenByFixed(view: WeekView, lead: string, day: Day): Span[] {
  return pointsOn(view, day)
    .filter((point) => point.adults.includes(lead))
    .map((point) => ({ ...takenSpan(point), start: takenSpan(point).start - point.adult_before_min }));
}

function settling(view: WeekView, day: Day): Span[] {
  return view.household.children.flatMap((child) => napsOn(view, child, day)
    .map((nap) => ({ start: minutesOf(nap.start), end: minutesOf(nap.start) + nap.settle_min })));
}

function onHand(view: WeekView, lead: string, day: Day): Span[] {
  const usual = view.household.adults.find((adult) => adult.id === lead)?.hours ?? [];
  return (view.week.hours[lead] ?? usual)
    .filter((hours) => hours.duty === "on_hand" && happensOn(hours.days, day))
    .map((hours) => ({ start: minutesOf(hours.start), end: minutesOf(hours.end) }));
}

function asleepFor(view: WeekView, day: Day, gap: Span): string[] {
  return view.household.children.filter((child) => napsOn(view, child, day).some((nap) => {
    const start = minutesOf(nap.start);
    return overlap(gap, { start, end: start + nap.length_min }) > (gap.end - gap.start) / 2;
  })).map((child) => child.name);
}

const roundDown = (minutes: number): number => minutes - (minutes % 5);

/** Free minutes of the lead adult inside one stretch of the day. */
export function gapItems(view: WeekView, loom: Loom, day: Day, stretch: Span): Item[] {
  const lead = loom.lead.id;
  const here = onHand(view, lead, day);
  if (!view.stored || !here.some((span) => overlap(span, stretch) > 0)) return [];
  const away = gapsIn({ start: 0, end: 24 * 60 }, here);
  const taken = [...takenByBookings(view, lead, day), ...takenByFixed(view, lead, day), ...settling(view, day), ...away];
  return gapsIn(stretch, taken).filter((gap) => gap.end - gap.start >= LEAST_GAP_MIN).map((gap): Item => {
    const asleep = asleepFor(view, day, gap);
    return {
      kind: "gap", id: `gap-${clockOf(gap.start)}`, span: gap, column: "cord",
      gap: { id: clockOf(gap.start), minutes: roundDown(gap.end - gap.start), note: asleep.length ? words.whileAsleep(asleep) : "" },
    };
  });
}
