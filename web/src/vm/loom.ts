/** Where each child's strand and the cord between them run. */
import type { Booking, WeekView } from "../model";
import type { Loom, Strand } from "./types";

export const MARKS = 4;

export function loomOf(view: WeekView): Loom {
  const learners = view.household.children.filter((child) => child.learner);
  const before = Math.ceil(learners.length / 2);
  const strands = learners.map((child, index): Strand => ({
    id: child.id,
    name: child.name,
    mark: index % MARKS,
    side: index < before ? "left" : "right",
    column: index < before ? index + 1 : index + 2,
  }));
  const lead = view.household.adults.find((adult) => adult.leads) ?? view.household.adults[0];
  return {
    strands,
    cordColumn: before + 1,
    columns: learners.length + 1,
    lead: { id: lead?.id ?? "", name: lead?.name ?? "" },
  };
}

/** The strand of a booking for one child, all for several, the cord for an adult's step. */
export function columnOf(loom: Loom, booking: Booking): number | "all" | "cord" {
  const [first, ...others] = booking.attends;
  if (!first) return "cord";
  if (others.length > 0) return "all";
  return loom.strands.find((strand) => strand.id === first.child)?.column ?? "all";
}
