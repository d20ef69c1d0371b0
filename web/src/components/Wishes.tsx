/** Choosing wishes from the catalogue: search, filter, and how much each is wished. */
import { useEffect, useMemo, useState } from "preact/hooks";
import * as api from "../api";
import type { Activity } from "../model";
import { clearAway } from "../sheet";
import { changed, guarded, makeWeek } from "../store";
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

async function save(room: Room, choices: Choices, thenMake: boolean): Promise<void> {
  const { week } = room.view;
  await guarded(async () => {
    await api.putWishes(week.id, wishesFrom(week.wishes, choices));
    clearAway();
    await changed(words.wishesSaved);
    if (thenMake) await makeWeek();
  });
}

export function WishesSheet({ room }: { room: Room }) {
  const { view } = room;
  const [all, setAll] = useState<readonly Activity[]>(view.activities);
  const [filter, setFilter] = useState(NO_FILTER);
  const [touched, touch] = useState<Choices>(new Map());
  useEffect(() => { void guarded(async () => { setAll(await api.getActivities()); }); }, []);
  const choices = useMemo(() => new Map([...choicesOf(all, view.week.wishes), ...touched]), [all, touched]);
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
        <button type="button" class="button" onClick={() => { void save(room, touched, false); }}>{words.saveWishes}</button>
        <button type="button" class="button button-main" onClick={() => { void save(room, touched, true); }}>{words.saveAndMake}</button>
      </div>
    </SheetOf>
  );
}
