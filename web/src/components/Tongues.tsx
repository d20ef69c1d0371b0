/** The language of the page. */
import { load } from "../store";
import { speak, tongue, TONGUES, words, type Tongue } from "../words";

export function Tongues() {
  return (
    <fieldset class="tongues">
      <legend>{words.tongue}</legend>
      {(Object.keys(TONGUES) as Tongue[]).map((one) => (
        <button key={one} type="button" class="choice" lang={one} aria-pressed={one === tongue.value} onClick={() => { void speak(one).then(load); }}>{TONGUES[one].name}</button>
      ))}
    </fieldset>
  );
}
