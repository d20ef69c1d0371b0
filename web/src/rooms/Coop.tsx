/** Days shared with other families: who comes, who brings what, who steps in, and the group's own rule about illness. */
import { signal } from "@preact/signals";
import { useState } from "preact/hooks";
import { ask, getActivities, sending, Trouble } from "../api";
import type { Activity, Clear, Complaint, CoopDay, Guest, Turns } from "../contract";
import { newId } from "../marks";
import { changed, guarded, room } from "../store";
import { called, fill, TONGUES, tongue, words } from "../words";
import { daysAfter, dateText, useFresh } from "./dates";
import { FaultList, Input, numberOf, Pick, toFirstFault, Toggles } from "./form";
import { Allergies } from "./HousePeople";
import { told } from "./house-words";
import { Lines, TakeOut } from "./lines";
import { toggled } from "./people";
import { shared } from "./share-words";

const path = (day: CoopDay): string => `coop/${encodeURIComponent(day.id)}`;
type Faults = Readonly<Record<string, string>>;

interface PartProps {
  day: CoopDay;
  set: (some: Partial<CoopDay>) => void;
  faults: Faults;
}

function When({ day, set, faults }: PartProps) {
  return (
    <>
      <div class="form">
        <Input type="date" label={shared.date} value={day.date} fault={faults["date"]} change={(date) => { set({ date }); }} />
        {(["start", "end"] as const).map((key) => <Input key={key} type="time" label={key === "start" ? told.from : told.until} value={day[key]} fault={faults[key]} change={(time) => { set({ [key]: time }); }} />)}
        {(["host", "leader"] as const).map((key) => <Input key={key} label={shared[key]} value={day[key]} fault={faults[key]} more={{ maxLength: 200 }} change={(name) => { set({ [key]: name }); }} />)}
      </div>
      <Toggles label={shared.where} chosen={[String(day.here)]} choices={[["true", shared.here], ["false", shared.there]]} touch={(here) => { set({ here: here === "true" }); }} />
    </>
  );
}

const GUEST: Omit<Guest, "id"> = { name: "", family: "", birth_month: null, mouths_things: false, allergies: [], conditions: [] };

function Guests({ day, set, faults }: PartProps) {
  return (
    <Lines<Guest> list={day.guests} fresh={GUEST} add={shared.addGuest} change={(guests) => { set({ guests }); }}
      line={(guest, put, index) => (
        <>
          <div class="form">
            <Input label={told.name} value={guest.name} fault={faults[`guests[${index}].name`]} more={{ maxLength: 200 }} change={(name) => { put({ name }); }} />
            <Input label={shared.family} value={guest.family} fault={faults[`guests[${index}].family`]} more={{ maxLength: 200 }} change={(family) => { put({ family }); }} />
            <Input type="month" label={told.born} hint={shared.grownUp} value={guest.birth_month} fault={faults[`guests[${index}].birth_month`]} change={(month) => { put({ birth_month: month || null }); }} />
          </div>
          <Toggles label={fill(told.house.is, guest.name || told.unnamed)} chosen={guest.mouths_things ? ["mouths"] : []} choices={[["mouths", told.house.mouths_things]]} touch={() => { put({ mouths_things: !guest.mouths_things }); }} />
          <Allergies name={guest.name} allergies={guest.allergies} change={(allergies) => { put({ allergies }); }} />
        </>
      )}
      out={(guest, _, out) => <TakeOut name={guest.name} out={out} />} />
  );
}

function Agreed({ day, set, faults }: PartProps) {
  const { stand_in: instead, illness, brings } = day;
  const lines = brings.map((one, index) => ({ ...one, id: String(index) }));
  return (
    <>
      <h2>{shared.brings}</h2>
      <Lines list={lines} fresh={{ family: "", what: "" }} add={shared.addBring} change={(next) => { set({ brings: next.map(({ family, what }) => ({ family, what })) }); }}
        line={(one, put, index) => (
          <div class="form">
            <Input label={shared.family} value={one.family} fault={faults[`brings[${index}].family`]} more={{ maxLength: 200 }} change={(family) => { put({ family }); }} />
            <Input label={shared.what} value={one.what} more={{ maxLength: 2000 }} change={(what) => { put({ what }); }} />
          </div>
        )}
        out={(one, _, out) => <TakeOut name={one.what} out={out} />} />
      <h2>{shared.fallsOut}</h2>
      <div class="form">
        {(["host", "leader", "instead"] as const).map((key) => <Input key={key} label={shared.standIn[key]} value={instead[key]} change={(text) => { set({ stand_in: { ...instead, [key]: text || (key === "instead" ? "" : null) } }); }} />)}
      </div>
      <h2>{shared.illness}</h2>
      <p class="quiet">{shared.illnessText}</p>
      <div class="form">
        {(["fever_h", "stomach_h"] as const).map((key) => <Input key={key} type="number" label={shared[key]} value={illness[key]} more={{ min: 0, max: 240 }} change={(text) => { set({ illness: { ...illness, [key]: Math.min(240, numberOf(text) ?? 0) } }); }} />)}
      </div>
    </>
  );
}

