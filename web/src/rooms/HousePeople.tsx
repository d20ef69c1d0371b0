/** Children and adults of the house. */
import type { Adult, Allergen, Allergy, Child, Household } from "../contract";
import { fill } from "../words";
import { Input, numberOf, Pick, Toggles } from "./form";
import { addAdult, addChild, edit, faults, takeOut } from "./house";
import { told } from "./house-words";
import { called } from "./lines";
import { HoursFields, Naps, put } from "./people";

interface AllergyProps {
  name: string;
  allergies: readonly Allergy[];
  change: (allergies: Allergy[]) => void;
}

export function Allergies({ name, allergies, change }: AllergyProps) {
  const { allergens, levels } = told.house;
  const chosen = allergies.map((one) => one.allergen);
  const touch = (allergen: Allergen) => {
    change(chosen.includes(allergen) ? allergies.filter((one) => one.allergen !== allergen) : [...allergies, { allergen, level: "avoid" }]);
  };
  return (
    <>
      <Toggles label={fill(told.house.allergies, called(name))} chosen={chosen} choices={Object.entries(allergens) as [Allergen, string][]} touch={touch} />
      {allergies.length ? (
        <div class="form">
          {allergies.map((one, index) => (
            <Pick key={one.allergen} label={fill(told.house.levelOf, allergens[one.allergen])} value={one.level} choices={Object.entries(levels)}
              change={(level) => { change(put(allergies, index, { ...one, level: level as Allergy["level"] })); }} />
          ))}
          <p class="quiet">{told.house.care}</p>
        </div>
      ) : null}
    </>
  );
}

interface FlagsProps<K extends string> {
  label: string;
  of: Record<K, boolean>;
  keys: readonly K[];
  change: (some: Record<string, boolean>) => void;
}

/** What is so or not so, one touch each. */
export function Flags<K extends keyof typeof told.house & string>({ label, of, keys, change }: FlagsProps<K>) {
  return <Toggles label={label} chosen={keys.filter((key) => of[key])} choices={keys.map((key) => [key, told.house[key] as string] as const)} touch={(key) => { change({ [key]: !of[key] }); }} />;
}

const SPANS = ["listening_min", "table_min", "hands_min", "break_min", "focused_min_a_day"] as const;

function ChildFields({ house, index, child }: { house: Household; index: number; child: Child }) {
  const at = `children[${index}]`;
  const found = faults.value;
  const set = (some: Partial<Child>) => { edit({ children: put(house.children, index, { ...child, ...some }) }); };
  const whole = (text: string) => Math.min(600, numberOf(text) ?? 0);
  return (
    <div class="person">
      <div class="form">
        <Input label={told.name} value={child.name} fault={found[`${at}.name`] ?? found[at]} more={{ maxLength: 200 }} change={(name) => { set({ name }); }} />
        <Input type="month" label={told.born} hint={told.bornHint} value={child.birth_month} fault={found[`${at}.birth_month`]} change={(month) => { set({ birth_month: month }); }} />
        <Input type="time" label={fill(told.wake, called(child.name))} value={child.wake} fault={found[`${at}.wake`]} change={(wake) => { set({ wake }); }} />
        <Input type="time" label={fill(told.bed, called(child.name))} value={child.bed} fault={found[`${at}.bed`]} change={(bed) => { set({ bed }); }} />
        <Input type="number" label={told.house.alone_min} value={child.alone_min} more={{ min: 0, max: 600 }} change={(text) => { set({ alone_min: whole(text) }); }} />
        {SPANS.map((span) => (
          <Input key={span} type="number" label={told.house[span]} value={child.attention[span]} more={{ min: 0, max: 600 }} change={(text) => { set({ attention: { ...child.attention, [span]: whole(text) } }); }} />
        ))}
      </div>
      <Naps at={at} naps={child.naps} fresh={{ start: "13:00", length_min: 90, start_spread_min: 20, length_spread_min: 20, days_of_seven: 7, quiet_min: 45, settle_min: 5, on_the_go: false, days: [] }} faults={found} change={(naps) => { set({ naps }); }} />
      <Flags label={fill(told.house.is, called(child.name))} of={child} keys={["learner", "mouths_things", "crawls"]} change={set} />
      <Allergies name={child.name} allergies={child.allergies} change={(allergies) => { set({ allergies }); }} />
      {house.children.length > 1 ? <button type="button" class="button button-quiet" onClick={() => { takeOut(house, child.id); }}>{fill(told.takeOut, called(child.name))}</button> : null}
    </div>
  );
}

export function Children({ house }: { house: Household }) {
  return (
    <>
      {house.children.map((child, index) => <ChildFields key={child.id} house={house} index={index} child={child} />)}
      <button type="button" class="button" onClick={() => { addChild(house); }}>{told.addChild}</button>
    </>
  );
}

function AdultFields({ house, index, adult }: { house: Household; index: number; adult: Adult }) {
  const at = `adults[${index}]`;
  const set = (some: Partial<Adult>) => { edit({ adults: put(house.adults, index, { ...adult, ...some }) }); };
  return (
    <div class="person">
      <div class="form">
        <Input label={told.name} value={adult.name} fault={faults.value[`${at}.name`]} more={{ maxLength: 200 }} change={(name) => { set({ name }); }} />
      </div>
      <HoursFields at={`${at}.hours`} label={fill(told.here, called(adult.name))} hours={adult.hours} fresh={{ days: ["saturday", "sunday"], start: "08:00", end: "20:00", duty: "on_hand" }} faults={faults.value} change={(hours) => { set({ hours }); }}
        beside={(one, change) => <Pick label={told.house.duty} value={one.duty} choices={Object.entries(told.house.duties)} change={(duty) => { change({ ...one, duty: duty as typeof one.duty }); }} />} />
      <Flags label={fill(told.house.is, called(adult.name))} of={adult} keys={["leads", "may_lift", "minds_water"]} change={set} />
      <Allergies name={adult.name} allergies={adult.allergies} change={(allergies) => { set({ allergies }); }} />
      {house.adults.length > 1 ? <button type="button" class="button button-quiet" onClick={() => { takeOut(house, adult.id); }}>{fill(told.takeOut, called(adult.name))}</button> : null}
    </div>
  );
}

export function Adults({ house }: { house: Household }) {
  return (
    <>
      {house.adults.map((adult, index) => <AdultFields key={adult.id} house={house} index={index} adult={adult} />)}
      <button type="button" class="button" onClick={() => { addAdult(house); }}>{told.addAdult}</button>
    </>
  );
}

