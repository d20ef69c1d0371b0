/** Choosing wishes from the catalogue: search, filter, and how much each is wished. */
import { useEffect, useMemo, useState } from "preact/hooks";
import * as api from "../api";
import { Trouble } from "../api";
import type { Activity } from "../model";
import { clearAway } from "../sheet";
import { changed, guarded, makeWeek, reload } from "../store";
import type { Room } from "../vm/cards";
import { catalogueLines, choicesOf, NO_FILTER, wishesFrom, type CatalogueLine, type Choices, type Wished } from "../vm/wishes";
import { words } from "../words";
import { LossProofChoice } from "./LossProof";
import { SheetOf } from "./Sheet";
import { WishFilter } from "./WishFilter";

const RANKS: readonly Wished[] = ["none", "promise", "staple", "extra"];

function Line({ line, wished, choose }: { line: CatalogueLine; wished: Wished; choose: (next: Wished) => void }) {
  return (
    <li class={`wish wish-${wished}`}>
      <div><b>{line.title}</b> <span class="quiet">{line.facts}</span></div>
      <select aria-label={words.rankOf(line.title)} value={wished} onChange={(event) => { choose(event.currentTarget.value as Wished); }}>
        {RANKS.map((rank) => <option key={rank} value={rank}>{words.ranks[rank]}</option>)}
      </select>
    </li>
  );
}

const STALE = 412;

/** Saves, unless another tablet changed the week since it was read; whether it did. */
async function save(room: Room, choices: Choices, thenMake: boolean, version: string): Promise<boolean> {
  const { week } = room.view;
  let isStale = false;
  await guarded(async () => {
    try {
      await api.putWishes(week.id, wishesFrom(week.wishes, choices), version);
    } catch (error) {
      if (!(error instanceof Trouble) || error.status !== STALE) throw error;
      isStale = true;
      return;
    }
    clearAway();
    await changed(words.wishesSaved);
    if (thenMake) await makeWeek();
  });
  return isStale;
}

/** The version that the wishes on the screen are of; read anew with them after somebody else changed them. */
function useVersion(week: string): [string, () => Promise<void>] {
  const [version, setVersion] = useState("*");
  const read = () => guarded(async () => { setVersion(await api.versionOf(week)); });
  useEffect(() => { void read(); }, [week]);
  return [version, async () => {
    await guarded(reload);
    await read();
  }];
}

function Conflict({ keep, drop }: { keep: () => void; drop: () => void }) {
  return (
    <div class="notice notice-plain" role="alert">
      <p>{words.wishesChangedToo}</p>
      <button type="button" class="button" onClick={drop}>{words.takeTheirs}</button>
      <button type="button" class="button button-main" onClick={keep}>{words.keepMine}</button>
    </div>
  );
}

export function WishesSheet({ room }: { room: Room }) {
  const { view } = room;
  const [all, setAll] = useState<readonly Activity[]>(view.activities);
  const [filter, setFilter] = useState(NO_FILTER);
  const [touched, touch] = useState<Choices>(new Map());
  const [version, readAnew] = useVersion(view.week.id);
  const [isStale, setStale] = useState(false);
  useEffect(() => { void guarded(async () => { setAll(await api.getActivities()); }); }, []);
  const choices = useMemo(() => new Map([...choicesOf(all, view.week.wishes), ...touched]), [all, view.week.wishes, touched]);
  const trySave = async (thenMake: boolean) => {
    const isRefused = await save(room, touched, thenMake, version);
    if (isRefused) await readAnew();
    setStale(isRefused);
  };
  const lines = catalogueLines(view, all, filter, choices);
  const wished = [...choices.values()].filter((rank) => rank !== "none").length;
  return (
    <SheetOf title={words.wishesTitle} wide close={clearAway}>
      <p class="quiet">{words.wishesText}</p>
      <WishFilter view={view} filter={filter} change={setFilter} />
      <p role="status">{lines.length ? words.wishCount(lines.length, wished) : words.nothingFound}</p>
      <ul class="wishes">
        {lines.map((line) => (
          <Line key={line.id} line={line} wished={choices.get(line.id) ?? "none"} choose={(next) => { touch(new Map([...touched, [line.id, next]])); }} />
        ))}
      </ul>
      <LossProofChoice week={view.week.id} asked={view.week.loss_proof} />
      <div class="sheet-foot">
        {isStale ? <Conflict keep={() => { void trySave(false); }} drop={() => { touch(new Map()); setStale(false); }} /> : (
          <>
            <button type="button" class="button" onClick={() => { void trySave(false); }}>{words.saveWishes}</button>
            <button type="button" class="button button-main" onClick={() => { void trySave(true); }}>{words.saveAndMake}</button>
          </>
        )}
      </div>
    </SheetOf>
  );
}
