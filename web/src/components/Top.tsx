/** The day's name, the week it belongs to, and the button that makes a new week. */
import type { Day, WeekView } from "../model";
import { lay } from "../sheet";
import { dateAfter, dayIndex } from "../time";
import { called, DAY_NAMES, TONGUES, tongue, upperFirst, words } from "../words";

export const dateText = (date: Date): string =>
  new Intl.DateTimeFormat(TONGUES[tongue.value].locale, { day: "numeric", month: "long", timeZone: "UTC" }).format(date);
import { Sign } from "./Sign";

interface TopProps {
  view: WeekView;
  day: Day;
  isToday: boolean;
  canMake: boolean;
  canMend: boolean;
  make: () => void;
  pickWeek: (id: string) => void;
}

function WeekPicker({ view, pickWeek }: { view: WeekView; pickWeek: (id: string) => void }) {
  if (view.weeks.length < 2) return null;
  return (
    <label class="picker">
      <span class="unseen">{words.weekPick}</span>
      <select value={view.week.id} onChange={(event) => { pickWeek(event.currentTarget.value); }}>
        {view.weeks.map((id) => <option key={id} value={id}>{words.weekOf(null, id)}</option>)}
      </select>
    </label>
  );
}

export function Top({ view, day, isToday, canMake, canMend, make, pickWeek }: TopProps) {
  const date = dateText(dateAfter(view.monday, dayIndex(day)));
  return (
    <header class="top">
      <div class="top-name">
        <h1>{upperFirst(DAY_NAMES[day])}{isToday ? <span class="today-word">{words.today}</span> : null}</h1>
        <p class="top-date">{date} · {words.weekOf(called(view.week.theme ?? ""), view.week.id)}{view.stored?.plan.soft ? ` · ${words.softWeek}` : ""}</p>
      </div>
      <div class="top-acts">
        <WeekPicker view={view} pickWeek={pickWeek} />
        {canMake ? <button type="button" class="button" onClick={make}>{words.make}</button> : null}
        {canMend ? <button type="button" class="button button-happened" onClick={() => { lay({ kind: "happened" }); }}>{words.happened}</button> : null}
        <button type="button" class="button button-round" aria-label={words.menuTitle} onClick={() => { lay({ kind: "menu" }); }}><Sign name="more" /></button>
      </div>
    </header>
  );
}
