/** Two devices changed the same thing: one of the two stays. */
import { told } from "./house-words";

export function Choose({ theirs, mine }: { theirs: () => void; mine: () => void }) {
  return (
    <div class="room-keep" role="alert">
      <p>{told.house.stale}</p>
      <button type="button" class="button" onClick={theirs}>{told.house.theirs}</button>
      <button type="button" class="button button-main" onClick={mine}>{told.house.mine}</button>
    </div>
  );
}
