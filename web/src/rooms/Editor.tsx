/** One activity, open to be changed: ages, sittings, prep, the lighter way, links and printables. */
import { useState } from "preact/hooks";
import type { Activity, Fault, Household, Printable, Sitting } from "../contract";
import { guarded } from "../store";
import { words } from "../words";
import { Amounts } from "./Amounts";
import { keepFile, lighterOf, put, withVersion, type Step } from "./catalogue";
import { Input, numberOf, Pick, Toggles } from "./form";
import { toggled } from "./people";
import { tell } from "./tell";

interface Draft {
  one: Activity;
  set: (path: readonly Step[], value: unknown) => void;
}

type Choice = readonly [string, string];

const scale = (said: readonly string[]): Choice[] => said.map((text, level) => [String(level), text] as const);
const range = { min: 0, inputMode: "numeric" };

/** Closed until it is wanted: most changes touch one thing. */
function Part({ title, children }: { title: string; children: preact.ComponentChildren }) {
  return <details class="editor-part"><summary>{title}</summary><div class="form">{children}</div></details>;
}

function Whole({ label, value, path, set }: { label: string; value: number; path: readonly Step[]; set: Draft["set"] }) {
  return <Input type="number" label={label} value={value} more={range} change={(text) => { set(path, numberOf(text) ?? 0); }} />;
}

function Text({ label, value, path, set }: { label: string; value: string; path: readonly Step[]; set: Draft["set"] }) {
  return <Input label={label} value={value} more={{ maxLength: path.at(-1) === "name" || path.at(-1) === "title" ? 200 : 2000 }} change={(text) => { set(path, text); }} />;
}

function Rows({ title, add, remove, lines }: { title: string; add: () => void; remove: (at: number) => void; lines: readonly preact.ComponentChildren[] }) {
  return (
    <details class="editor-part">
      <summary>{lines.length ? `${title} (${lines.length})` : title}</summary>
      {lines.map((line, at) => (
        <div key={at} class="form editor-row">{line}<button type="button" class="button" aria-label={`${tell("removeRow")}: ${title}, ${at + 1}`} onClick={() => { remove(at); }}>{tell("removeRow")}</button></div>
      ))}
      <button type="button" class="button" aria-label={`${tell("addRow")}: ${title}`} onClick={add}>{tell("addRow")}</button>
    </details>
  );
}

/** The kinds have their words, so the words know the kinds. */
const KINDS = ["read-aloud", "circle", "process art", "craft", "sensory bin", "small world", "science look", "long watch", "cooking", "movement", "game", "letters", "maths", "pretend", "nature walk", "outing", "practical life", "handwork", "second language", "one-on-one", "quiet time", "audio", "screen", "celebration", "free play"] as const satisfies readonly Activity["kind"][];

function About({ one, set, house, themes }: Draft & { house: Household; themes: readonly string[] }) {
  const good = (["nap_ok", "tired_ok"] as const).filter((key) => one[key]);
  const areas = house.areas.map((area) => [area.id, area.name] as const);
  const touchArea = (id: string) => { set(["areas"], one.areas.includes(id) ? one.areas.filter((other) => other !== id) : [...one.areas, id]); };
  return (
    <>
      <div class="form">
        <Text label={tell("title")} value={one.title} path={["title"]} set={set} />
        <Pick label={tell("kind")} value={one.kind} choices={KINDS.map((kind) => [kind, tell(`kind ${kind}`)] as const)} change={(kind) => { set(["kind"], kind); }} />
        <Input label={tell("theme")} value={one.theme ?? ""} more={{ list: "themes" }} change={(theme) => { set(["theme"], theme || null); }} />
        <datalist id="themes">{themes.map((theme) => <option key={theme} value={theme} />)}</datalist>
        <Whole label={tell("price")} value={one.cost} path={["cost"]} set={set} />
        <Text label={tell("caution")} value={one.caution} path={["caution"]} set={set} />
      </div>
      <Toggles label={tell("goodFor")} chosen={good} choices={[["nap_ok", tell("nap_ok")], ["tired_ok", tell("tired_ok")]]} touch={(key) => { set([key], !one[key]); }} />
      {areas.length ? <Toggles label={tell("areas")} chosen={one.areas} choices={areas} touch={touchArea} /> : null}
    </>
  );
}

const ages = (one: Activity, id: string): string => {
  const found = one.versions.find((version) => version.id === id);
  return found ? tell("version", found.age_from_months, found.age_to_months) : id;
};

function Ages({ one, set, change }: Draft & { change: (next: Activity) => void }) {
  return (
    <>
      {one.versions.map((version, at) => (
        <Part key={version.id} title={ages(one, version.id)}>
          <Whole label={tell("fromMonths")} value={version.age_from_months} path={["versions", at, "age_from_months"]} set={set} />
          <Whole label={tell("toMonths")} value={version.age_to_months} path={["versions", at, "age_to_months"]} set={set} />
          <Text label={tell("does")} value={version.does} path={["versions", at, "does"]} set={set} />
        </Part>
      ))}
      <button type="button" class="button" onClick={() => { change(withVersion(one)); }}>{tell("addVersion")}</button>
    </>
  );
}

interface GoProps extends Draft {
  house: Household;
  sitting: Sitting;
  path: readonly Step[];
  title: string;
  children?: preact.ComponentChildren;
}

