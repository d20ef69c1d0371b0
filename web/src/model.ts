/** The shapes the service sends, by the names the page uses for them. */
export type {
  Activity,
  Adult,
  Attendance,
  Booking,
  Caution,
  Change,
  Child,
  Day,
  Evening,
  Fault,
  FixedPoint,
  Household,
  Item,
  Job,
  LeftOver,
  Marks,
  Moment,
  Move,
  MoveOffer,
  MoveVerdict,
  Nap,
  Note,
  Offer,
  Plan,
  PrepBooking,
  Problem,
  Progress,
  Purchase,
  Rank,
  Sitting,
  StoredPlan,
  Tick,
  TierResult,
  Waiting,
  Week,
  WeekSummary,
  WeekView,
  WhyAnswer,
  Window,
  Wish,
} from "./contract";

import type { Happened } from "./contract";

/** What is said of a mishap: its kind, and whatever is not as usual. */
type Said<M> = M extends { kind: infer K } ? { kind: K } & Partial<Omit<M, "kind">> : never;
export type Mishap = Said<Happened["mishaps"][number]>;
