/** Small line drawings; the words beside them say the same. */
const LINES = {
  moon: "M19 14.5A8 8 0 0 1 9.5 5a8 8 0 1 0 9.5 9.5z",
  door: "M5 21V4.5a1.5 1.5 0 0 1 1.5-1.5h8A1.5 1.5 0 0 1 16 4.5V21M3 21h18M12.5 12v.5M19 8l2.5 2.5L19 13",
  bowl: "M3 11h18a9 7.5 0 0 1-5.5 8h-7A9 7.5 0 0 1 3 11zM9 7.5c0-1.5 1.5-1.5 1.5-3M13.5 7.5c0-1.5 1.5-1.5 1.5-3",
  care: "M12 3.5 21.5 20h-19zM12 10v4.5M12 17v.3",
  tray: "M3 9h18l-2 9H5zM8 6c0-1.5 1.5-1.5 1.5-3M14 6c0-1.5 1.5-1.5 1.5-3",
  basket: "M3 10h18l-2 10H5zM8 10l3-6M16 10l-3-6",
  lamp: "M9 18h6M10 21h4M12 3a6 6 0 0 1 3.5 10.8V15h-7v-1.2A6 6 0 0 1 12 3z",
  leaf: "M5 19c0-9 5-14 14-14 0 9-5 14-14 14zM5 19l7-7",
  grip: "M9 5.5v.3M9 12v.3M9 18.5v.3M15 5.5v.3M15 12v.3M15 18.5v.3",
  more: "M5.5 12h.3M12 12h.3M18.5 12h.3",
  pen: "M4 20l1-4.2L16.2 4.6a1.4 1.4 0 0 1 2 0l1.2 1.2a1.4 1.4 0 0 1 0 2L8.2 19z",
  turn: "M9 14 4 9l5-5M4 9h10a6 6 0 0 1 0 12h-3",
  seal: "M5 12.5l4.5 4.5L19 7.5",
  hand: "M7 12V6.5a1.5 1.5 0 0 1 3 0V11 4.5a1.5 1.5 0 0 1 3 0V11 6a1.5 1.5 0 0 1 3 0v8c0 4-2 6.5-5.5 6.5S6 18 4.5 14.5a1.4 1.4 0 0 1 2.5-1z",
} as const;

export type SignName = keyof typeof LINES;

export function Sign({ name }: { name: SignName }) {
  return (
    <svg class={`sign sign-${name}`} viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={LINES[name]} />
    </svg>
  );
}
