/** What may have happened: one touch each. */
import { words } from "../words";
import type { ChoiceGroup } from "../vm/mishaps";
import { choiceGroups } from "../vm/mishaps";
import type { Room } from "../vm/cards";
import type { Day } from "../model";
import { clearAway } from "../sheet";
import { happened } from "../ways";
import { SheetOf } from "./Sheet";

function Group({ group }: { group: ChoiceGroup }) {
  return (
    <section class="choices">
      <h3>{group.title}</h3>
      <ul>
        {group.choices.map((choice) => (
          <li key={choice.id}>
            <button type="button" class="choice" onClick={() => { void happened(choice.text, choice.mishap); }}>{choice.text}</button>
          </li>
        ))}
      </ul>
    </section>
  );
}

export function HappenedSheet({ room, day, hand }: { room: Room; day: Day; hand: number | null }) {
  return (
    <SheetOf title={words.happenedTitle} wide close={clearAway}>
      <p class="quiet">{words.happenedText}</p>
      <div class="choice-groups">
        {choiceGroups(room, day, hand).map((group) => <Group key={group.kind} group={group} />)}
      </div>
    </SheetOf>
  );
}