function Go({ one, house, sitting, path, title, set, children }: GoProps) {
  const { needs = [] } = sitting as Partial<Sitting>;
  return (
    <Part title={title}>
      {children}
      {Object.entries(sitting.parts).map(([id, part]) => (
        <>
          <Whole key={`${id} min`} label={tell("minutesOf", ages(one, id))} value={part.minutes} path={[...path, "parts", id, "minutes"]} set={set} />
          <Pick key={`${id} help`} label={tell("helpOf", ages(one, id))} value={String(part.help)} choices={scale(words.helps)} change={(level) => { set([...path, "parts", id, "help"], Number(level)); }} />
        </>
      ))}
      <Whole label={tell("setup")} value={sitting.setup_min} path={[...path, "setup_min"]} set={set} />
      <Whole label={tell("cleanup")} value={sitting.cleanup_min} path={[...path, "cleanup_min"]} set={set} />
      <Toggles label={tell("where")} chosen={sitting.places} choices={house.places.map((place) => [place.id, place.name] as const)} touch={(id) => { const next = toggled(sitting.places, id); if (next.length) set([...path, "places"], next); }} />
      <Rows title={tell("needs")} add={() => { set([...path, "needs"], [...needs, { material: house.materials[0]?.id, count: 1, each_child: false }]); }} remove={(at) => { set([...path, "needs", at], undefined); }}
        lines={needs.map((need, at) => (
          <>
            <Pick label={tell("what")} value={need.material} choices={house.materials.map((thing) => [thing.id, thing.name] as const)} change={(id) => { set([...path, "needs", at, "material"], id); }} />
            <Whole label={tell("count")} value={need.count} path={[...path, "needs", at, "count"]} set={set} />
          </>
        ))} />
      <Pick label={tell("mess")} value={String(sitting.mess)} choices={scale(words.messes)} change={(level) => { set([...path, "mess"], Number(level)); }} />
    </Part>
  );
}

function Lighter({ one, set, house }: Draft & { house: Household }) {
  if (!one.lighter) return <button type="button" class="button" onClick={() => { set(["lighter"], lighterOf(one)); }}>{tell("addLighter")}</button>;
  return (
    <Go one={one} house={house} sitting={one.lighter.sitting} path={["lighter", "sitting"]} title={tell("lighter")} set={set}>
      <Text label={tell("does")} value={one.lighter.does} path={["lighter", "does"]} set={set} />
      <button type="button" class="button" aria-label={`${tell("removeRow")}: ${tell("lighter")}`} onClick={() => { set(["lighter"], null); }}>{tell("removeRow")}</button>
    </Go>
  );
}

function Prep({ one, set }: Draft) {
  const fresh = { id: `prep-${one.prep.length + 1}`, name: "", minutes: 10 };
  return (
    <Rows title={tell("prepTasks")} add={() => { set(["prep"], [...one.prep, fresh]); }} remove={(at) => { set(["prep", at], undefined); }}
      lines={one.prep.map((task, at) => (
        <>
          <Text label={tell("what")} value={task.name} path={["prep", at, "name"]} set={set} />
          <Whole label={tell("minutes")} value={task.minutes} path={["prep", at, "minutes"]} set={set} />
        </>
      ))} />
  );
}

const PRINTS = "application/pdf,image/png,image/jpeg,image/webp";

function Resources({ one, set, files }: Draft & { files: readonly Printable[] }) {
  const [fresh, add] = useState<readonly Printable[]>([]);
  const choices: Choice[] = [["", tell("none")], ...[...files, ...fresh].map((file): Choice => [file.id, file.name])];
  const upload = (at: number, file: File | undefined) => {
    if (!file) return;
    void guarded(async () => {
      const made = await keepFile(file);
      add([...fresh, made]);
      set(["resources", at, "file"], made.id);
    });
  };
  return (
    <Rows title={tell("resources")} add={() => { set(["resources"], [...one.resources, { name: "", address: "", text: "", file: null }]); }} remove={(at) => { set(["resources", at], undefined); }}
      lines={one.resources.map((resource, at) => (
        <>
          <Text label={tell("title")} value={resource.name} path={["resources", at, "name"]} set={set} />
          <Text label={tell("address")} value={resource.address} path={["resources", at, "address"]} set={set} />
          <Text label={tell("text")} value={resource.text} path={["resources", at, "text"]} set={set} />
          <Pick label={tell("printable")} value={resource.file ?? ""} choices={choices} change={(file) => { set(["resources", at, "file"], file || null); }} />
          <label class="field"><span>{tell("upload")}</span><input type="file" accept={PRINTS} onChange={(event) => { upload(at, event.currentTarget.files?.[0]); }} /></label>
        </>
      ))} />
  );
}

interface EditorProps {
  kept: Activity;
  house: Household;
  themes: readonly string[];
  files: readonly Printable[];
  save: (one: Activity) => Promise<readonly Fault[]>;
  isNew: boolean;
}

export function Editor({ kept, house, themes, files, save, isNew }: EditorProps) {
  const [one, change] = useState(kept);
  const [faults, tellFaults] = useState<readonly Fault[]>([]);
  const set: Draft["set"] = (path, value) => { change((now) => put(now, path, value)); };
  return (
    <form class="editor" onSubmit={(event) => { event.preventDefault(); void guarded(async () => { tellFaults(await save(one)); }); }}>
      <About one={one} set={set} house={house} themes={themes} />
      <Ages one={one} set={set} change={change} />
      {one.sittings.map((sitting, at) => (sitting.adult_min ? null : <Go key={at} one={one} house={house} sitting={sitting} path={["sittings", at]} title={tell("sitting", at + 1, sitting.name)} set={set} />))}
      <Lighter one={one} set={set} house={house} />
      <Prep one={one} set={set} />
      <Resources one={one} set={set} files={files} />
      {isNew ? null : <Amounts id={kept.id} />}
      {faults.length ? <ul role="alert" class="fault">{faults.map((fault) => <li key={fault.path}>{fault.path}: {fault.message}</li>)}</ul> : null}
      <div class="room-keep"><button type="submit" class="button button-main">{tell("save")}</button></div>
    </form>
  );
}
