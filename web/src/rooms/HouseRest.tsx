/** Places and fixed points of the house. */
import type { Household } from "../contract";
import { fill } from "../words";
import { Input, numberOf } from "./form";
import { edit, faults } from "./house";
import { told } from "./house-words";
import { Flags } from "./HousePeople";
import { put } from "./people";

interface Part {
  house: Household;
}

export function Places({ house: { places } }: Part) {
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

export function Meals({ house: { fixed_points: points } }: Part) {
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
