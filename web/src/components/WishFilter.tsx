/** What narrows the catalogue down. */
import type { WeekView } from "../model";
import { PREP_STEPS, type Filter } from "../vm/wishes";
import { words } from "../words";

interface Choice {
  value: string;
  text: string;
}

function Pick({ label, value, choices, pick }: { label: string; value: string; choices: readonly Choice[]; pick: (value: string) => void }) {
  return (
    <label class="field"><span>{label}</span>
      <select value={value} onChange={(event) => { pick(event.currentTarget.value); }}>
        {choices.map((one) => <option key={one.value} value={one.value}>{one.text}</option>)}
      </select>
    </label>
  );
}

const MESS_LEVELS = [0, 1, 2, 3] as const;

export function WishFilter({ view, filter, change }: { view: WeekView; filter: Filter; change: (next: Filter) => void }) {
  const { household } = view;
  const areas = [{ value: "", text: words.anyArea }, ...household.areas.map((area) => ({ value: area.id, text: area.name }))];
  const messes = [{ value: "4", text: words.anyMess }, ...MESS_LEVELS.map((level) => ({ value: String(level), text: words.messes[level] ?? "" }))];
  const preps = [{ value: "Infinity", text: words.anyPrep },
    ...PREP_STEPS.map((count) => ({ value: String(count), text: count ? words.upToMinutes(count) : words.noPrepAtAll }))];
  const whos = [{ value: "", text: words.anybody }, ...household.children.filter((child) => child.learner).map((child) => ({ value: child.id, text: child.name }))];
  return (
    <div class="form">
      <label class="field"><span>{words.wishSearch}</span>
        <input type="search" value={filter.text} onInput={(event) => { change({ ...filter, text: event.currentTarget.value }); }} />
      </label>
      <Pick label={words.wishWho} value={filter.who} choices={whos} pick={(who) => { change({ ...filter, who }); }} />
      <Pick label={words.wishArea} value={filter.area} choices={areas} pick={(area) => { change({ ...filter, area }); }} />
      <Pick label={words.wishMess} value={String(filter.mess)} choices={messes} pick={(mess) => { change({ ...filter, mess: Number(mess) }); }} />
      <Pick label={words.wishPrep} value={String(filter.prep)} choices={preps} pick={(prep) => { change({ ...filter, prep: Number(prep) }); }} />
      <button type="button" class="choice" aria-pressed={filter.onlyWished} onClick={() => { change({ ...filter, onlyWished: !filter.onlyWished }); }}>{words.onlyWished}</button>
    </div>
  );
}
