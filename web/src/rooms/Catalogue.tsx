/** The catalogue: found, changed, duplicated, put away; one's own added; the whole of it as a spreadsheet. */
import { useState } from "preact/hooks";
import type { Activity, Printable, Shelved, WeekView } from "../contract";
import { changed, guarded, room, unreachable } from "../store";
import { plain } from "../vm/wishes";
import { called, minutes, upperFirst, words } from "../words";
import { copy, drafts, freshActivity, getPrintables, getShelf, keep, NEW, orFaults, setAway, takeOut } from "./catalogue";
import { useFresh } from "./dates";
import { Editor } from "./Editor";
import { Input, Pick, Toggles } from "./form";
import { told } from "./house-words";
import { Table } from "./Table";
import { tell } from "./tell";

interface Filter {
  text: string;
  theme: string;
  away: boolean;
}

const fits = ({ activity, archived }: Shelved, filter: Filter): boolean =>
  archived === filter.away && (!filter.theme || activity.theme === filter.theme) && plain(called(activity.title)).includes(plain(filter.text.trim()));

function facts({ activity, wished }: Shelved): string {
  const longest = Math.max(0, ...activity.sittings.flatMap((sitting) => Object.values(sitting.parts).map((part) => part.minutes)));
  const prep = activity.prep.reduce((sum, task) => sum + task.minutes, 0);
  return [told.acts.kinds[activity.kind], called(activity.theme ?? ""), minutes(longest), words.prepMinutes(prep), wished ? tell("wished", wished) : ""].filter(Boolean).join(" · ");
}

const act = (doing: () => Promise<unknown>, text: string): void => { void guarded(async () => { await orFaults(doing, text); }); };

interface LineProps {
  line: Shelved;
  view: WeekView;
  themes: readonly string[];
  files: readonly Printable[];
  isOpen: boolean;
  open: (id: string) => void;
}

function Acts({ line: { activity, archived, wished }, open }: Pick<LineProps, "line" | "open">) {
  const { id } = activity;
  const title = called(activity.title);
  const double = () => { void guarded(async () => { const made = await copy(id); await changed(tell("copied", made.title)); open(made.id); }); };
  return (
    <div class="room-acts">
      <button type="button" class="button" onClick={double}>{tell("copy")}</button>
      {archived ? <button type="button" class="button" onClick={() => { act(() => setAway(id, false), tell("backDone", title)); }}>{tell("back")}</button>
        : <button type="button" class="button" onClick={() => { act(() => setAway(id, true), tell("awayDone", title)); }}>{tell("away")}</button>}
      {wished ? null : <button type="button" class="button" onClick={() => { act(() => takeOut(id), tell("removed", title)); }}>{tell("remove")}</button>}
    </div>
  );
}

function Line({ line, view, themes, files, isOpen, open }: LineProps) {
  const { activity } = line;
  const save = (one: Activity, version?: string) => orFaults(() => keep(one, version), tell("saved", one.title));
  return (
    <li class={isOpen ? "is-open" : ""}>
      <div class="ahead-line ahead-tick">
        <div><b>{called(activity.title)}</b> <span class="quiet">{facts(line)}</span></div>
        <button type="button" class="button" aria-expanded={isOpen} aria-label={`${tell(isOpen ? "shut" : "open")}: ${called(activity.title)}`} onClick={() => { open(isOpen ? "" : activity.id); }}>{tell(isOpen ? "shut" : "open")}</button>
      </div>
      {isOpen ? <><Acts line={line} open={open} /><Editor key={activity.id} kept={activity} version={line.tag} house={view.household} themes={themes} files={files} others={view.activities} save={save} /></> : null}
    </li>
  );
}

function Own({ view, themes, files, done }: Pick<LineProps, "view" | "themes" | "files"> & { done: (id: string) => void }) {
  const [begun, begin] = useState<Activity | null>(null);
  const fresh = begun ?? drafts.value[NEW];
  const add = () => { begin(freshActivity(tell("newTitle"), view.household.places[0]?.id ?? "")); };
  if (!fresh) return <div class="room-acts"><button type="button" class="button button-main" onClick={add}>{tell("add")}</button></div>;
  const save = async (one: Activity) => {
    const faults = await orFaults(() => keep(one), tell("copied", one.title));
    if (!faults.length) { begin(null); done(one.id); }
    return faults;
  };
  return <Editor kept={fresh} house={view.household} themes={themes} files={files} others={view.activities} save={save} isNew drop={() => { begin(null); }} />;
}

function Shelf({ view, shelf, files }: { view: WeekView; shelf: readonly Shelved[]; files: readonly Printable[] }) {
  const [filter, narrow] = useState<Filter>({ text: "", theme: "", away: false });
  const [opened, open] = useState("");
  const themes = [...new Set(shelf.flatMap((one) => one.activity.theme ?? []))].sort();
  const found = shelf.filter((one) => one.activity.id === opened || fits(one, filter)).sort((a, b) => called(a.activity.title).localeCompare(called(b.activity.title)));
  return (
    <section class="room-part" aria-label={words.rooms.catalogue}>
      <div class="form">
        <Input label={tell("search")} value={filter.text} more={{ type: "search" }} change={(text) => { narrow({ ...filter, text }); }} />
        <Pick label={tell("theme")} value={filter.theme} choices={[["", tell("everyTheme")], ...themes.map((one) => [one, upperFirst(called(one))] as const)]} change={(theme) => { narrow({ ...filter, theme }); }} />
      </div>
      <Toggles label="" of={tell("putAway")} chosen={filter.away ? ["away"] : []} choices={[["away", tell("putAway")]]} touch={() => { narrow({ ...filter, away: !filter.away }); }} />
      <Own view={view} themes={themes} files={files} done={open} />
      <p role="status">{found.length ? tell("found", found.length) : tell("nothingFound")}</p>
      <ul class="ahead-lines">{found.map((line) => <Line key={line.activity.id} line={line} view={view} themes={themes} files={files} isOpen={line.activity.id === opened} open={open} />)}</ul>
    </section>
  );
}

function All({ view }: { view: WeekView }) {
  const found = useFresh("shelf", async () => ({ shelf: await getShelf(), files: await getPrintables() }));
  if (!found) return <p role="status">{unreachable.value ? words.needsService : words.roomComes}</p>;
  return <><Shelf view={view} {...found} /><Table /></>;
}

export default function Catalogue() {
  const view = room.value?.view;
  return view ? <All view={view} /> : null;
}
