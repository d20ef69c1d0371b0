/** The house: everything that the six answers and their defaults made of it, in one place. */
import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { ask, getChanges, sending } from "../api";
import type { Household } from "../contract";
import { enter } from "../rooms";
import { changed, changes, guarded, load, movedIn, unreachable, view } from "../store";
import { listOf, words } from "../words";
import { Choose } from "./Choose";
import { Evenings } from "./Evenings";
import { Input, numberOf, toFirstFault } from "./form";
import { choose, draft, drop, edit, faults, fetchHouse, house as current, other, save } from "./house";
import { Adults, Children } from "./HousePeople";
import { Meals, Places, Stretches } from "./HouseRest";
import { Holders, Itself, Tools } from "./HouseTools";
import { told } from "./house-words";
import { HoursFields } from "./people";

interface Part {
  house: Household;
}

function Prep({ house: { limits } }: Part) {
  return <Evenings label={told.house.prep} at="limits.prep" prep={limits.prep} fresh={{ quiet: true }} faults={faults.value} change={(prep) => { edit({ limits: { ...limits, prep } }); }} />;
}

type LimitKey = keyof typeof told.house.limit;

function LimitFields({ house: { limits } }: Part) {
  return (
    <>
      <p class="quiet">{told.house.messHelp}</p>
      <div class="form">
        {(Object.entries(told.house.limit) as [LimitKey, string][]).map(([key, label]) => (
          <Input key={key} type="number" label={label} value={limits[key]} fault={faults.value[`limits.${key}`]} more={{ min: 0 }} change={(text) => { edit({ limits: { ...limits, [key]: numberOf(text) ?? 0 } }); }} />
        ))}
        <Input type="number" label={told.house.freeShare} value={Math.round(limits.free_share * 100)} fault={faults.value["limits.free_share"]} more={{ min: 0, max: 90 }} change={(text) => { edit({ limits: { ...limits, free_share: (numberOf(text) ?? 0) / 100 } }); }} />
      </div>
      <div class="person">
        {limits.mess_hours.length ? null : <p class="quiet">{told.house.messAnyTime}</p>}
        <HoursFields at="limits.mess_hours" label={told.house.messHours} hours={limits.mess_hours} fresh={{ days: [], start: "09:00", end: "11:30" }} faults={faults.value} first={told.house.messSome}
          change={(hours) => { edit({ limits: { ...limits, mess_hours: hours } }); }} />
      </div>
    </>
  );
}

type PartName = "children" | "adults" | "places" | "limits" | "prep" | "meals" | "stretches" | "tools" | "holders" | "name";
const PARTS: Record<PartName, ComponentType<Part>> = { children: Children, adults: Adults, places: Places, limits: LimitFields, prep: Prep, meals: Meals, stretches: Stretches, tools: Tools, holders: Holders, name: Itself };

/** Where the faults of a part stand. */
const PATHS: Record<PartName, string> = { children: "children", adults: "adults", places: "places", limits: "limits.", prep: "limits.prep", meals: "fixed_points", stretches: "stretches", tools: "materials", holders: "holders", name: "name" };

/** Drawn when it is opened: a house has hundreds of fields. */
function Folded({ name, house }: { name: PartName; house: Household }) {
  const [isWanted, open] = useState(false);
  const Inside = PARTS[name];
  const inShort = name === "children" || name === "adults" ? listOf(house[name].map((one) => one.name)) : "";
  const isOpen = isWanted || Object.keys(faults.value).some((path) => path.startsWith(PATHS[name]));
  return (
    <details class="room-part" open={isOpen} onToggle={(event) => { open(event.currentTarget.open); }}>
      <summary><h2>{told.house[name]}</h2>{isOpen || !inShort ? null : <span class="quiet">{inShort}</span>}</summary>
      {isOpen ? <Inside house={house} /> : null}
    </details>
  );
}

const keep = (): Promise<void> => guarded(async () => {
  if (await save()) await changed(told.house.saved);
  else toFirstFault();
});

const bring = (file: File | undefined): Promise<void> => guarded(async () => {
  if (!file) return;
  await ask("whole", { ...sending("PUT", null), body: file });
  drop();
  const [brought] = await getChanges();
  await load();
  movedIn(told.house.brought, brought?.id);
});

function Keep() {
  const found = Object.values(faults.value);
  if (other.value) return <Choose theirs={() => { choose(false); }} mine={() => { choose(true); void keep(); }} />;
  if (!draft.value) return view.value?.stored?.is_current === false ? <p role="status">{told.house.anew}</p> : null;
  return (
    <div class="room-keep">
      <div class="keep-said" role="status">{found.length ? [...new Set(found)].map((fault) => <p key={fault} class="fault">{fault}</p>) : <p>{told.house.unsaved}</p>}</div>
      <button type="button" class="button" onClick={drop}>{told.house.drop}</button>
      <button type="button" class="button button-main" onClick={() => { void keep(); }}>{told.house.save}</button>
    </div>
  );
}

export default function House() {
  const latest = changes.value;
  const isAway = unreachable.value !== null;
  useEffect(() => { void guarded(fetchHouse); }, [latest, isAway]);
  const found = current.value;
  if (!found) return <p role="status">{isAway ? words.needsService : words.roomComes}</p>;
  return (
    <>
      <p class="quiet">{told.house.text}</p>
      {(Object.keys(PARTS) as PartName[]).map((name) => <Folded key={name} name={name} house={found} />)}
      <section class="room-acts">
        <button type="button" class="button" onClick={() => { enter("start"); }}>{told.house.six}</button>
        <p class="quiet">{told.house.sixText}</p>
        <a class="button" download="lapful.json" href="api/whole">{told.house.whole}</a>
        <label class="field"><span>{told.house.bring}</span><input type="file" accept="application/json,.json" onChange={(event) => { void bring(event.currentTarget.files?.[0]); }} /></label>
      </section>
      <Keep />
    </>
  );
}
