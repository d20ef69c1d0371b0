/** A small shelf in the browser for what must outlast the page. Where there is none, the page goes on without. */
const PREFIX = "lapful.";

const shelf = (): Storage | null => {
  try {
    return globalThis.localStorage ?? null;
  } catch {
    // Some browsers refuse by throwing; the page then forgets when it is closed.
    return null;
  }
};

export function recall(name: string): string | null {
  return shelf()?.getItem(PREFIX + name) ?? null;
}

/** Whether it could be kept: a full shelf says no. */
export function remember(name: string, text: string): boolean {
  try {
    shelf()?.setItem(PREFIX + name, text);
    return shelf() !== null;
  } catch {
    return false;
  }
}

export function forget(name: string): void {
  shelf()?.removeItem(PREFIX + name);
}