function Ill({ day }: { day: CoopDay }) {
  const [complaint, pick] = useState<Complaint>("fever");
  const [last, set] = useState(`${daysAfter(day.date, -2)}T18:00`);
  const [clear, keep] = useState<Clear | null>(null);
  const look = () => guarded(async () => { keep(await ask(`${path(day)}/clear?complaint=${encodeURIComponent(complaint)}&last=${encodeURIComponent(new Date(last).toISOString())}`)); });
  const when = clear ? new Intl.DateTimeFormat(TONGUES[tongue.value].locale, { weekday: "long", hour: "numeric", minute: "2-digit" }).format(new Date(clear.clear_at)) : "";
  return (
    <>
      <h2>{shared.somebodyIll}</h2>
      <div class="form">
        <Pick label={shared.complaint} value={complaint} choices={Object.entries(shared.complaints)} change={(next) => { pick(next as Complaint); keep(null); }} />
        <Input type="datetime-local" label={shared.lastSign} value={last} change={(next) => { set(next); keep(null); }} />
        <button type="button" class="button" disabled={!last} onClick={() => { void look(); }}>{shared.mayCome}</button>
      </div>
      <p role="status">{clear ? <><b>{fill(clear.in_time ? shared.inTime : shared.tooLate, when)}</b> {shared.illnessText}</> : ""}</p>
    </>
  );
}

const opened = signal<CoopDay | null>(null);
/** Days as they are written and not kept yet: leaving the room loses nothing. */
const written = new Map<string, CoopDay>();

function Day({ kept, isNew, activities, done }: { kept: CoopDay; isNew: boolean; activities: readonly Activity[]; done: () => void }) {
  const [day, change] = useState(written.get(kept.id) ?? kept);
  const [faults, say] = useState<Faults>({});
  const set = (some: Partial<CoopDay>) => {
    const next = { ...day, ...some };
    written.set(day.id, next);
    change(next);
  };
  const act = (work: () => Promise<unknown>, text: string, after?: () => void) => guarded(async () => {
    try {
      await work();
    } catch (error) {
      if (!(error instanceof Trouble) || !error.problem.faults?.length) throw error;
      say(Object.fromEntries(error.problem.faults.map((fault) => [fault.path, fault.message])));
      toFirstFault();
      return;
    }
    say({});
    // What was written meanwhile has not arrived.
    if (written.get(day.id) === day) written.delete(day.id);
    await changed(text);
    after?.();
  });
  const date = dateText(day.date);
  const part = { day, set, faults };
  const isSaved = !isNew && JSON.stringify(day) === JSON.stringify(kept);
  return (
    <section class="room-part" aria-label={date}>
      <When {...part} />
      <Toggles label={shared.doing} chosen={day.activities} choices={activities.map((one) => [one.id, called(one.title)] as const)} touch={(id) => { set({ activities: toggled(day.activities, id) }); }} />
      <h2>{shared.guests}</h2>
      <Guests {...part} />
      <Agreed {...part} />
      <FaultList said={faults} />
      <div class="room-acts">
        <button type="button" class="button button-main" onClick={() => { void act(() => ask(path(day), sending("PUT", day)), fill(shared.dayKept, date), done); }}>{shared.save}</button>
        {isSaved ? (
          <>
            <button type="button" class="button" onClick={() => { void act(() => ask(`${path(day)}/week`, { method: "POST" }), fill(shared.inWeek, date)); }}>{shared.intoWeek}</button>
            <a class="button" target="_blank" rel="noopener" href={`api/${path(day)}/page`}>{shared.sheet}</a>
            <button type="button" class="button button-quiet" onClick={() => { void act(() => ask(path(day), { method: "DELETE" }), fill(shared.dayGone, date), done); }}>{fill(told.takeOut, date)}</button>
          </>
        ) : null}
      </div>
      {isSaved ? <Ill day={day} /> : null}
    </section>
  );
}

export default function Coop() {
  const view = room.value?.view;
  const days = useFresh("coop", () => ask<CoopDay[]>("coop"));
  const last = days?.at(-1);
  const turns = useFresh(`turns ${last?.date ?? ""}`, () => (last ? ask<Turns[]>(`coop/turns?until=${last.date}`) : Promise.resolve([])));
  const activities = useFresh("activities", getActivities);
  const shown = opened.value;
  const open = (day: CoopDay | null) => { opened.value = day; };
  if (!view || !days || !activities) return <p role="status">{words.roomComes}</p>;
  const wished = new Set([...view.week.wishes.map((one) => one.activity), ...shown?.activities ?? []]);
  const fresh = (): CoopDay => ({ ...(last ?? { guests: [], brings: [], stand_in: { host: null, leader: null, instead: "" }, illness: { fever_h: 24, stomach_h: 48 }, start: "09:30", end: "12:00", here: true, host: view.household.name, leader: view.household.adults[0]?.name ?? "", note: "" }), activities: [], id: `day-${newId()}`, date: last ? daysAfter(last.date, 7) : daysAfter(view.monday, 4) });
  return (
    <>
      <p class="quiet">{shared.coopText}</p>
      {days.length ? null : <p>{shared.noDays}</p>}
      <div class="choices">
        {days.map((day) => <button key={day.id} type="button" class="choice" aria-expanded={shown?.id === day.id} onClick={() => { open(shown?.id === day.id ? null : day); }}>{dateText(day.date)}, {day.host}</button>)}
      </div>
      <div class="room-acts"><button type="button" class="button" onClick={() => { open(fresh()); }}>{shared.addDay}</button></div>
      {shown ? <Day key={JSON.stringify(days.find((one) => one.id === shown.id) ?? shown.id)} kept={days.find((one) => one.id === shown.id) ?? shown} isNew={!days.some((one) => one.id === shown.id)} activities={activities.filter((one) => wished.has(one.id))} done={() => undefined} /> : null}
      {turns?.length ? (
        <section class="room-part" aria-labelledby="turns">
          <h2 id="turns">{shared.turns}</h2>
          <ul>{turns.map((one) => <li key={one.family}>{fill(shared.turn, one.family, one.hosted, one.led)}</li>)}</ul>
        </section>
      ) : null}
    </>
  );
}
