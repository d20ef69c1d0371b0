/** What can be done with a card: tick it, take hold of it, or ask for more. */
import { words } from "../words";
import { outcomes } from "../marks";
import { grab } from "../drag";
import { lay } from "../sheet";
import { setOutcome, isPeeking } from "../touch";
import type { Card } from "../vm/types";
import { Sign } from "./Sign";

export function CardActs({ card }: { card: Card }) {
  if (isPeeking.value) return null;
  const outcome = outcomes.value.get(card.id);
  const tick = () => { setOutcome(card, outcome ? null : "done"); };
  return (
    <div class="acts">
      <button type="button" class={`act act-tick ${outcome ? "is-ticked" : ""}`} aria-pressed={outcome !== undefined}
        aria-label={words.doneWith(card.title)} onClick={tick}>
        <Sign name="seal" />{outcome ? <span>{words.outcomes[outcome]}</span> : null}
      </button>
      <button type="button" class="act act-grip" aria-label={words.moveOf(card.title)} onPointerDown={(event) => { grab(event, card); }}
        onClick={() => { lay({ kind: "move", booking: card.id, day: card.day, stretch: null }); }}>
        <Sign name="grip" />
      </button>
      <button type="button" class="act" aria-label={words.moreAbout(card.title)} onClick={() => { lay({ kind: "card", booking: card.id }); }}>
        <Sign name="more" />
      </button>
    </div>
  );
}
