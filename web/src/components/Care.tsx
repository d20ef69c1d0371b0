/** Cautions, with who says so. Folded to one line, never left out. */
import { words } from "../words";
import type { Card } from "../vm/types";
import { Sign } from "./Sign";

export function Care({ card }: { card: Card }) {
  const [first, ...more] = card.cautions;
  if (!first) return null;
  return (
    <details class="care">
      <summary>
        <Sign name="care" />
        <span><b>{words.takeCare}</b> {first.text}</span>
      </summary>
      <ul>
        {more.map((caution) => <li key={caution.text}>{caution.text} <Source text={caution.source} /></li>)}
        <li><Source text={first.source} /> {words.localRules}</li>
      </ul>
    </details>
  );
}

function Source({ text }: { text: string }) {
  return text ? <cite>{words.cautionSource(text)}.</cite> : null;
}
