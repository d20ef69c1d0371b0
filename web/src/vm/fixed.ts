/** Fixed points and naps of one day. */
import type { Child, Day, FixedPoint, Nap, WeekView, Window } from "../model";
import { clockOf, minutesOf, type Span } from "../time";
import { words } from "../words";
import type { FixedLine, Item, Loom, NapLine } from "./types";

const WHOLE_DAY_MIN = 12 * 60;

export const happensOn = (days: readonly Day[], day: Day): boolean => days.length === 0 || days.includes(day);

/** The fixed points that take place on a day; a mishap may have called one off. */
export function pointsOn(view: WeekView, day: Day): FixedPoint[] {
  const skipped = view.week.overrides.skipped.filter((one) => one.day === day).map((one) => one.fixed_point);
  return view.fixed_points.filter((point) => happensOn(point.days, day) && !skipped.includes(point.id));
}

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
  return pointsOn(view, day)
    .filter((point) => point.kind !== "meal")
    .map((point) => ({
      kind: "fixed", id: `fixed-${point.id}`, span: { start: leaving(point), end: takenSpan(point).end },
      column: fixedColumn(loom, point), fixed: fixedLine(point),
    }));
}

export function mealsOn(view: WeekView, day: Day): FixedPoint[] {
  return pointsOn(view, day).filter((point) => point.kind === "meal");
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

/** Who is ill on this day, and for how long. */
export function illLines(view: WeekView, day: Day): string[] {
  return view.week.ill.flatMap((ill) => ill.when.filter((when) => happensOn(when.days, day)).map((when) => words.ill(
    view.household.children.find((child) => child.id === ill.child)?.name ?? ill.child,
    isWholeDay(when) ? null : words.begins(clockOf(minutesOf(when.start)), clockOf(minutesOf(when.end))),
  )));
}

const isWholeDay = (when: Window): boolean => minutesOf(when.end) - minutesOf(when.start) >= WHOLE_DAY_MIN;

/** The naps of a day as they are this week: moved where the week says so, left out where it has none. */
export function napsOn(view: WeekView, child: Child, day: Day): Nap[] {
  return child.naps.filter((nap) => happensOn(nap.days, day)).flatMap((nap) => {
    const change = view.week.naps.find((one) => one.child === child.id && one.day === day && one.usual_start === nap.start);
    if (!change) return [nap];
    return change.start == null ? [] : [{ ...nap, start: change.start, start_spread_min: 0, days_of_seven: 7 }];
  });
}

/** A learner's nap lies on their strand; a baby's is told across the page. */
export function napItems(view: WeekView, loom: Loom, day: Day): Item[] {
  const away = pointsOn(view, day).filter(leavesHome);
  return view.household.children.flatMap((child) => napsOn(view, child, day)
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
