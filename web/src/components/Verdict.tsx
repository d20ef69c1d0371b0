/** What a change by hand comes to: it fits, or it needs room, or which rule is in the way. */
import type { MoveVerdict } from "../model";
import { wayTo } from "../touch";

export interface VerdictHeads {
  fits: string;
  needsRoom: string;
  cannot: string;
}

interface VerdictProps {
  verdict: MoveVerdict;
  said: string;
  heads: VerdictHeads;
  /** Asks once more, should the week change before a way is taken. */
  again: () => void;
}

export function Verdict({ verdict, said, heads, again }: VerdictProps) {
  const canBe = verdict.offers.length > 0;
  return (
    <div class="verdict" role="status">
      <p><b>{verdict.fits ? heads.fits : canBe ? heads.needsRoom : heads.cannot}</b></p>
      {verdict.in_the_way.length ? <ul>{verdict.in_the_way.map((text) => <li key={text}>{text}</li>)}</ul> : null}
      {verdict.offers.map((one) => (
        <button key={one.id} type="button" class="choice" onClick={() => { wayTo(said, verdict, one, again); }}>{one.offer.sentence}</button>
      ))}
    </div>
  );
}
