/** What the house holds, and the house itself. */
import { useState } from "preact/hooks";
import type { Household, Material } from "../contract";
import { ownId } from "../marks";
import { fill } from "../words";
import { Input, numberOf } from "./form";
import { edit, faults } from "./house";
import { told } from "./house-words";
import { Flags } from "./HousePeople";
import { called, Lines, sittingsOf, TakeOut, useUsers } from "./lines";
import { put } from "./people";

interface Part {
  house: Household;
}

const TOOL: Omit<Material, "id"> = { name: "", reusable: true, count: 1, unit: "piece", arrivals: [], buyable: false, price: 0, substitutes: [], keeps_days: null };

export function Tools({ house: { materials } }: Part) {
  const [wanted, seek] = useState("");
  const [opened, open] = useState("");
  const users = useUsers((one) => sittingsOf(one).flatMap((sitting) => sitting.needs.map((need) => need.material)));
  const add = () => {
    const id = ownId();
    edit({ materials: [{ ...TOOL, id }, ...materials] });
    seek("");
    open(id);
  };
  const seen = (one: Material): boolean => one.id === opened || called(one.name).toLocaleLowerCase().includes(wanted.toLocaleLowerCase());
  return (
    <div class="person">
      <p class="quiet">{told.house.toolsHelp}</p>
      <div class="form"><Input label={told.house.search} value={wanted} change={seek} /></div>
      <button type="button" class="button" onClick={add}>{told.house.addTool}</button>
      <div class="form">
        {materials.map((one, index) => {
          if (!seen(one)) return null;
          const at = `materials[${index}]`;
          const set = (some: Partial<Material>) => { edit({ materials: put(materials, index, { ...one, ...some }) }); };
          const isOpen = one.id === opened || Boolean(faults.value[`${at}.name`]);
          const count = <Input type="number" label={one.reusable ? called(one.name) : `${called(one.name)} (${called(one.unit)})`} value={one.count} fault={faults.value[`${at}.count`]} more={{ min: 0 }} change={(text) => { set({ count: numberOf(text) ?? 0 }); }} />;
          return (
            <div key={one.id} class={isOpen ? "tool is-open" : "tool"}>
              {count}
              <button type="button" class="button button-quiet" aria-expanded={isOpen} aria-label={fill(told.house.change, called(one.name))} onClick={() => { open(isOpen ? "" : one.id); }}>…</button>
              {isOpen ? (
                <div class="person">
                  <div class="form">
                    <Input label={told.house.called} value={one.name} fault={faults.value[`${at}.name`]} more={{ maxLength: 200 }} change={(name) => { set({ name }); }} />
                    <Input label={told.house.unit} value={one.unit} fault={faults.value[`${at}.unit`]} more={{ maxLength: 200 }} change={(unit) => { set({ unit }); }} />
                    {one.buyable ? <Input type="number" label={told.house.price} value={one.price} more={{ min: 0 }} change={(text) => { set({ price: numberOf(text) ?? 0 }); }} /> : null}
                    {one.reusable ? null : <Input type="number" label={told.house.keeps} hint={told.house.keepsHint} value={one.keeps_days} more={{ min: 0, max: 400 }} change={(text) => { set({ keeps_days: numberOf(text) }); }} />}
                  </div>
                  <Flags label={fill(told.house.placeIs, called(one.name))} of={one} keys={["reusable", "buyable"]} change={set} />
                  <TakeOut name={one.name} users={users(one.id)} isGone={!one.count} out={() => { edit({ materials: put(materials, index, null) }); }} gone={() => { set({ count: 0 }); }} />
                </div>
              ) : null}
            </div>
          );
        })}
      </div>
    </div>
  );
}

export function Holders({ house: { holders } }: Part) {
  const users = useUsers((one) => [...one.waits, ...one.prep].map((wait) => wait.holder));
  return (
    <Lines list={holders} fresh={{ name: "", capacity: 1 }} add={told.house.addHolder} change={(next) => { edit({ holders: next }); }}
      line={(one, set, index) => (
        <div class="form">
          <Input label={told.house.called} value={one.name} fault={faults.value[`holders[${index}].name`]} more={{ maxLength: 200 }} change={(name) => { set({ name }); }} />
          <Input type="number" label={told.house.capacity} value={one.capacity} fault={faults.value[`holders[${index}].capacity`]} more={{ min: 1, max: 1000 }} change={(text) => { set({ capacity: numberOf(text) ?? 1 }); }} />
        </div>
      )}
      out={(one, _, out) => (users(one.id)?.length === 0 ? <TakeOut name={one.name} out={out} /> : null)} />
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
