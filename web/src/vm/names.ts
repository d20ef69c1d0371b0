/** Looks things up by id. An id that is not there shows as itself rather than as nothing. */
import type { Activity, Booking, Child, WeekView, Wish } from "../model";

interface Named {
  id: string;
  name: string;
}

export interface Names {
  activity: (id: string) => Activity | undefined;
  wish: (id: string) => Wish | undefined;
  booking: (id: string) => Booking | undefined;
  title: (activity: string) => string;
  person: (id: string) => string;
  place: (id: string) => string;
  holder: (id: string) => string;
  material: (id: string) => string;
  area: (id: string) => string;
  child: (id: string) => Child | undefined;
  /** Minutes one way; 0 at home. */
  travel: (place: string) => number;
}

const byId = <T extends { id: string }>(items: readonly T[]) => new Map(items.map((item) => [item.id, item]));
const nameIn = (items: readonly Named[]) => {
  const known = byId(items);
  return (id: string) => known.get(id)?.name ?? id;
};

export function namesOf(view: WeekView): Names {
  const { household, week } = view;
  const activities = byId(view.activities);
  const wishes = byId(week.wishes);
  const bookings = byId(view.stored?.plan.bookings ?? []);
  const children = byId(household.children);
  const places = byId(household.places);
  return {
    activity: (id) => activities.get(id),
    wish: (id) => wishes.get(id),
    booking: (id) => bookings.get(id),
    title: (id) => activities.get(id)?.title ?? id,
    person: nameIn([...household.children, ...household.adults, ...week.visitors]),
    place: nameIn(household.places),
    holder: nameIn(household.holders),
    material: nameIn(household.materials),
    area: nameIn(household.areas),
    child: (id) => children.get(id),
    travel: (id) => places.get(id)?.travel_min ?? 0,
  };
}
