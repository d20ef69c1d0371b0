/** What the house holds, and the house itself. */
import { useState } from "preact/hooks";
import type { Household } from "../contract";
import { Input, numberOf } from "./form";
import { edit, faults } from "./house";
import { told } from "./house-words";
import { put } from "./people";

interface Part {
  house: Household;
}

export function Tools({ house: { materials } }: Part) {
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

export function Itself({ house: { name, time_zone: zone } }: Part) {
  return (
    <div class="form">
      <Input label={told.house.name} value={name} fault={faults.value["name"]} more={{ maxLength: 200 }} change={(next) => { edit({ name: next }); }} />
      <Input label={told.house.zone} value={zone} fault={faults.value["time_zone"]} change={(next) => { edit({ time_zone: next }); }} />
    </div>
  );
}
