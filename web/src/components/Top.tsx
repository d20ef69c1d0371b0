/** The day's name, the week it belongs to, and the button that makes a new week. */
import type { Day, WeekView } from "../model";
import { dateAfter, dayIndex } from "../time";
import { DAY_NAMES, words } from "../words";

const DATE = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", timeZone: "UTC" });

interface TopProps {
  view: WeekView;
  day: Day;
  isToday: boolean;
  canMake: boolean;
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

export function Top({ view, day, isToday, canMake, make, pickWeek }: TopProps) {
  const date = DATE.format(dateAfter(view.monday, dayIndex(day)));
  return (
    <header class="top">
      <div class="top-name">
        <h1>{DAY_NAMES[day]}{isToday ? <span class="today-word">{words.today}</span> : null}</h1>
        <p class="top-date">{date} · {words.weekOf(view.week.theme, view.week.id)}</p>
      </div>
      <div class="top-acts">
        <WeekPicker view={view} pickWeek={pickWeek} />
        {canMake ? <button type="button" class="button button-main" onClick={make}>{words.make}</button> : null}
      </div>
    </header>
  );
}
