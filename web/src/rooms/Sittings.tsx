/** The sittings of an activity, what waits after each of them, and the lighter way. */
import { useState } from "preact/hooks";
import type { Sitting } from "../contract";
import { minutes, words } from "../words";
import { ages, EASY, lighterOf, NO_WAIT, withoutSitting, withSitting } from "./catalogue";
import { Out, Part, Rows, Text, useDraft, Whole, type Path } from "./draft";
import { Input, numberOf, Pick, Toggles } from "./form";
import { toggled } from "./people";
import { tell } from "./tell";

type Choice = readonly [string, string];
const scale = (said: readonly string[]): Choice[] => said.map((text, level) => [String(level), text] as const);

interface SittingProps {
  sitting: Sitting;
  path: Path;
}

/** An age without minutes has no part in it. */
function ByAge({ sitting, path }: SittingProps) {
  const { one, set, fault } = useDraft();
  return one.versions.map(({ id }, at) => {
    const part = sitting.parts[id];
    const here = [...path, "parts", id];
    return (
      <>
        <Input key={id} type="number" label={tell("minutesOf", ages(one, id))} value={part?.minutes ?? null} fault={fault([...here, "minutes"], at ? here : path)} more={{ min: 0, max: 480 }}
          change={(text) => { set(here, numberOf(text) ? { ...EASY, ...part, minutes: numberOf(text) } : undefined); }} />
        {part ? <Pick key={`${id} help`} label={tell("helpOf", ages(one, id))} value={String(part.help)} choices={scale(words.helps)} change={(level) => { set([...here, "help"], Number(level)); }} /> : null}
      </>
    );
  });
}

function ByAdult({ sitting, path }: SittingProps) {
  const { set } = useDraft();
  return (
    <>
      <Whole label={tell("minutes")} value={sitting.adult_min} path={[...path, "adult_min"]} whole={path} />
      <Pick label={tell("adultHelp")} value={String(sitting.adult_help)} choices={scale(words.helps)} change={(level) => { set([...path, "adult_help"], Number(level)); }} />
    </>
  );
}

/** After the last sitting it only holds its place: paint on the pegs. */
function Afterwards({ at }: { at: number }) {
  const { one, house, set } = useDraft();
  const wait = one.waits[at];
  const [isNone, leave] = useState(!wait || (wait.kind === "rest" && !wait.least_min && !wait.holder));
  const path = ["waits", at];
  const pick = (kind: string) => {
    leave(!kind);
    if (kind) set(path, { ...(isNone ? { ...NO_WAIT, least_min: 60 } : wait), kind });
    else set(path, at < one.sittings.length - 1 ? NO_WAIT : undefined);
  };
  return (
    <>
      <Pick label={tell("afterwards")} value={isNone || !wait ? "" : wait.kind} choices={[["", tell("noWait")], ...Object.entries(words.doing)]} change={pick} />
      {isNone || !wait ? null : (
        <>
          <Whole label={tell("atLeast")} value={wait.least_min} path={[...path, "least_min"]} whole={path} hint={minutes(wait.least_min)} />
          <Whole label={tell("atMost")} value={wait.most_min} path={[...path, "most_min"]} empty={null} hint={wait.most_min === null ? tell("noEnd") : minutes(wait.most_min)} />
          <Pick label={tell("waitsOn")} value={wait.holder ?? ""} choices={[["", tell("none")], ...house.holders.map((holder) => [holder.id, holder.name] as const)]} change={(id) => { set([...path, "holder"], id || null); }} />
          {wait.holder ? <Whole label={tell("takesUp")} value={wait.units} path={[...path, "units"]} /> : null}
        </>
      )}
    </>
  );
}

function Go({ sitting, path }: SittingProps) {
  const { one, house, set } = useDraft();
  const isAdults = sitting.adult_min > 0;
  const turn = () => { set(path, { ...sitting, adult_min: isAdults ? 0 : 10, parts: isAdults ? Object.fromEntries(one.versions.map(({ id }) => [id, EASY])) : {} }); };
  return (
    <>
      <Toggles label="" of={tell("who")} chosen={isAdults ? ["adult"] : []} choices={[["adult", tell("adultAlone")]]} touch={turn} />
      {isAdults ? <ByAdult sitting={sitting} path={path} /> : <ByAge sitting={sitting} path={path} />}
      <Whole label={tell("setup")} value={sitting.setup_min} path={[...path, "setup_min"]} />
      <Whole label={tell("cleanup")} value={sitting.cleanup_min} path={[...path, "cleanup_min"]} />
      <Toggles label={tell("where")} chosen={sitting.places} choices={house.places.map((place) => [place.id, place.name] as const)} touch={(id) => { const next = toggled(sitting.places, id); if (next.length) set([...path, "places"], next); }} />
      <Rows title={tell("needs")} path={[...path, "needs"]} list={sitting.needs} fresh={() => ({ material: house.materials[0]?.id ?? "", count: 1, each_child: false })}
        line={(need, at) => (
          <>
            <Pick label={tell("what")} value={need.material} choices={house.materials.map((thing) => [thing.id, thing.name] as const)} change={(id) => { set([...at, "material"], id); }} />
            <Whole label={tell("count")} value={need.count} path={[...at, "count"]} whole={at} />
            <Toggles label="" of={tell("count")} chosen={need.each_child ? ["each"] : []} choices={[["each", tell("eachChild")]]} touch={() => { set([...at, "each_child"], !need.each_child); }} />
          </>
        )} />
      <Pick label={tell("mess")} value={String(sitting.mess)} choices={scale(words.messes)} change={(level) => { set([...path, "mess"], Number(level)); }} />
    </>
  );
}

export function Sittings() {
  const { one, change } = useDraft();
  const count = one.sittings.length;
  return (
    <>
      {one.sittings.map((sitting, at) => {
        const path = ["sittings", at];
        const title = tell("sitting", at + 1, sitting.name);
        return (
          <Part key={at} title={title}>
            <Text label={tell("called")} value={sitting.name} path={[...path, "name"]} />
            <Go sitting={sitting} path={path} />
            <Afterwards key={count} at={at} />
            {count > 1 ? <Out of={title} out={() => { change((now) => withoutSitting(now, at)); }} /> : null}
          </Part>
        );
      })}
      <button type="button" class="button" onClick={() => { change((now) => withSitting(now, tell("nextSitting"))); }}>{tell("addSitting")}</button>
    </>
  );
}

export function Lighter() {
  const { one: { lighter }, one, set } = useDraft();
  if (!lighter) return <button type="button" class="button" onClick={() => { set(["lighter"], lighterOf(one)); }}>{tell("addLighter")}</button>;
  return (
    <Part title={tell("lighter")}>
      <Text label={tell("does")} value={lighter.does} path={["lighter", "does"]} />
      <Go sitting={lighter.sitting} path={["lighter", "sitting"]} />
      <Out of={tell("lighter")} out={() => { set(["lighter"], null); }} />
    </Part>
  );
}
