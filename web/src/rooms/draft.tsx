/** An activity as it is being written: what every field of it needs to know. */
import { createContext, type ComponentChildren } from "preact";
import { useContext } from "preact/hooks";
import type { Activity, Household } from "../contract";
import type { Faults } from "./check";
import { put, type Step } from "./catalogue";
import { Input, numberOf } from "./form";
import { tell } from "./tell";

interface Open {
  one: Activity;
  house: Household;
  faults: Faults;
  /** From what is written by now: an answer may come late. */
  change: (turn: (now: Activity) => Activity) => void;
}

const Draft = createContext<Open | null>(null);
export const Drafting = Draft.Provider;

export type Path = readonly Step[];
export const pathText = (path: Path): string => path.map((step, at) => (typeof step === "number" ? `[${step}]` : at ? `.${step}` : step)).join("");

export function useDraft() {
  const open = useContext(Draft) as Open;
  return {
    ...open,
    set: (path: Path, value: unknown) => { open.change((now) => put(now, path, value)); },
    /** What is wrong there; of a list's line it is said at its first field. */
    fault: (path: Path, whole?: Path) => open.faults[pathText(path)] ?? (whole && open.faults[pathText(whole)]),
  };
}

/** Closed until it is wanted: most changes touch one thing. */
export function Part({ title, children }: { title: string; children: ComponentChildren }) {
  return <details class="editor-part"><summary>{title}</summary><div class="form">{children}</div></details>;
}

interface FieldProps {
  label: string;
  path: Path;
  /** The line that this field is the first of. */
  whole?: Path;
}

export function Whole({ label, value, path, whole, empty = 0, hint }: FieldProps & { value: number | null; empty?: number | null | undefined; hint?: string }) {
  const { set, fault } = useDraft();
  return <Input type="number" label={label} value={value} hint={hint} fault={fault(path, whole)} more={{ min: 0, inputMode: "numeric" }} change={(text) => { set(path, numberOf(text) ?? empty); }} />;
}

export function Text({ label, value, path, whole, hint }: FieldProps & { value: string; hint?: string }) {
  const { set, fault } = useDraft();
  return <Input type={path.at(-1) === "text" ? "lines" : "text"} label={label} hint={hint} value={value} fault={fault(path, whole)} more={{ maxLength: path.at(-1) === "name" || path.at(-1) === "title" ? 200 : 2000 }} change={(text) => { set(path, text); }} />;
}

export function Out({ of, isShort = false, out }: { of: string; isShort?: boolean; out: () => void }) {
  const full = `${tell("removeRow")}: ${of}`;
  return <button type="button" class="button" aria-label={full} onClick={out}>{isShort ? tell("removeRow") : full}</button>;
}

interface RowsProps<T> {
  title: string;
  path: Path;
  list: readonly T[];
  fresh: () => Partial<T>;
  line: (one: T, path: Path) => ComponentChildren;
}

export function Rows<T>({ title, path, list, fresh, line }: RowsProps<T>) {
  const { set } = useDraft();
  return (
    <details class="editor-part">
      <summary>{list.length ? `${title} (${list.length})` : title}</summary>
      {list.map((one, at) => (
        <div key={at} class="form editor-row">{line(one, [...path, at])}<Out isShort of={`${title}, ${at + 1}`} out={() => { set([...path, at], undefined); }} /></div>
      ))}
      <button type="button" class="button" aria-label={`${tell("addRow")}: ${title}`} onClick={() => { set(path, [...list, fresh()]); }}>{tell("addRow")}</button>
    </details>
  );
}
