/** One activity, open to be changed: ages, sittings, prep, the lighter way, links and printables. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Activity, Fault, Household, Printable } from "../contract";
import { Trouble } from "../api";
import { guarded, reload } from "../store";
import { Amounts } from "./Amounts";
import { ages, begunFrom, drafts, freeId, keepFile, NEW, turnDraft, withoutVersion, withVersion } from "./catalogue";
import { Choose } from "./Choose";
import { Drafting, Out, Part, Rows, Text, useDraft, Whole } from "./draft";
import { FaultList, Input, Pick, toFirstFault, Toggles } from "./form";
import { told } from "./house-words";
import { called } from "./lines";
import { toggled } from "./people";
import { Lighter, Sittings } from "./Sittings";
import { tell } from "./tell";

type Choice = readonly [string, string];

function About({ themes }: { themes: readonly string[] }) {
  const { one, set, house } = useDraft();
  const good = (["nap_ok", "tired_ok"] as const).filter((key) => one[key]);
  const areas = house.areas.map((area) => [area.id, area.name] as const);
  return (
    <>
      <div class="form">
        <Text label={tell("title")} value={one.title} path={["title"]} />
        <Pick label={tell("kind")} value={one.kind} choices={Object.entries(told.acts.kinds)} change={(kind) => { set(["kind"], kind); }} />
        <Input label={tell("theme")} value={one.theme ?? ""} more={{ list: "themes" }} change={(theme) => { set(["theme"], theme || null); }} />
        <datalist id="themes">{themes.map((theme) => <option key={theme} value={theme} />)}</datalist>
        <Whole label={tell("price")} value={one.cost} path={["cost"]} />
        <Text label={tell("caution")} value={one.caution} path={["caution"]} />
      </div>
      <Toggles label={tell("goodFor")} chosen={good} choices={[["nap_ok", tell("nap_ok")], ["tired_ok", tell("tired_ok")]]} touch={(key) => { set([key], !one[key]); }} />
      {areas.length ? <Toggles label={tell("areas")} chosen={one.areas} choices={areas} touch={(id) => { set(["areas"], toggled(one.areas, id)); }} /> : null}
    </>
  );
}

/** What the gates of safety, the sky and the adults are asked about. */
function Care() {
  const { one, set } = useDraft();
  const { weather, together, hazards } = told.acts;
  const pick = (key: "weather" | "together", label: string, choices: object) =>
    <Pick label={label} value={one[key]} choices={Object.entries(choices)} change={(chosen) => { set([key], chosen); }} />;
  const toggles = (key: "hazards" | "allergens", label: string, choices: object) =>
    <Toggles label={label} chosen={one[key] as string[]} choices={Object.entries(choices)} touch={(touched) => { set([key], toggled(one[key] as string[], touched)); }} />;
  return (
    <Part title={tell("care")}>
      {toggles("hazards", tell("hurt"), hazards)}
      {toggles("allergens", tell("holds"), told.house.allergens)}
      {pick("weather", tell("sky"), weather)}
      {pick("together", tell("sharing"), together)}
      <Whole label={tell("adults")} value={one.adults_needed} path={["adults_needed"]} empty={1} />
    </Part>
  );
}

/** How it sits in a day, and what comes before it. */
function Manner({ others }: { others: readonly Activity[] }) {
  const { one, set, house } = useDraft();
  const none: Choice = ["", tell("none")];
  const pick = (key: "focus" | "alongside" | "book" | "needs_first", label: string, choices: readonly Choice[]) =>
    <Pick label={label} value={one[key] ?? ""} choices={choices} change={(chosen) => { set([key], chosen || null); }} />;
  const whole = (key: "energy" | "noise" | "least_gap_days", label: string) => <Whole label={label} value={one[key]} path={[key]} empty={null} />;
  const titles = others.filter(({ id }) => id !== one.id).map(({ id, title }): Choice => [id, called(title)]);
  return (
    <Part title={tell("manner")}>
      {pick("focus", tell("focus"), Object.entries(told.acts.focus))}
      {pick("alongside", tell("along"), [none, ...Object.entries(told.acts.alongside)])}
      {whole("energy", tell("energy"))}
      {whole("noise", tell("noise"))}
      {whole("least_gap_days", tell("gap"))}
      {house.books.length ? pick("book", tell("book"), [none, ...house.books.map(({ id, title }): Choice => [id, called(title)])]) : null}
      {pick("needs_first", tell("needsFirst"), [none, ...titles])}
    </Part>
  );
}

function Ages() {
  const { one, change } = useDraft();
  return (
    <>
      {one.versions.map((version, at) => {
        const path = ["versions", at];
        const title = ages(one, version.id);
        return (
          <Part key={version.id} title={title}>
            <Whole label={tell("fromMonths")} value={version.age_from_months} path={[...path, "age_from_months"]} whole={path} />
            <Whole label={tell("toMonths")} value={version.age_to_months} path={[...path, "age_to_months"]} />
            <Text label={tell("does")} value={version.does} path={[...path, "does"]} />
            {one.versions.length > 1 ? <Out of={title} out={() => { change((now) => withoutVersion(now, version.id)); }} /> : null}
          </Part>
        );
      })}
      <button type="button" class="button" onClick={() => { change(withVersion); }}>{tell("addVersion")}</button>
    </>
  );
}

