/** Calendar addresses for phones: made for one person or for all, shown once, ended by one touch. */
import { useState } from "preact/hooks";
import { ask, sending } from "../api";
import type { Feed, FeedMade } from "../contract";
import { changes, guarded, notice, room } from "../store";
import { fill, tongue, words } from "../words";
import { dateText, useFresh } from "./dates";
import { Input, Pick } from "./form";
import { shared } from "./share-words";

function Made({ path }: { path: string }) {
  const spoken = tongue.value;
  const address = `${location.origin}${path}${spoken === "en" ? "" : `?tongue=${spoken}`}`;
  const copy = async () => {
    // Only a trusted page may write to the clipboard; elsewhere the address stands there to be marked.
    document.querySelector<HTMLInputElement>(".feed-address input")?.select();
    if (globalThis.isSecureContext) await navigator.clipboard.writeText(address);
    notice.value = { text: globalThis.isSecureContext ? shared.copied : shared.marked, tone: "good" };
  };
  return (
    <div class="feed-address" role="status">
      <p><b>{shared.once}</b></p>
      <Input label={shared.address} value={address} more={{ readOnly: true }} change={() => undefined} />
      <button type="button" class="button button-main" onClick={() => { void copy(); }}>{shared.copy}</button>
      <p class="quiet">{shared.reach}</p>
    </div>
  );
}

export default function Feeds() {
  const house = room.value?.view.household;
  const [who, pick] = useState("");
  const [made, keep] = useState<FeedMade | null>(null);
  const [count, again] = useState(0);
  const feeds = useFresh(`feeds ${count} ${changes.value.length}`, () => ask<Feed[]>("feeds"));
  if (!house) return null;
  const people = [["", shared.everybody] as const, ...[...house.children, ...house.adults].map((one) => [one.id, one.name] as const)];
  const nameOf = (id: string | null): string => people.find(([known]) => known === (id ?? ""))?.[1] ?? shared.gone;
  const make = () => guarded(async () => {
    keep(await ask<FeedMade>("feeds", sending("POST", { person: who || null })));
    again(count + 1);
  });
  const end = (feed: Feed) => guarded(async () => {
    await ask(`feeds/${feed.id}`, { method: "DELETE" });
    if (made?.feed.id === feed.id) keep(null);
    again(count + 1);
    notice.value = { text: fill(shared.ended, nameOf(feed.person)), tone: "good" };
  });
  return (
    <section class="room-part" aria-labelledby="feeds">
      <h2 id="feeds">{shared.feeds}</h2>
      <p class="quiet">{shared.feedsText}</p>
      <div class="form"><Pick label={shared.whose} value={who} choices={people} change={pick} /></div>
      <div class="room-acts"><button type="button" class="button" onClick={() => { void make(); }}>{shared.make}</button></div>
      {made ? <Made path={made.path} /> : null}
      <h3>{shared.working}</h3>
      {feeds ? null : <p role="status">{words.roomComes}</p>}
      {feeds?.length === 0 ? <p>{shared.none}</p> : null}
      <ul class="ahead-lines">
        {feeds?.map((feed) => (
          <li key={feed.id} class="ahead-line">
            <div><b>{nameOf(feed.person)}</b> <span class="quiet">{fill(shared.since, dateText(feed.made_at.slice(0, 10)))}</span></div>
            <div class="room-acts"><button type="button" class="button" aria-label={`${shared.end}: ${nameOf(feed.person)}, ${dateText(feed.made_at.slice(0, 10))}`} onClick={() => { void end(feed); }}>{shared.end}</button></div>
          </li>
        ))}
      </ul>
    </section>
  );
}
