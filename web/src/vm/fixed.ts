/** Fixed points and naps of one day. */
import type { Day, FixedPoint, Nap, WeekView } from "../model";
import { clockOf, minutesOf, type Span } from "../time";
import { words } from "../words";
import type { FixedLine, Item, Loom, NapLine } from "./types";

export const happensOn = (days: readonly Day[], day: Day): boolean => days.length === 0 || days.includes(day);

export function takenSpan(point: FixedPoint): Span {
  return {
    start: minutesOf(point.start) - point.travel_before_min - point.out_the_door_min,
    end: minutesOf(point.end) + point.travel_after_min,
  };
}

export function leavesHome(point: FixedPoint): boolean {
  return point.travel_before_min > 0 || point.out_the_door_min > 0;
}

/** When the door closes behind those who go; getting dressed comes before it. */
const leaving = (point: FixedPoint): number => minutesOf(point.start) - point.travel_before_min;

function fixedLine(point: FixedPoint): FixedLine {
  const leaves = leavesHome(point);
  const start = minutesOf(point.start);
  const begins = words.begins(clockOf(start), clockOf(minutesOf(point.end)));
  return {
    id: point.id,
    title: point.title,
    leaves,
    loud: leaves ? words.outBy(clockOf(leaving(point))) : "",
    quiet: begins,
    note: point.travel_after_min > 0 ? words.backAbout(clockOf(takenSpan(point).end)) : "",
  };
}

/** A fixed point that takes one strand only stays on it; any other runs across. */
function fixedColumn(loom: Loom, point: FixedPoint): number | "all" {
  const taken = loom.strands.filter((strand) => point.children.includes(strand.id));
  const [only] = taken;
  return only && taken.length === 1 && loom.strands.length > 1 ? only.column : "all";
}

export function fixedItems(view: WeekView, loom: Loom, day: Day): Item[] {
  return view.fixed_points
    .filter((point) => point.kind !== "meal" && happensOn(point.days, day))
    .map((point) => ({
      kind: "fixed", id: `fixed-${point.id}`, span: { start: leaving(point), end: takenSpan(point).end },
      column: fixedColumn(loom, point), fixed: fixedLine(point),
    }));
}

export function mealsOn(view: WeekView, day: Day): FixedPoint[] {
  return view.fixed_points.filter((point) => point.kind === "meal" && happensOn(point.days, day));
}

function napLine(id: string, name: string, nap: Nap): NapLine {
  const start = minutesOf(nap.start);
  const spread = nap.start_spread_min ? words.spread(nap.start_spread_min) : "";
  return {
    id, name,
    when: [words.aboutTo(clockOf(start), clockOf(start + nap.length_min)), spread].filter(Boolean).join(", "),
    note: words.notSure(name, nap.days_of_seven),
  };
}

/** A learner's nap lies on their strand; a baby's is told across the page. */
export function napItems(view: WeekView, loom: Loom, day: Day): Item[] {
  const away = view.fixed_points.filter((point) => leavesHome(point) && happensOn(point.days, day));
  return view.household.children.flatMap((child) => child.naps
    .filter((nap) => happensOn(nap.days, day))
    .map((nap, index): Item => {
      const start = minutesOf(nap.start);
      const id = `nap-${child.id}-${index}`;
      return {
        kind: "nap", id, span: { start, end: start + nap.length_min },
        column: loom.strands.find((strand) => strand.id === child.id)?.column ?? "all",
        nap: napLine(id, child.name, nap),
      };
    })
    .filter((item) => !away.some((point) => point.children.includes(child.id) && covers(takenSpan(point), item.span))));
}

function covers(outer: Span, inner: Span): boolean {
  return outer.start <= inner.start && inner.end <= outer.end;
}
