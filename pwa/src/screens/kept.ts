/** An entry kept on another page, handed to the step that opens next, so that it can show and undo it. */
let handed: string | null = null;

export const handKept = (id: string): void => void (handed = id);

export function takeKept(): string | null {
  const id = handed;
  handed = null;
  return id;
}
