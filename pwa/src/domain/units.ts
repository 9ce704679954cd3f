/**
 * Exact conversion of units: factors are whole fractions, and only the result is rounded. Source of the factors that the
 * catalogue holds: NIST Special Publication 811 (2008), Appendix B.
 */
import { CannotCompute } from "./errors";

export interface Fraction {
  over: bigint;
  under: bigint;
}

const NUMBER = /^(\d+)(?:\.(\d+))?(?:[eE]([+-]?\d{1,3}))?$/;

/** An exact factor from its text: decimals joined by * and /, worked from left to right. */
export function parseFactor(text: string): Fraction {
  const pieces = text.replaceAll(" ", "").split(/([*/])/);
  let factor = decimal(pieces[0]!, text);
  for (let i = 1; i < pieces.length; i += 2) {
    const { over, under } = decimal(pieces[i + 1]!, text);
    factor = pieces[i] === "*"
      ? { over: factor.over * over, under: factor.under * under }
      : { over: factor.over * under, under: factor.under * over };
  }
  if (factor.over <= 0n || factor.under <= 0n) throw new CannotCompute(`A factor must be above zero: ${text}.`);
  return factor;
}

function decimal(piece: string, text: string): Fraction {
  const match = NUMBER.exec(piece);
  if (!match) throw new CannotCompute(`Not a factor: ${text}.`);
  const [, whole, part = "", exponent = "0"] = match;
  const places = Number(exponent) - part.length;
  const digits = BigInt(whole + part);
  return places >= 0 ? { over: digits * 10n ** BigInt(places), under: 1n } : { over: digits, under: 10n ** BigInt(-places) };
}

/** A value in the unit of `from`, given in the unit of `to`; both factors lead to the same base unit. One rounding. */
export function convert(value: number, from: Fraction, to: Fraction): number {
  if (!Number.isFinite(value)) throw new CannotCompute("A value must be an ordinary number.");
  const exact = fractionOf(Math.abs(value));
  const size = toNumber({ over: exact.over * from.over * to.under, under: exact.under * from.under * to.over });
  if (!Number.isFinite(size)) throw new CannotCompute("The value is too large to convert.");
  return value < 0 ? -size : size;
}

/** A float is a whole number over a power of two. */
function fractionOf(value: number): Fraction {
  let under = 1n;
  let scaled = value;
  while (!Number.isInteger(scaled)) {
    scaled *= 2;
    under *= 2n;
  }
  return { over: BigInt(scaled), under };
}

const bits = (n: bigint) => n.toString(2).length;

/** The nearest float: 64 or more bits of the quotient with a last bit that stands for all that follows. */
function toNumber({ over, under }: Fraction): number {
  if (over === 0n) return 0;
  const shift = Math.max(0, 66 - (bits(over) - bits(under)));
  const scaled = over << BigInt(shift);
  const quotient = scaled / under;
  const sticky = scaled % under === 0n ? quotient : quotient | 1n;
  // In two steps, since 2 ** -shift alone would vanish for the smallest results.
  return Number(sticky) * 2 ** -Math.floor(shift / 2) * 2 ** -Math.ceil(shift / 2);
}
