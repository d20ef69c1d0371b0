/** The six questions. */
import { useEffect, useState } from "preact/hooks";
import type { Choices } from "../contract";
import { guarded, learnNames } from "../store";
import { called, fill, upperFirst } from "../words";
import { answer, answers, FRESH_NAP, faults, freshAdult, freshChild, getChoices, weeksToChoose, type ChildDraft } from "./answers";
import { dateText } from "./dates";
import { Evenings } from "./Evenings";
import { Input, Pick, Toggles } from "./form";
import { told } from "./house-words";
import { HoursFields, Naps, put, toggled } from "./people";

const setChild = (index: number, some: Partial<ChildDraft>): void => {
  const { children } = answers.value;
  const child = children[index];
  if (child) answer({ children: put(children, index, { ...child, ...some }) });
};

function Children() {
  const { children } = answers.value;
  return (
    <section class="room-part" aria-labelledby="who">
      <h2 id="who">{told.who}</h2>
      <p class="quiet">{told.whoText}</p>
      {children.map((child, index) => (
        <div key={index} class="form">
          <Input label={told.name} value={child.name} fault={faults.value[`children[${index}].name`]} more={{ maxLength: 200, autocomplete: "off" }} change={(name) => { setChild(index, { name }); }} />
          <Input type="month" label={told.born} hint={told.bornHint} value={child.birth_month} fault={faults.value[`children[${index}].birth_month`]} change={(month) => { setChild(index, { birth_month: month }); }} />
          {children.length > 1 ? <button type="button" class="button button-quiet" onClick={() => { answer({ children: put(children, index, null) }); }}>{fill(told.takeOut, child.name || told.unnamed)}</button> : null}
        </div>
      ))}
      {faults.value["children"] ? <p class="fault">{faults.value["children"]}</p> : null}
      {children.length < 20 ? <button type="button" class="button" onClick={() => { answer({ children: [...children, freshChild()] }); }}>{told.addChild}</button> : null}
    </section>
  );
}

type NapWay = keyof typeof told.napWays;

function Sleep() {
  const ways = Object.entries(told.napWays) as [NapWay, string][];
  return (
    <section class="room-part" aria-labelledby="sleep">
      <h2 id="sleep">{told.sleep}</h2>
      {answers.value.children.map((child, index) => {
        const way: NapWay = child.naps === null ? "usual" : child.naps.length ? "own" : "none";
        const pick = (next: string) => { setChild(index, { naps: next === "usual" ? null : next === "own" ? [FRESH_NAP] : [] }); };
        return (
          <div key={index} class="person">
            <div class="form">
              <Pick label={fill(told.naps, child.name || told.unnamed)} value={way} choices={ways} change={pick} />
              <Input type="time" label={fill(told.bed, child.name || told.unnamed)} hint={told.usualBed} value={child.bed} fault={faults.value[`children[${index}].bed`]} change={(bed) => { setChild(index, { bed }); }} />
            </div>
            {child.naps?.length ? <Naps at={`children[${index}]`} naps={child.naps} fresh={FRESH_NAP} faults={faults.value} change={(naps) => { setChild(index, { naps }); }} /> : null}
          </div>
        );
      })}
    </section>
  );
}

function Adults() {
  const { adults } = answers.value;
  return (
    <section class="room-part" aria-labelledby="adults">
      <h2 id="adults">{told.adults}</h2>
      <p class="quiet">{told.adultsText}</p>
      {adults.map((adult, index) => (
        <div key={index} class="person">
          <div class="form">
            <Input label={told.name} value={adult.name} fault={faults.value[`adults[${index}].name`]} more={{ maxLength: 200, autocomplete: "off" }}
              change={(name) => { answer({ adults: put(adults, index, { ...adult, name }) }); }} />
            {adults.length > 1 ? <button type="button" class="button button-quiet" onClick={() => { answer({ adults: put(adults, index, null) }); }}>{fill(told.takeOut, adult.name || told.unnamed)}</button> : null}
          </div>
          <HoursFields at={`adults[${index}].hours`} label={fill(told.here, adult.name || told.unnamed)} hours={adult.hours} fresh={{ days: ["saturday", "sunday"], start: "08:00", end: "20:00" }} faults={faults.value}
            change={(hours) => { answer({ adults: put(adults, index, { ...adult, hours }) }); }} />
        </div>
      ))}
      {adults.length < 12 ? <button type="button" class="button" onClick={() => { answer({ adults: [...adults, freshAdult()] }); }}>{told.addAdult}</button> : null}
    </section>
  );
}

function Where() {
  const { places, mess_a_day: mess } = answers.value;
  const choices = Object.entries(told.placeNames) as [(typeof places)[number], string][];
  return (
    <section class="room-part" aria-labelledby="where">
      <h2 id="where">{told.where}</h2>
      <Toggles label={told.places} chosen={places} choices={choices} touch={(place) => { answer({ places: toggled(places, place) }); }} />
      <Toggles label={told.mess} chosen={[String(mess)]} choices={Object.entries(told.messes)} touch={(text) => { answer({ mess_a_day: Number(text) }); }} />
    </section>
  );
}

function Prep() {
  return (
    <section class="room-part" aria-labelledby="prep">
      <h2 id="prep">{told.prep}</h2>
      <p class="quiet">{told.prepText}</p>
      <Evenings label={told.prep} at="prep" prep={answers.value.prep} fresh={{}} faults={faults.value} change={(prep) => { answer({ prep }); }} />
    </section>
  );
}

function Theme() {
  const { theme, week } = answers.value;
  const [choices, keep] = useState<Choices | null>(null);
  useEffect(() => {
    void guarded(async () => {
      await learnNames();
      const found = await getChoices();
      keep(found);
      if (answers.value.theme === null) answer({ theme: found.themes[0] ?? "" });
    });
  }, []);
  const weeks = weeksToChoose().map((one, index) => [one.id, fill(index ? told.weekFrom : told.weekNow, dateText(one.monday))] as const);
  return (
    <section class="room-part" aria-labelledby="theme">
      <h2 id="theme">{told.theme}</h2>
      <div class="form">
        <Pick label={told.themeName} value={theme ?? ""} choices={[...(choices?.themes ?? []).map((one) => [one, upperFirst(called(one))] as const), ["", told.noTheme]]} change={(next) => { answer({ theme: next }); }} />
        <Pick label={told.firstWeek} value={week} choices={weeks} change={(next) => { answer({ week: next }); }} />
      </div>
    </section>
  );
}

export function Six() {
  return <><Children /><Sleep /><Adults /><Where /><Prep /><Theme /></>;
}
