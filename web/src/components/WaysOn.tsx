/** Up to three ways on, above the day that shows the picked one as it would be. */
import { useEffect, useRef } from "preact/hooks";
import { words } from "../words";
import { offerParts, type OfferPart } from "../vm/offers";
import type { Room } from "../vm/cards";
import { acceptPicked, leave, pickWay, type Ways } from "../ways";

function PartOf({ part }: { part: OfferPart }) {
  return (
    <div class={`way-part way-${part.kind}`}>
      <h3>{part.title}</h3>
      <ul>
        {part.lines.map((line) => <li key={line.id}>{line.text}{line.more ? <span class="quiet">{line.more}</span> : null}</li>)}
      </ul>
    </div>
  );
}

type Offered = Extract<Ways, { step: "offered" }>;

function Heads({ offered }: { offered: Offered }) {
  return (
    <ol class="ways-list">
      {offered.ways.map((way, index) => (
        <li key={way.id}>
          <button type="button" class="way" aria-pressed={index === offered.picked} onClick={() => { pickWay(index); }}>
            <span class="quiet">{words.way(index + 1, offered.ways.length)}</span>
            <span class="way-sentence">{way.offer.sentence}</span>
          </button>
        </li>
      ))}
    </ol>
  );
}

function Picked({ offered, room }: { offered: Offered; room: Room }) {
  const offer = offered.ways[offered.picked]?.offer;
  if (!offer) return null;
  return (
    <div class="way-body">
      {offerParts(room, offer).map((part) => <PartOf key={part.kind} part={part} />)}
      <p class="quiet">{words.wayStays(offer.unchanged)} {offer.changes_bound.proved ? words.wayProved : ""}</p>
    </div>
  );
}

/** The touch that asked is gone by now; the keyboard goes to its answer. */
function useFocus() {
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => { head.current?.focus(); }, []);
  return head;
}

export function WaysOn({ ways, room }: { ways: Ways; room: Room }) {
  const head = useFocus();
  const said = <h2 ref={head} tabIndex={-1} class="ways-said">{words.waysFor(ways.said)}</h2>;
  if (ways.step === "looking") {
    return (
      <section class="ways" aria-label={words.waysTitle}>
        {said}
        <p role="status">{words.lookingForWays}</p>
        <progress aria-label={words.lookingForWays} max={1} />
        <button type="button" class="button button-quiet" onClick={leave}>{words.leaveIt}</button>
      </section>
    );
  }
  return (
    <section class="ways" aria-label={words.waysTitle}>
      {said}
      <p role="status">{ways.ways.length ? words.shownBelow : words.noWay}</p>
      <Heads offered={ways} />
      <div class="ways-acts">
        {ways.ways.length ? <button type="button" class="button button-main" onClick={() => { void acceptPicked(); }}>{words.doThis}</button> : null}
        <button type="button" class="button" onClick={leave}>{words.leaveIt}</button>
      </div>
      <Picked offered={ways} room={room} />
    </section>
  );
}
