// SHA-256 (FIPS 180-4), synchronous: crypto.subtle is asynchronous and missing outside secure contexts.

const ROUND_CONSTANTS = primesRoots(64, 1 / 3);
const INITIAL_STATE = primesRoots(8, 1 / 2);

/**
 * Give the lower-case hex SHA-256 of a text's UTF-8 bytes.
 * @param {string} text
 * @returns {string}
 */
export function sha256Hex(text) {
  return sha256HexOfBytes(new TextEncoder().encode(text));
}

/**
 * Give the lower-case hex SHA-256 of bytes.
 * @param {Uint8Array} message
 * @returns {string}
 */
export function sha256HexOfBytes(message) {
  const bytes = padded(message);
  const state = Uint32Array.from(INITIAL_STATE);
  const schedule = new Uint32Array(64);
  const view = new DataView(bytes.buffer);
  for (let start = 0; start < bytes.length; start += 64) {
    expand(schedule, view, start);
    compress(state, schedule);
  }
  return [...state].map((word) => word.toString(16).padStart(8, "0")).join("");
}

/**
 * The first 32 bits of the fractional parts of roots of the first primes: exact in doubles for these sizes.
 * @param {number} count
 * @param {number} power
 */
function primesRoots(count, power) {
  const words = new Uint32Array(count);
  for (let found = 0, candidate = 2; found < count; candidate += 1) {
    let isPrime = true;
    for (let divisor = 2; divisor * divisor <= candidate; divisor += 1) isPrime &&= candidate % divisor !== 0;
    if (isPrime) words[found++] = fraction32(candidate, power);
  }
  return words;
}

/** @param {number} prime @param {number} power */
function fraction32(prime, power) {
  const exponent = power === 1 / 3 ? 3n : 2n;
  const scaled = BigInt(prime) << (32n * exponent);
  let root = BigInt(Math.floor(prime ** power * 2 ** 32));
  while (root ** exponent > scaled) root -= 1n;
  while ((root + 1n) ** exponent <= scaled) root += 1n;
  return Number(root & 0xffffffffn);
}

/** @param {Uint8Array} message */
function padded(message) {
  const length = Math.ceil((message.length + 9) / 64) * 64;
  const bytes = new Uint8Array(length);
  bytes.set(message);
  bytes[message.length] = 0x80;
  const view = new DataView(bytes.buffer);
  view.setUint32(length - 8, Math.floor(message.length / 2 ** 29));
  view.setUint32(length - 4, (message.length * 8) >>> 0);
  return bytes;
}

/** @param {Uint32Array} schedule @param {DataView} view @param {number} start */
function expand(schedule, view, start) {
  for (let i = 0; i < 16; i += 1) schedule[i] = view.getUint32(start + 4 * i);
  for (let i = 16; i < 64; i += 1) {
    const early = schedule[i - 15];
    const late = schedule[i - 2];
    const small0 = turned(early, 7) ^ turned(early, 18) ^ (early >>> 3);
    const small1 = turned(late, 17) ^ turned(late, 19) ^ (late >>> 10);
    schedule[i] = schedule[i - 16] + small0 + schedule[i - 7] + small1;
  }
}

/** @param {Uint32Array} state @param {Uint32Array} schedule */
function compress(state, schedule) {
  let [a, b, c, d, e, f, g, h] = state;
  for (let i = 0; i < 64; i += 1) {
    const big1 = turned(e, 6) ^ turned(e, 11) ^ turned(e, 25);
    const one = (h + big1 + ((e & f) ^ (~e & g)) + ROUND_CONSTANTS[i] + schedule[i]) | 0;
    const big0 = turned(a, 2) ^ turned(a, 13) ^ turned(a, 22);
    const two = (big0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    // One after the other: a list of them would be made anew in each of half a million rounds.
    h = g;
    g = f;
    f = e;
    e = (d + one) | 0;
    d = c;
    c = b;
    b = a;
    a = (one + two) | 0;
  }
  state[0] += a;
  state[1] += b;
  state[2] += c;
  state[3] += d;
  state[4] += e;
  state[5] += f;
  state[6] += g;
  state[7] += h;
}

/** @param {number} word @param {number} bits */
function turned(word, bits) {
  return (word >>> bits) | (word << (32 - bits));
}
