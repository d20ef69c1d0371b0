/** How the week is to stand a lost day: chosen where it is made, and said where something hangs on one. */
import * as api from "../api";
import type { LossProof } from "../model";
import { changed, guarded, today } from "../store";
import type { Room } from "../vm/cards";
import { hangsLine } from "../vm/hangs";
import { words } from "../words";

const ANSWERS: readonly LossProof[] = ["off", "prefer", "require"];

async function set(week: string, asked: LossProof): Promise<void> {
  await guarded(async () => {
    await api.putLossProof(week, asked);
    await changed(words.lossProofSaved);
  });
}

export function LossProofChoice({ week, asked }: { week: string; asked: LossProof }) {
  return (
    <fieldset class="loss-proof">
      <legend>{words.lossProofTitle}</legend>
      {ANSWERS.map((one) => (
        <label key={one}>
          <input type="radio" name="loss-proof" checked={one === asked} onChange={() => { void set(week, one); }} /> {words.lossProof[one]}
        </label>
      ))}
    </fieldset>
  );
}

export function Hangs({ room }: { room: Room }) {
  const line = hangsLine(room, today.value);
  return line ? <aside class="hangs" aria-label={words.lossProofTitle}>{line}</aside> : null;
}
