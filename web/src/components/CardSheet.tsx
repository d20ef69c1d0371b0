/** Everything that can be done with one booking. */
import { useState } from "preact/hooks";
import type { Card } from "../vm/types";
import { notes, outcomes, type Outcome } from "../marks";
import { clearAway, lay } from "../sheet";
import { hold, refuse, setOutcome } from "../touch";
import { runOn, stillWet } from "../vm/mishaps";
import { happened } from "../ways";
import { words } from "../words";
import { SheetOf } from "./Sheet";

const OUTCOMES: readonly Outcome[] = ["loved", "fine", "no"];

function HowWasIt({ card }: { card: Card }) {
  const outcome = outcomes.value.get(card.id);
  const set = (next: Outcome | null) => { setOutcome(card, next); clearAway(); };
  return (
    <section class="choices">
      <h3>{words.howWasIt}</h3>
      <ul>
        {OUTCOMES.map((one) => (
          <li key={one}><button type="button" class="choice" aria-pressed={one === outcome} onClick={() => { set(one); }}>{words.outcomes[one]}</button></li>
        ))}
        {outcome ? <li><button type="button" class="choice" onClick={() => { set(null); }}>{words.notDone}</button></li> : null}
      </ul>
    </section>
  );
}

/** Who refuses matters only when several take part. */
function NotToday({ card }: { card: Card }) {
  const [child, pick] = useState(card.parts[0]?.strand.id ?? "");
  if (card.parts.length === 0) return null;
  return (
    <section class="choices">
      <h3>{words.notTodayWhy}</h3>
      {card.parts.length > 1 ? (
        <label class="field"><span>{words.refusedBy}</span>
          <select value={child} onChange={(event) => { pick(event.currentTarget.value); }}>
            {card.parts.map((part) => <option key={part.strand.id} value={part.strand.id}>{part.strand.name}</option>)}
          </select>
        </label>
      ) : null}
      <ul>
        {Object.entries(words.refusals).map(([reason, text]) => (
          <li key={reason}><button type="button" class="choice" onClick={() => { void refuse(card, child, reason); }}>{text}</button></li>
        ))}
      </ul>
    </section>
  );
}

function Rest({ card }: { card: Card }) {
  const acts = [
    { text: words.why, act: () => { lay({ kind: "why", about: card.id, title: words.whyTitle(card.title) }); } },
    { text: words.moveTo, act: () => { lay({ kind: "move", booking: card.id, day: card.day, stretch: null }); } },
    ...(card.parts.length ? [{ text: words.swapNow, act: () => { lay({ kind: "instead", booking: card.id, how: "swap" }); } }] : []),
    ...(card.canBeLighter ? [{ text: words.lighterNow, act: () => { lay({ kind: "instead", booking: card.id, how: "lighter" }); } }] : []),
    { text: card.isFirm ? words.letLoose : words.holdFirm, act: () => { void hold(card, !card.isFirm); } },
    { text: words.letRunOn, act: () => { void happened(words.runsOn(card.title), runOn(card.id)); } },
    ...(card.then ? [{ text: words.stillWetNow, act: () => { void happened(words.stillWet(card.title), stillWet(card.id)); } }] : []),
    { text: words.noteAdd, act: () => { lay({ kind: "note", booking: card.id }); } },
  ];
  return (
    <section class="choices">
      <ul>{acts.map(({ text, act }) => <li key={text}><button type="button" class="choice" onClick={act}>{text}</button></li>)}</ul>
    </section>
  );
}

export function CardSheet({ card }: { card: Card }) {
  const own = notes.value.filter((note) => note.booking === card.id);
  return (
    <SheetOf title={card.title} close={clearAway}>
      <HowWasIt card={card} />
      <Rest card={card} />
      <NotToday card={card} />
      {own.length ? <ul class="own-notes">{own.map((note) => <li key={note.id}>{note.text}</li>)}</ul> : null}
    </SheetOf>
  );
}
