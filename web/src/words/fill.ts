/** `{0} of {1}` with what stands for them. */
export const fill = (text: string, ...given: readonly (string | number)[]): string => text.replace(/\{(\d)\}/g, (_, at) => String(given[Number(at)] ?? ""));

export const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
