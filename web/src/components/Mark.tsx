/** A child's shape: told apart without colour. */
const SHAPES = [
  "M12 3a9 9 0 1 1 0 18a9 9 0 0 1 0-18z",
  "M12 1.5 22.5 12 12 22.5 1.5 12z",
  "M12 2.5 22.5 21h-21z",
  "M3.5 3.5h17v17h-17z",
] as const;

export function Mark({ mark }: { mark: number }) {
  return (
    <svg class={`mark mark-${mark}`} viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={SHAPES[mark] ?? SHAPES[0]} />
    </svg>
  );
}