function Prep() {
  const { one } = useDraft();
  return (
    <Rows title={tell("prepTasks")} path={["prep"]} list={one.prep} fresh={() => ({ id: freeId("prep", one.prep), name: "", minutes: 10 })}
      line={(task, at) => (
        <>
          <Text label={tell("what")} value={task.name} path={[...at, "name"]} whole={at} />
          <Whole label={tell("minutes")} value={task.minutes} path={[...at, "minutes"]} />
        </>
      )} />
  );
}

const PRINTS = "application/pdf,image/png,image/jpeg,image/webp";

function Resources({ files }: { files: readonly Printable[] }) {
  const { one, set } = useDraft();
  const [fresh, add] = useState<readonly Printable[]>([]);
  const choices: Choice[] = [["", tell("none")], ...[...files, ...fresh].map((file): Choice => [file.id, file.name])];
  return (
    <Rows title={tell("resources")} path={["resources"]} list={one.resources} fresh={() => ({ name: "", address: "", text: "", file: null })}
      line={(resource, at) => {
        const upload = (file: File | undefined) => {
          if (!file) return;
          void guarded(async () => {
            const made = await keepFile(file);
            add([...fresh, made]);
            set([...at, "file"], made.id);
          });
        };
        return (
          <>
            <Text label={tell("title")} value={resource.name} path={[...at, "name"]} whole={at} />
            <Text label={tell("address")} value={resource.address} path={[...at, "address"]} />
            <Text label={tell("text")} value={resource.text} path={[...at, "text"]} hint={tell("textHelp")} />
            <Pick label={tell("printable")} value={resource.file ?? ""} choices={choices} change={(file) => { set([...at, "file"], file || null); }} />
            <label class="field"><span>{tell("upload")}</span><input type="file" accept={PRINTS} onChange={(event) => { upload(event.currentTarget.files?.[0]); }} /></label>
          </>
        );
      }} />
  );
}

interface EditorProps {
  kept: Activity;
  /** The version of the one that is kept. */
  version?: string;
  house: Household;
  themes: readonly string[];
  files: readonly Printable[];
  others: readonly Activity[];
  save: (one: Activity, version?: string) => Promise<readonly Fault[]>;
  isNew?: boolean;
  drop?: () => void;
}

/** Its place in the whole household is nothing to the one who writes it. */
const withoutPlace = (path: string): string => path.replace(/^activities\[\d+\]\./, "");

const STALE = 412;

function Foot({ isChanged, drop }: { isChanged: boolean; drop: () => void }) {
  return (
    <div class="room-keep">
      {isChanged ? <button type="button" class="button" onClick={drop}>{tell("drop")}</button> : null}
      <button type="submit" class="button button-main">{tell("save")}</button>
    </div>
  );
}

export function Editor({ kept, version, house, themes, files, others, save, isNew = false, drop }: EditorProps) {
  const key = isNew ? NEW : kept.id;
  const one = drafts.value[key] ?? kept;
  const [found, tellFaults] = useState<readonly Fault[]>([]);
  const faults = Object.fromEntries(found.map(({ path, message }) => [withoutPlace(path), message]));
  const [isOther, meet] = useState(false);
  const change = (turn: (now: Activity) => Activity) => { turnDraft(key, kept, version, turn); };
  const forget = () => { drafts.value = { ...drafts.value, [key]: undefined }; };
  const takeTheirs = () => { forget(); meet(false); void reload(); };
  // Until what was kept comes back, the one written stands: nothing flickers, no fold closes. What is written meanwhile stays.
  const sent = useRef<Activity | null>(null);
  useEffect(() => { if (drafts.value[key] === sent.current) forget(); sent.current = null; }, [kept]);
  const keep = (from = begunFrom.get(key)) => guarded(async () => {
    sent.current = isNew ? null : one;
    meet(false);
    const wrong = await save(one, from).catch((error: unknown) => {
      sent.current = null;
      if (!(error instanceof Trouble && error.status === STALE)) throw error;
      meet(true);
      return null;
    });
    if (!wrong) return;
    tellFaults(wrong);
    if (!wrong.length) {
      if (isNew) forget();
      return;
    }
    sent.current = null;
    toFirstFault();
  });
  return (
    <Drafting value={{ one, house, faults, change }}>
      <form class="editor" onSubmit={(event) => { event.preventDefault(); void keep(); }}>
        <About themes={themes} />
        <Care />
        <Manner others={others} />
        <Ages />
        <Sittings />
        <Lighter />
        <Prep />
        <Resources files={files} />
        {isNew ? null : <Amounts id={kept.id} />}
        <FaultList said={faults} />
        {isOther
          ? <Choose theirs={takeTheirs} mine={() => { void keep("*"); }} />
          : <Foot isChanged={one !== kept || isNew} drop={() => { forget(); tellFaults([]); drop?.(); }} />}
      </form>
    </Drafting>
  );
}
