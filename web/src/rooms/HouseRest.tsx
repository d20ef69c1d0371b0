/** Places, fixed points and stretches of the house. */
import type { FixedPoint, Household, Place, Stretch } from "../contract";
import { DAYS } from "../time";
import { fill } from "../words";
import { Input, numberOf, Pick, Toggles } from "./form";
import { edit, faults } from "./house";
import { told } from "./house-words";
import { Flags } from "./HousePeople";
import { called, Lines, sittingsOf, TakeOut, useUsers } from "./lines";
import { shortDays, toggled } from "./people";

interface Part {
  house: Household;
}

const FOR_EVER = { days: [], start: "00:00", end: "24:00" };
const isShut = ({ closed }: Place): boolean => closed.some((one) => !one.days.length && one.start === FOR_EVER.start && one.end === FOR_EVER.end);
const PLACE = { name: "", sittings_at_once: 1, meals_here: false, outdoors: false, apart: false, travel_min: 0, out_of_earshot: false, closed: [] };

export function Places({ house: { places, fixed_points: points } }: Part) {
  const users = useUsers((one) => sittingsOf(one).flatMap((sitting) => sitting.places));
  return (
    <Lines<Place> list={places} fresh={PLACE} add={told.house.addPlace}
      change={(next) => { edit({ places: next, fixed_points: points.map((point) => (next.some((one) => one.id === point.place) ? point : { ...point, place: null })) }); }}
      line={(place, set, index) => (
        <>
          <div class="form">
            <Input label={told.house.called} value={place.name} fault={faults.value[`places[${index}].name`]} more={{ maxLength: 200 }} change={(name) => { set({ name }); }} />
            <Input type="number" label={told.house.travel} value={place.travel_min} more={{ min: 0, max: 600 }} change={(text) => { set({ travel_min: numberOf(text) ?? 0 }); }} />
          </div>
          <Flags label={fill(told.house.placeIs, called(place.name))} of={{ ...place, shut: isShut(place) }} keys={["meals_here", "outdoors", "out_of_earshot", "apart", "shut"]}
            change={({ shut, ...some }) => { set(shut === undefined ? some : { closed: shut ? [FOR_EVER] : [] }); }} />
        </>
      )}
      out={(place, set, out) => <TakeOut name={place.name} users={users(place.id)} isGone={isShut(place)} out={out} gone={() => { set({ closed: [FOR_EVER] }); }} />} />
  );
}

const both = (from: string, until: string, at: string, set: (some: { start?: string; end?: string }) => void) => (
  <>
    <Input type="time" label={told.from} value={from} fault={faults.value[`${at}.start`]} change={(start) => { set({ start }); }} />
    <Input type="time" label={told.until} value={until} fault={faults.value[`${at}.end`]} change={(end) => { set({ end }); }} />
  </>
);

const POINT = {
  title: "", kind: "class", days: [], start: "15:00", end: "16:00", children: [], adults: [], travel_before_min: 0, travel_after_min: 0, out_the_door_min: 0, adult_before_min: 0,
  place: null, meal: null, outdoors: false, visitors_come: false, breakable: false, start_spread_min: 0,
} as const satisfies Omit<FixedPoint, "id">;

export function Meals({ house: { fixed_points: points, children, adults } }: Part) {
  const kinds = Object.entries(told.house.kinds);
  return (
    <Lines<FixedPoint> list={points} fresh={{ ...POINT, days: [], children: [], adults: [] }} add={told.house.addPoint} change={(next) => { edit({ fixed_points: next }); }}
      line={(point, set, index) => {
        const at = `fixed_points[${index}]`;
        const days = point.days.length ? point.days : DAYS;
        const who = [...point.children, ...point.adults];
        return (
          <>
            <div class="form">
              <Input label={told.house.called} value={point.title} fault={faults.value[`${at}.title`] ?? faults.value[at]} more={{ maxLength: 200 }} change={(title) => { set({ title }); }} />
              {both(point.start, point.end, at, set)}
              {point.meal ? null : (
                <>
                  <Pick label={told.house.kind} value={point.kind} choices={kinds} change={(kind) => { set({ kind: kind as FixedPoint["kind"] }); }} />
                  <Input type="number" label={told.house.travel} value={point.travel_before_min} more={{ min: 0, max: 600 }} change={(text) => { set({ travel_before_min: numberOf(text) ?? 0, travel_after_min: numberOf(text) ?? 0 }); }} />
                </>
              )}
            </div>
            <Toggles label={fill(told.house.onDays, called(point.title))} chosen={days} choices={shortDays()} touch={(day) => { set({ days: DAYS.filter((one) => toggled(days, day).includes(one)) }); }} />
            <Toggles label={fill(told.house.with, called(point.title))} chosen={who} choices={[...children, ...adults].map((one) => [one.id, called(one.name)] as const)}
              touch={(id) => { set(children.some((one) => one.id === id) ? { children: toggled(point.children, id) } : { adults: toggled(point.adults, id) }); }} />
          </>
        );
      }}
      out={(point, _, out) => <TakeOut name={point.title} out={out} />} />
  );
}

export function Stretches({ house: { stretches } }: Part) {
  return (
    <>
      <p class="quiet">{told.house.stretchesHelp}</p>
      <Lines<Stretch> list={stretches} fresh={{ name: "", start: "15:00", end: "16:00", usual_kinds: [], comfortable: 2 }} add={told.house.addStretch} change={(next) => { edit({ stretches: next }); }}
        line={(one, set, index) => (
          <div class="form">
            <Input label={told.house.called} value={one.name} fault={faults.value[`stretches[${index}].name`] ?? faults.value[`stretches[${index}]`]} more={{ maxLength: 200 }} change={(name) => { set({ name }); }} />
            {both(one.start, one.end, `stretches[${index}]`, set)}
          </div>
        )}
        out={(one, _, out) => <TakeOut name={one.name} out={out} />} />
    </>
  );
}
