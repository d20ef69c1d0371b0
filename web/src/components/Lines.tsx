/** What is not a booking: fixed points, naps, free minutes, an adult's own step. */
import { minutes, words } from "../words";
import type { Card, FixedLine, GapLine, Loom, NapLine } from "../vm/types";
import { CardActs } from "./CardActs";
import { Rails } from "./Reach";
import { Sign } from "./Sign";

export function Fixed({ fixed }: { fixed: FixedLine }) {
  return (
    <div class={`fixed ${fixed.leaves ? "fixed-leaves" : ""}`}>
      <Sign name={fixed.leaves ? "door" : "leaf"} />
      <h3>{fixed.title}</h3>
      <p>
        {fixed.loud ? <strong class="loud">{fixed.loud}</strong> : null}
        <span class="quiet">{[fixed.quiet, fixed.note].filter(Boolean).join(", ")}</span>
      </p>
    </div>
  );
}

export function Sleep({ nap }: { nap: NapLine }) {
  return (
    <div class="sleep">
      <Sign name="moon" />
      <h3>{words.sleeps(nap.name)}</h3>
      <p class="quiet">{nap.when}</p>
      {nap.note ? <p class="sleep-note">{nap.note}</p> : null}
    </div>
  );
}

export function Gap({ gap, isBeside }: { gap: GapLine; isBeside: boolean }) {
  return <p class={`gap ${isBeside ? "gap-beside" : ""}`}><b>{words.free(gap.minutes)}</b> {gap.note && !isBeside ? <span>{gap.note}</span> : null}</p>;
}

export function Step({ card, loom }: { card: Card; loom: Loom }) {
  return (
    <>
      <Rails card={card} loom={loom} />
      <div class="step">
        <p class="card-when">{card.loud ? <strong class="loud">{card.loud}</strong> : <span class="quiet">{card.clock}</span>}</p>
        <h3>{card.title}</h3>
        <p>{[card.sitting, minutes(card.minutes), card.helpers.join(", ")].filter(Boolean).join(" · ")}</p>
        {card.then ? <p class="then">{card.then}</p> : null}
        <CardActs card={card} />
      </div>
    </>
  );
}
