/** A sheet of paper laid over the day. The browser's own dialog holds the keyboard inside and gives it back. */
import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import { words } from "../words";

interface SheetProps {
  title: string;
  wide?: boolean;
  close: () => void;
  children: ComponentChildren;
}

export function SheetOf({ title, wide = false, close, children }: SheetProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  useLayoutEffect(() => {
    const shown = dialog.current;
    const before = document.activeElement;
    shown?.showModal();
    return () => {
      shown?.close();
      // A dialog taken out of the page does not give the keyboard back by itself.
      if (before instanceof HTMLElement) before.focus({ preventScroll: true });
    };
  }, []);
  // A touch beside the sheet lands on the dialog itself.
  const beside = (event: MouseEvent) => { if (event.target === dialog.current) close(); };
  return (
    <dialog ref={dialog} class={`sheet ${wide ? "sheet-wide" : ""}`} aria-labelledby="sheet-title" onCancel={close} onClick={beside}>
      <div class="sheet-inside">
        <header class="sheet-head">
          <h2 id="sheet-title" tabIndex={-1}>{title}</h2>
          <button type="button" class="button button-quiet" onClick={close}>{words.close}</button>
        </header>
        {children}
      </div>
    </dialog>
  );
}
