/** Themes: what one would cost this household, shorter or longer, before anything is taken. */
import { useState } from "preact/hooks";
import * as api from "../api";
import type { Activity, Size, ThemeCost, WeekView } from "../contract";
import { room, unreachable } from "../store";
import { called, minutes, upperFirst, words } from "../words";
import { dateText, daysAfter, isoWeek, useFresh } from "./dates";
import { Pick, Toggles } from "./form";
import { getCost, take } from "./themes";
import { tell } from "./tell";
import { Celebration, WeeksAhead } from "./WeeksAhead";

function Facts({ cost, view }: { cost: ThemeCost; view: WeekView }) {
  const lines = [
    tell("prep", minutes(cost.prep_min), minutes(cost.prep_a_week)), tell("money", cost.money, cost.money_a_week),
    cost.two_adult_slots ? tell("twoAdults", cost.two_adult_slots, minutes(cost.two_adult_min)) : tell("oneAdult"),
    ...(cost.drying_days ? [tell("drying", cost.drying_days)] : []), ...(cost.big_messes ? [tell("messes", cost.big_messes)] : []),
    ...cost.reserve.map((one) => tell("reserve", one.title, dateText(one.by))),
    ...view.household.children.flatMap((child) => {
      const areas = cost.thin.filter((one) => one.child === child.id).map((one) => one.name);
      return areas.length ? [tell("thin", child.name, areas.join(" · "))] : [];
    }),
    ...(cost.thin.length ? [] : [tell("noThin")]),
  ];
  return <ul class="theme-facts">{lines.map((line) => <li key={line}>{upperFirst(line)}</li>)}</ul>;
}

interface SizeProps {
  size: Size;
  staying: readonly string[];
  all: ReadonlyMap<string, Activity>;
  touch: (id: string) => void;
}

const prepOf = (one: Activity): number => one.prep.reduce((sum, task) => sum + task.minutes, 0);

/** What stays in, each to be left out by one touch, and what falls off and why. */
function Kept({ size, staying, all, touch }: SizeProps) {
  const found = staying.flatMap((id) => all.get(id) ?? []);
  const prep = found.reduce((sum, one) => sum + prepOf(one), 0);
  const money = found.reduce((sum, one) => sum + one.cost, 0);
  const reasons = [...new Set(size.falls_off.map((one) => one.because))];
  return (
    <>
      <p role="status"><b>{tell("keeps", found.length, minutes(prep), money)}</b></p>
      <Toggles label={tell("stays")} chosen={staying} choices={size.kept.map((id) => [id, called(all.get(id)?.title ?? id)] as const)} touch={touch} />
      <h3>{tell("fallsOff")}</h3>
      {reasons.length ? (
        <ul class="theme-facts">{reasons.map((why) => <li key={why}><span class="quiet">{tell(why)}:</span> {size.falls_off.filter((one) => one.because === why).map((one) => one.title).join(" · ")}</li>)}</ul>
      ) : <p class="quiet">{tell("allStay")}</p>}
    </>
  );
}

function Cost({ cost, view, activities, week }: { cost: ThemeCost; view: WeekView; activities: readonly Activity[]; week: string }) {
  const [count, stretch] = useState(2);
  const [left, leave] = useState<ReadonlySet<string>>(new Set());
  const size = cost.sizes.find((one) => one.weeks === count);
  const all = new Map(activities.map((one) => [one.id, one]));
  const touch = (id: string) => { leave(new Set(left.has(id) ? [...left].filter((one) => one !== id) : [...left, id])); };
  const staying = size?.kept.filter((id) => !left.has(id)) ?? [];
  return (
    <>
      <Facts cost={cost} view={view} />
      <Toggles label={tell("howLong")} chosen={[String(count)]} choices={cost.sizes.map((one) => [String(one.weeks), tell("weeks", one.weeks)] as const)} touch={(one) => { stretch(Number(one)); }} />
      {size ? <Kept size={size} staying={staying} all={all} touch={touch} /> : null}
      <div class="room-acts">
        <button type="button" class="button button-main" disabled={!staying.length} onClick={() => { void take(cost.theme, week, count, staying); }}>{tell("take", count)}</button>
      </div>
    </>
  );
}

/** This week, and each after it up to the first that is not begun. */
function starts(view: WeekView): { week: string; monday: string }[] {
  const from = view.weeks.slice(view.weeks.indexOf(view.week.id));
  const known = from.map((week, at) => ({ week, monday: daysAfter(view.monday, 7 * at) }));
  const last = known.at(-1);
  const monday = daysAfter(last?.monday ?? view.monday, 7);
  return [...known, { week: isoWeek(monday), monday }];
}

function Choose({ view, activities }: { view: WeekView; activities: readonly Activity[] }) {
  const themes = [...new Set(activities.flatMap((one) => one.theme ?? []))].sort();
  const weeks = starts(view);
  const [theme, pick] = useState(view.week.theme && themes.includes(view.week.theme) ? view.week.theme : (themes[0] ?? ""));
  const [week, begin] = useState(view.week.id);
  const start = weeks.find((one) => one.week === week)?.monday ?? view.monday;
  const cost = useFresh(`${theme} ${start}`, async () => (theme ? getCost(theme, start) : null));
  return (
    <section class="room-part" aria-labelledby="cost">
      <h2 id="cost">{tell("cost")}</h2>
      {themes.length ? (
        <>
          <p class="quiet">{tell("costText")}</p>
          <div class="form">
            <Pick label={tell("theme")} value={theme} choices={themes.map((one) => [one, upperFirst(called(one))] as const)} change={pick} />
            <Pick label={tell("start")} value={week} choices={weeks.map((one) => [one.week, dateText(one.monday)] as const)} change={begin} />
          </div>
          {cost ? <Cost key={`${theme} ${week}`} cost={cost} view={view} activities={activities} week={week} /> : <p role="status">{words.roomComes}</p>}
        </>
      ) : <p>{tell("noThemes")}</p>}
    </section>
  );
}

function All({ view }: { view: WeekView }) {
  const activities = useFresh("activities", api.getActivities);
  if (!activities) return <p role="status">{unreachable.value ? words.needsService : words.roomComes}</p>;
  return (
    <>
      <Choose view={view} activities={activities} />
      <WeeksAhead week={view.week.id} />
      <Celebration activities={activities} from={daysAfter(view.monday, 11)} />
    </>
  );
}

export default function Themes() {
  const view = room.value?.view;
  return view ? <All key={view.week.id} view={view} /> : null;
}
