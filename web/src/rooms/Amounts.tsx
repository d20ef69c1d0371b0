/** What an activity takes for so many children: materials, and recipes that grow with them. */
import { useState } from "preact/hooks";
import { words } from "../words";
import { getAmounts } from "./catalogue";
import { useFresh } from "./dates";
import { Input, numberOf } from "./form";
import { tell } from "./tell";

/** Only what a browser may open safely becomes a link. */
const isLink = (address: string): boolean => /^(https?:\/\/|mailto:)/i.test(address);

export function Amounts({ id }: { id: string }) {
  const [children, count] = useState(2);
  const found = useFresh(`${id} ${children}`, () => getAmounts(id, children));
  return (
    <section aria-label={tell("howMany")}>
      <div class="form"><Input type="number" label={tell("howMany")} value={children} more={{ min: 1, max: 40 }} change={(text) => { count(Math.min(40, Math.max(1, numberOf(text) ?? 1))); }} /></div>
      <ul class="theme-facts">
        {found?.amounts.map((one) => <li key={one.material}>{one.material}: {words.amount(one.count, one.unit)}</li>)}
        {found?.resources.map((one, at) => (
          <li key={at}>
            <b>{one.name}</b> {one.text} {isLink(one.address) ? <a href={one.address} target="_blank" rel="noopener noreferrer">{one.address}</a> : one.address}
            {" "}{one.file ? <a class="button" download href={`api/printables/${encodeURIComponent(one.file)}/file`}>{tell("openFile")}</a> : null}
          </li>
        ))}
      </ul>
    </section>
  );
}
