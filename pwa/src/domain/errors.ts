/** An answer cannot be given for this input; the message says why, in words for the mechanic. */
export class CannotCompute extends Error {
  override name = "CannotCompute";
}
