/** The house: everything that the six answers and their defaults made of it, in one place. */
import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Evening, Household } from "../contract";
import { enter } from "../rooms";
import { changed, changes, guarded, unreachable, view } from "../store";
import { DAYS } from "../time";
import { EVENING_NAMES, fill, listOf, upperFirst, words } from "../words";
import { Input, numberOf, Toggles, toFirstFault } from "./form";
import { choose, draft, drop, edit, faults, fetchHouse, house as current, other, save } from "./house";
import { Adults, Children, Flags } from "./HousePeople";
import { told } from "./house-words";
import { put } from "./people";
import "../styles/house.css";

interface Part {
  house: Household;
}

function Places({ house: { places } }: Part) {
  return (
    <>
      {places.map((place, index) => {
        const set = (some: Partial<typeof place>) => { edit({ places: put(places, index, { ...place, ...some }) }); };
        return (
          <div key={place.id} class="person">
            <div class="form">
              <Input label={told.house.called} value={place.name} fault={faults.value[`places[${index}].name`]} more={{ maxLength: 200 }} change={(name) => { set({ name }); }} />
              <Input type="number" label={told.house.travel} value={place.travel_min} more={{ min: 0, max: 600 }} change={(text) => { set({ travel_min: numberOf(text) ?? 0 }); }} />
            </div>
            <Flags label={fill(told.house.placeIs, place.name)} of={place} keys={["meals_here", "outdoors", "out_of_earshot"]} change={set} />
          </div>
        );
      })}
    </>
  );
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
      </div>
    </>
  );
}

const EVENINGS: readonly Evening[] = ["sunday_before", ...DAYS];
const PREP_MIN = 20;

function Prep({ house: { limits } }: Part) {
  const { prep } = limits;
  const set = (next: typeof prep) => { edit({ limits: { ...limits, prep: EVENINGS.flatMap((evening) => next.filter((one) => one.evening === evening)) } }); };
  const touch = (evening: Evening) => {
    const others = prep.filter((one) => one.evening !== evening);
    set(others.length < prep.length ? others : [...prep, { evening, minutes: PREP_MIN, quiet: true }]);
  };
  return (
    <>
      <Toggles label="" of={told.house.prep} chosen={prep.map((one) => one.evening)} choices={EVENINGS.map((one) => [one, upperFirst(EVENING_NAMES[one])] as const)} touch={touch} />
      {prep.map((one, index) => (
        <div key={one.evening} class="form hours">
          <Input type="number" label={fill(told.minutesOn, upperFirst(EVENING_NAMES[one.evening]))} value={one.minutes} fault={faults.value[`limits.prep[${index}].minutes`]} more={{ min: 0, max: 300, step: 5 }}
            change={(text) => { set(put(prep, index, { ...one, minutes: numberOf(text) ?? 0 })); }} />
          <Toggles label="" of={EVENING_NAMES[one.evening]} chosen={one.quiet ? ["quiet"] : []} choices={[["quiet", told.house.quiet]]} touch={() => { set(put(prep, index, { ...one, quiet: !one.quiet })); }} />
        </div>
      ))}
    </>
  );
}

function Meals({ house: { fixed_points: points } }: Part) {
  return (
    <>
      {points.map((point, index) => {
        const at = `fixed_points[${index}]`;
        const set = (some: Partial<typeof point>) => { edit({ fixed_points: put(points, index, { ...point, ...some }) }); };
        return (
          <div key={point.id} class="form">
            <Input label={told.house.called} value={point.title} fault={faults.value[`${at}.title`] ?? faults.value[at]} more={{ maxLength: 200 }} change={(title) => { set({ title }); }} />
            <Input type="time" label={told.from} value={point.start} fault={faults.value[`${at}.start`]} change={(start) => { set({ start }); }} />
            <Input type="time" label={told.until} value={point.end} fault={faults.value[`${at}.end`]} change={(end) => { set({ end }); }} />
          </div>
        );
      })}
    </>
  );
}

function Tools({ house: { materials } }: Part) {
  const [wanted, seek] = useState("");
  const found = materials.map((material, index) => ({ material, index })).filter(({ material }) => material.name.toLocaleLowerCase().includes(wanted.toLocaleLowerCase()));
  return (
    <>
      <p class="quiet">{told.house.toolsHelp}</p>
      <div class="form"><Input label={told.house.search} value={wanted} change={seek} /></div>
      <div class="form">
        {found.map(({ material, index }) => (
          <Input key={material.id} type="number" label={material.reusable ? material.name : `${material.name} (${material.unit})`} value={material.count} fault={faults.value[`materials[${index}].count`]} more={{ min: 0 }}
            change={(text) => { edit({ materials: put(materials, index, { ...material, count: numberOf(text) ?? 0 }) }); }} />
        ))}
      </div>
    </>
  );
}

function Itself({ house: { name, time_zone: zone } }: Part) {
  return (
    <div class="form">
      <Input label={told.house.name} value={name} fault={faults.value["name"]} more={{ maxLength: 200 }} change={(next) => { edit({ name: next }); }} />
      <Input label={told.house.zone} value={zone} fault={faults.value["time_zone"]} change={(next) => { edit({ time_zone: next }); }} />
    </div>
  );
}

type PartName = "children" | "adults" | "places" | "limits" | "prep" | "meals" | "tools" | "name";
const PARTS: Record<PartName, ComponentType<Part>> = { children: Children, adults: Adults, places: Places, limits: LimitFields, prep: Prep, meals: Meals, tools: Tools, name: Itself };

/** Where the faults of a part stand. */
const PATHS: Record<PartName, string> = { children: "children", adults: "adults", places: "places", limits: "limits.", prep: "limits.prep", meals: "fixed_points", tools: "materials", name: "name" };

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

function Choose() {
  return (
    <div class="room-keep" role="alert">
      <p>{told.house.stale}</p>
      <button type="button" class="button" onClick={() => { choose(false); }}>{told.house.theirs}</button>
      <button type="button" class="button button-main" onClick={() => { choose(true); void keep(); }}>{told.house.mine}</button>
    </div>
  );
}

function Keep() {
  const found = Object.values(faults.value);
  if (other.value) return <Choose />;
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
  const latest = changes.value[0]?.id;
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
      </section>
      <Keep />
    </>
  );
}
