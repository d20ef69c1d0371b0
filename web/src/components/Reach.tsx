/** How a booking reaches into the cord: the more hands, the thicker. Drawn only; the words are on the card. */
import type { Card, Loom, PartLine } from "../vm/types";

/** From a child's part over to the cord, past any strand that lies between. */
export function Arm({ part, loom }: { part: PartLine; loom: Loom }) {
  const hops = Math.abs(part.strand.column - loom.cordColumn) - 1;
  return <span class={`arm arm-${part.help} arm-${part.strand.side} ${hops > 0 ? "arm-over" : ""}`} style={{ "--hops": hops }} aria-hidden="true" />;
}

/** The cord while these hands are taken. */
export function Rope({ card }: { card: Card }) {
  const isLeadAlone = card.byLead && card.helpers.length === 1;
  return (
    <span class={`rope-cell ${card.byLead ? "" : "rope-other"}`} aria-hidden="true">
      <span class={`rope rope-${card.help}`} />
      {isLeadAlone || card.help === 0 ? null : <span class="rope-name">{card.helpers.join(" + ")}</span>}
    </span>
  );
}

/** On a phone the strands are rails at the left; each thing ties a knot in those it concerns. */
export function Rails({ card, loom }: { card: Card; loom: Loom }) {
  return (
    <span class="rails" aria-hidden="true">
      {card.help > 0 ? <i class={`tie tie-${card.help} ${card.byLead ? "" : "tie-other"}`} style={{ "--rail-at": loom.cordColumn }} /> : null}
      {card.parts.map((part) => (
        <i key={part.strand.id} class={`knot knot-${part.strand.mark}`} style={{ "--rail-at": part.strand.column }} />
      ))}
    </span>
  );
}
