/** One field of a form: its name, what is wrong with it, and the mend, where the eye and the reader are. */
import { useId } from "preact/hooks";
import type { ComponentChildren, JSX } from "preact";

interface FieldProps {
  label: string;
  fault?: string | undefined;
  hint?: string | undefined;
  children?: ComponentChildren;
}

type InputAttributes = JSX.IntrinsicElements["input"];
type Type = "text" | "lines" | "number" | "time" | "month" | "date" | "datetime-local" | "url";

interface InputProps extends FieldProps {
  value: string | number | null;
  change: (value: string) => void;
  type?: Type;
  more?: Record<string, unknown>;
}

function Around({ label, fault, hint, id, children }: FieldProps & { id: string }) {
  return (
    <div class={`field ${fault ? "has-fault" : ""}`}>
      <label for={id}>{label}</label>
      {children}
      {fault || hint ? <small id={`${id}-more`} class={fault ? "fault" : "quiet"}>{fault ?? hint}</small> : null}
    </div>
  );
}

const said = (id: string, { fault, hint }: FieldProps) => ({ id, "aria-invalid": Boolean(fault), ...(fault || hint ? { "aria-describedby": `${id}-more` } : {}) });

export function Input({ value, change, type = "text", more = {}, ...around }: InputProps) {
  const id = useId();
  const attributes = { type, value: value ?? "", ...said(id, around), ...more } as InputAttributes;
  const write = (event: { currentTarget: { value: string } }) => { change(event.currentTarget.value); };
  return (
    <Around {...around} id={id}>
      {type === "lines" ? <textarea {...attributes as object} rows={4} onInput={write} /> : <input {...attributes} onInput={write} />}
    </Around>
  );
}

interface PickProps extends FieldProps {
  value: string;
  change: (value: string) => void;
  choices: readonly (readonly [string, string])[];
}

export function Pick({ value, change, choices, ...around }: PickProps) {
  const id = useId();
  return (
    <Around {...around} id={id}>
      <select value={value} {...said(id, around)} onChange={(event) => { change(event.currentTarget.value); }}>
        {choices.map(([one, text]) => <option key={one} value={one}>{text}</option>)}
      </select>
    </Around>
  );
}

interface TogglesProps<T extends string> {
  label: string;
  /** Said before each choice to those who listen. */
  of?: string;
  chosen: readonly T[];
  choices: readonly (readonly [T, string])[];
  touch: (value: T) => void;
  fault?: string | undefined;
}

/** Choices side by side, each turned on or off by one touch. */
export function Toggles<T extends string>({ label, of, chosen, choices, touch, fault }: TogglesProps<T>) {
  return (
    <fieldset class="toggles">
      <legend class={of ? "unseen" : ""}>{of ?? label}</legend>
      {choices.map(([one, text]) => (
        <button key={one} type="button" class="toggle" aria-pressed={chosen.includes(one)} onClick={() => { touch(one); }}>{text}</button>
      ))}
      {fault ? <small class="fault">{fault}</small> : null}
    </fieldset>
  );
}

/** What is to be mended, each said once. The alert stands around the list: on it, it would take the items from their list. */
export function FaultList({ said }: { said: Record<string, string> }) {
  const each = [...new Set(Object.values(said))];
  return each.length ? <div role="alert" class="fault"><ul>{each.map((text) => <li key={text}>{text}</li>)}</ul></div> : null;
}

const FAULTY = "[aria-invalid=true], .toggles .fault";

/** The eye goes to the first thing that needs mending. */
export function toFirstFault(): void {
  // Folded parts open first, and draw what is in them.
  window.setTimeout(() => {
    for (const one of document.querySelectorAll(FAULTY)) for (let fold = one.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
    const first = document.querySelector<HTMLElement>(FAULTY);
    first?.focus();
    first?.scrollIntoView({ block: "center" });
  }, 50);
}

/** A whole number, or nothing where none is written. */
export const numberOf = (text: string): number | null => (/^\d+$/.test(text.trim()) ? Number(text) : null);
