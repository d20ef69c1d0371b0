/** What the components draw. Made from the service's answer by pure functions; nothing here is fetched. */
import type { Caution, Day } from "../model";
import type { Span } from "../time";

export type Side = "left" | "right";

/** One learning child: a strand with its own place, shape and edge. */
export interface Strand {
  id: string;
  name: string;
  /** 0 to 3: which shape and edge pattern. */
  mark: number;
  side: Side;
  /** Grid column, from 1; the cord has one of its own. */
  column: number;
}

export interface Loom {
  strands: Strand[];
  cordColumn: number;
  columns: number;
  /** Whose hands the cord stands for. */
  lead: { id: string; name: string };
}

export interface PartLine {
  strand: Strand;
  minutes: number;
  help: number;
  does: string;
}

export interface Card {
  id: string;
  day: Day;
  title: string;
  sitting: string;
  parts: PartLine[];
  span: Span;
  /** Hands of an adult from the first move to the last. */
  adultSpan: Span;
  clock: string;
  loud: string;
  minutes: number;
  place: string;
  mess: number;
  setup: number;
  cleanup: number;
  help: number;
  helpers: string[];
  byLead: boolean;
  facts: string[];
  then: string;
  needs: string[];
  areas: string[];
  cautions: Caution[];
  badges: string[];
  promise: boolean;
  isFirm: boolean;
  /** There is a lighter version that could still stand in for it. */
  canBeLighter: boolean;
  over: Card[];
}

export interface FixedLine {
  id: string;
  title: string;
  loud: string;
  quiet: string;
  leaves: boolean;
  note: string;
}

export interface NapLine {
  id: string;
  name: string;
  when: string;
  note: string;
}

export interface GapLine {
  id: string;
  minutes: number;
  note: string;
}

export type Item = { id: string; span: Span; column: number | "all" | "cord" } & (
  | { kind: "card"; card: Card }
  | { kind: "step"; card: Card }
  | { kind: "fixed"; fixed: FixedLine }
  | { kind: "nap"; nap: NapLine }
  | { kind: "gap"; gap: GapLine }
);

export type Placed = Item & {
  row: number;
  rows: number;
  /** A gap that shares the row of something on a strand. */
  isBeside: boolean;
  when: "past" | "now" | "next" | "later";
};

export interface Block {
  id: string;
  /** Which stretch it is a piece of, if any. */
  stretch: string;
  kind: "stretch" | "meal" | "between";
  title: string;
  clock: string;
  loud: boolean;
  note: string;
  span: Span;
  items: Placed[];
}

export interface DayPicture {
  blocks: Block[];
  earlier: Block[];
  earlierCount: number;
  /** Said above the day: who is ill. */
  ill: string[];
  isToday: boolean;
  isEmpty: boolean;
}
